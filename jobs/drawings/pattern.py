"""The flat pattern: what to mark and cut, to scale, with every line named and every gather numbered."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from jobs.drawings import labels, letters
from jobs.drawings.gathers import pass_numbers, wedges
from jobs.drawings.labels import Label, Taken
from jobs.drawings.letters import Box
from jobs.drawings.place import Placement, fitted
from jobs.drawings.scene import (
    Area,
    Dimension,
    Group,
    Item,
    Path,
    Run,
    Scene,
    Text,
    bounds,
    ends,
    extent,
    leaves,
    on_circle,
)
from jobs.forming.errors import in_millimetres
from jobs.forming.result import Arc, Line, Point, Straight, Work

WriteLength = Callable[[float], str]

NARROW = 560.0
"""Under this width the labels stand below the pattern as a key, and letters stand at the lines."""
MARGIN = 26.0
"""Room round the blank for the gathers' numbers, pixels."""
_LINE_ROLES = {
    "start": "start",
    "centre": "centre",
    "stop": "stop",
    "pass": "pass",
    "bend": "bend",
    "edge": "edge",
}


@dataclass(frozen=True, slots=True)
class Tag:
    """A line of the pattern with the point its label speaks of and the words of the label."""

    role: str
    anchor: Point
    order: float
    text: str


def flat_pattern(
    work: Work,
    *,
    write_length: WriteLength = in_millimetres,
    mirrored: bool = False,
    numbers: bool = True,
    highlight: str | None = None,
    width: float = 820.0,
) -> Scene:
    """Draw the flat blank to scale.

    Parameters
    ----------
    work
        What the form asks of the metal.
    write_length
        Writes a length in the shop's units.
    mirrored
        Draw the other hand: the geometry is reflected, the lettering is not.
    numbers
        Write the number of its pass at each gather. Where they would touch, only every so many are numbered
        and a note says so.
    highlight
        Name of the dimension being edited (``trim_mm``).
    width
        Natural width in pixels; the height follows. Under ``NARROW`` the labels become a key below.
    """
    wide = width >= NARROW
    tags = _tags(work, Placement(1, 0, 0, mirrored), write_length)
    beside = labels.column_width(tag.text for tag in tags) if wide else 40.0
    size = [write_length(work.blank_width_mm), write_length(work.blank_length_mm)]
    box = bounds(work.trimmed.runs)
    drawn = (box.right - box.left, box.bottom - box.top)
    text_wide, text_high = size if _closer(drawn, (work.blank_width_mm, work.blank_length_mm)) else size[::-1]
    left = MARGIN + letters.width(text_high, 12) + 26
    room = Box(left, MARGIN, width - beside - 30, MARGIN + 0.62 * width)
    scale = fitted(box, room).scale
    bottom = MARGIN + scale * drawn[1]
    place = fitted(box, Box(room.left, MARGIN, room.right, bottom), mirrored=mirrored, scale=scale)
    blank = bounds(place.runs(work.trimmed.runs))
    tags = _tags(work, place, write_length)

    taken = Taken()
    measures = _blank_size(blank, text_wide, text_high)
    column = _column(tags, wide, blank.right + 30)
    for item in (*measures, *column):
        for leaf in leaves((item,)):
            if isinstance(leaf, Text):
                taken.take(leaf.box())
    numbering, remark = pass_numbers(work.gathers, place, taken) if numbers else ((), "")
    gathers, drawn_remark = wedges(work.gathers, place)
    remarks = [_summary(work), remark, drawn_remark, _hand(mirrored)]
    below = max([bottom + MARGIN + 34, *(text.box().bottom + 8 for text in _texts(column))])
    key, below = ((), below) if wide else _key(tags, below)
    words = labels.notes([one for one in remarks if one], MARGIN, below, width - 2 * MARGIN)
    height = max([below, *(text.box().bottom for text in words)]) + 10
    items: tuple[Item, ...] = (
        Area("kraft", place.runs(work.by_length.runs)),
        Group("gathers", gathers),
        Path("outline", place.runs(work.by_length.runs), closed=True),
        Path("editing" if highlight == "trim_mm" else "trim", place.runs(work.trimmed.runs), closed=True),
        Group("lines", _lines(work, place)),
        *_centre_marks(blank),
        *measures,
        *column,
        Group("numbers", numbering),
        *key,
        *words,
    )  # fmt: skip
    return Scene("Flat pattern", _describe(work, size, mirrored), width, height, items)


def _texts(items: Iterable[Item]) -> list[Text]:
    return [leaf for leaf in leaves(items) if isinstance(leaf, Text)]


def _closer(drawn: tuple[float, float], size: tuple[float, float]) -> bool:
    """Tell whether width and length of the blank lie the way the outline is drawn."""
    return abs(drawn[0] - size[0]) <= abs(drawn[0] - size[1])


def _describe(work: Work, size: Sequence[str], mirrored: bool) -> str:
    names = ", ".join(dict.fromkeys(one.name for one in work.lines)) or "no lines"
    hand = " Mirrored hand." if mirrored else ""
    return (
        f"Flat blank {size[0]} by {size[1]} with trim line; {names}; {len(work.gathers)} gathers in "
        f"{len(work.passes)} passes.{hand}"
    )


def _hand(mirrored: bool) -> str:
    return "Mirrored hand: geometry reflected left to right." if mirrored else ""


def _summary(work: Work) -> str:
    """How many gathers each pass has, and where the distances are measured from."""
    counts = [f"pass {one.number}: {one.gathers}" for one in work.passes]
    word = "Stretches" if work.stretch_angle_rad > 0 and not work.gather_angle_rad else "Gathers"
    gathers = f"{word}, {', '.join(counts)}." if counts else ""
    measured = "Distances are from the start line." if any(one.from_start_mm for one in work.lines) else ""
    return " ".join(part for part in (gathers, measured) if part)


# Lines and their labels


def _lines(work: Work, place: Placement) -> tuple[Path, ...]:
    return tuple(Path(_LINE_ROLES[one.kind], place.runs(one.path)) for one in work.lines if one.path)


def _tags(work: Work, place: Placement, write_length: WriteLength) -> list[Tag]:
    """One label for every different text; of lines that share one, the rightmost carries it."""
    found: dict[str, Tag] = {}
    ringed = [one for one in work.lines if one.path and _is_ring(one.path)]
    for line in work.lines:
        if line.kind == "edge" or not line.path:
            continue
        text = _line_text(line, write_length)
        runs = place.runs(line.path)
        anchor = _ring_anchor(runs, ringed.index(line), len(ringed)) if line in ringed else _right_end(runs)
        tag = Tag(_LINE_ROLES[line.kind], anchor, -anchor[0], text)
        if text not in found or anchor[0] > found[text].anchor[0]:
            found[text] = tag
    trim = max(_corners(place.runs(work.trimmed.runs)), key=lambda point: (round(point[0], 3), point[1]))
    return [*found.values(), Tag("trim", trim, -trim[0], "trim line")]


def _line_text(line: Line, write_length: WriteLength) -> str:
    name = line.name if "line" in line.name or line.kind == "bend" else f"{line.name} line"
    return f"{name} {write_length(line.from_start_mm)}" if line.from_start_mm else name


def _is_ring(path: Sequence[Run]) -> bool:
    return math.dist(ends(path[0])[0], ends(path[-1])[1]) < 1e-6


def _right_end(runs: Sequence[Run]) -> Point:
    return max(ends(runs[0])[0], ends(runs[-1])[1])


def _ring_anchor(runs: Sequence[Run], index: int, count: int) -> Point:
    """A point at the right of a ring, each ring a little further round than the one before."""
    if len(runs) == 1 and isinstance(runs[0], Arc):
        angle = math.radians(-40 + 80 * (index + 0.5) / count)
        return on_circle(runs[0].centre, runs[0].radius_mm, angle)
    return max(_corners(runs))


def _corners(runs: Iterable[Run]) -> list[Point]:
    return [point for run in runs for point in extent(run)]


def _column(tags: Sequence[Tag], wide: bool, left: float) -> tuple[Item, ...]:
    texts = [tag.text if wide else letter(index) for index, tag in enumerate(tags)]
    rows = [Label(tag.anchor, text, tag.order) for tag, text in zip(tags, texts, strict=True)]
    return labels.column(rows, left, 10.0)


def letter(index: int) -> str:
    """Return A, B, ... Z, AA, AB, ... for 0, 1, ...

    >>> [letter(0), letter(25), letter(26), letter(52)]
    ['A', 'Z', 'AA', 'BA']
    """
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


def _key(tags: Sequence[Tag], top: float) -> tuple[tuple[Item, ...], float]:
    """Rows of letter, sample of the line and words, for drawings too narrow for a column."""
    made: list[Item] = []
    for index, tag in enumerate(tags):
        y = top + 8 + index * labels.LINE_HEIGHT
        drop = y + letters.MIDDLE * 12
        made.append(Text("label", (MARGIN, drop), letter(index), bold=True))
        made.append(Path(tag.role, (Straight((MARGIN + 24, y), (MARGIN + 66, y)),)))
        made.append(Text("label", (MARGIN + 74, drop), tag.text))
    return tuple(made), top + len(tags) * labels.LINE_HEIGHT + 4


# Blank size


def _blank_size(blank: Box, wide: str, high: str) -> tuple[Dimension, ...]:
    return (
        Dimension((blank.left, blank.bottom), (blank.right, blank.bottom), f"blank {wide}", -(MARGIN + 10)),
        Dimension((blank.left, blank.bottom), (blank.left, blank.top), high, MARGIN),
    )


def _centre_marks(blank: Box) -> tuple[Path, ...]:
    """Short ticks across the blank's sides at their middles."""
    x, y = (blank.left + blank.right) / 2, (blank.top + blank.bottom) / 2
    return (
        Path("mark", (Straight((x, blank.top - 6), (x, blank.top + 6)),
                      Straight((x, blank.bottom - 6), (x, blank.bottom + 6)),
                      Straight((blank.left - 6, y), (blank.left + 6, y)),
                      Straight((blank.right - 6, y), (blank.right + 6, y)))),
    )  # fmt: skip
