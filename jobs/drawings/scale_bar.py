"""A short bar of a round length at a drawing's scale: true however large the drawing is shown or printed."""

from __future__ import annotations

from jobs.drawings import letters
from jobs.drawings.letters import Box
from jobs.drawings.piece_words import BORDER_MM, SIZE_MM
from jobs.drawings.primitives import INCH_MM
from jobs.drawings.scene import Group, Item, Path, Text
from jobs.forming.errors import WriteLength
from jobs.forming.result import Point, Straight

LONGEST_PX = 90.0
SIZE = 12.0
_MILLIMETRES = tuple(part * 10.0**power for power in range(-1, 5) for part in (1.0, 2.0, 5.0))
_INCHES = tuple(
    INCH_MM * part for part in (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 3, 6, 12, 24, 36, 60, 120, 360)
)


def bar_mm(scale: float, write_length: WriteLength, longest_px: float = LONGEST_PX) -> float:
    """Return the longest round length that is no longer than so many pixels at a scale of pixels a millimetre.

    Round in what ``write_length`` writes in: it writes an inch as 1 where it writes inches.

    >>> bar_mm(0.5, lambda mm, up=False: f"{mm:g} mm"), bar_mm(0.5, lambda mm, up=False: f"{mm / 25.4:g} in")
    (100.0, 152.39999999999998)
    """
    lengths = _INCHES if write_length(INCH_MM).startswith("1") else _MILLIMETRES
    return max((one for one in lengths if one * scale <= longest_px), default=lengths[0])


def scale_bar(
    scale: float, write_length: WriteLength, left: Point, longest_px: float = LONGEST_PX
) -> tuple[Item, Box]:
    """Draw the bar with its left end at a point, its length written after it; return it and the room it takes."""
    x, y = left
    long = bar_mm(scale, write_length, longest_px)
    end = x + long * scale
    runs = (
        Straight((x, y), (end, y)),
        Straight((x, y - 4), (x, y + 4)),
        Straight((end, y - 4), (end, y + 4)),
    )
    text = Text("note", (end + 7, y + letters.MIDDLE * SIZE), f"{write_length(long)} to scale", size=SIZE)
    box = text.box()
    return Group("scale", (Path("dimension", runs), text)), Box(x, min(box.top, y - 4), box.right, box.bottom)


def check_bar(write_length: WriteLength, top_mm: float) -> tuple[tuple[Item, ...], float]:
    """Draw a bar of 100 mm or 4 in under a full-size drawing in millimetres; return it and where it ends."""
    long = 4 * INCH_MM if write_length(INCH_MM).startswith("1") else 100.0
    y = top_mm + 2.0
    end = BORDER_MM + long
    runs = (
        Straight((BORDER_MM, y), (end, y)),
        Straight((BORDER_MM, y - 2), (BORDER_MM, y + 2)),
        Straight((end, y - 2), (end, y + 2)),
    )
    said = f"This must measure {write_length(long)}: full size."
    text = Text("note", (BORDER_MM, y + 2 + SIZE_MM), said, size=SIZE_MM)
    return (Group("scale", (Path("mark", runs), text)),), text.box().bottom + BORDER_MM / 2
