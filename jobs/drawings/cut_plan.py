"""A sheet with the blanks laid out on it and the drop that is left."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from jobs.drawings import labels, letters
from jobs.drawings.scene import Item, Scene, Text, filled_box, line, rectangle
from jobs.forming.errors import in_millimetres

DROP = letters.MIDDLE * 12


@dataclass(frozen=True, slots=True)
class Piece:
    """A rectangle on the sheet, from the sheet's own corner, millimetres."""

    x: float
    y: float
    length_mm: float
    width_mm: float


def cut_plan(
    sheet_mm: tuple[float, float],
    blanks: Sequence[Piece],
    drop: Piece | None,
    *,
    write_length: Callable[[float], str] = in_millimetres,
    width: float = 200.0,
    tallest: float = 130.0,
) -> Scene:
    """Draw a sheet of length by width, its blanks in kraft and the largest drop hatched and named."""
    long, wide = sheet_mm
    scale = min((width - 2) / long, (tallest - 2) / wide)

    def box(piece: Piece) -> tuple[float, float, float, float]:
        return (1 + piece.x * scale, 1 + piece.y * scale, piece.length_mm * scale, piece.width_mm * scale)

    whole = box(Piece(0, 0, long, wide))
    items: list[Item] = [filled_box("ground", *whole)]
    if drop:
        items.append(filled_box("drop", *box(drop)))
    for blank in blanks:
        left, top, across, high = box(blank)
        items += [
            filled_box("kraft", left, top, across, high),
            rectangle("kraft-line", left, top, across, high),
        ]
        middle = top + high / 2
        items.append(line("centre", (left + 3, middle), (left + across - 3, middle)))
    items.append(rectangle("frame", *whole))
    named = [*_named(drop, box(drop), write_length)] if drop else []
    said = f"{len(blanks)} on a sheet of {write_length(long)} by {write_length(wide)}"
    left_over = f"; drop {write_length(drop.length_mm)} by {write_length(drop.width_mm)}" if drop else ""
    return Scene(
        "Sheet with the blanks on it", f"{said}{left_over}.", whole[2] + 2, whole[3] + 2, (*items, *named)
    )


def _named(
    drop: Piece, place: tuple[float, float, float, float], write: Callable[[float], str]
) -> tuple[Text, ...]:
    """The drop's size over its hatch, in as many lines as fit; none where there is no room for it."""
    left, top, across, high = place
    size = f"{write(drop.length_mm)} × {write(drop.width_mm)}"
    for rows in ([f"drop {size}"], ["drop", size], ["drop", *labels.fold(size, across - 8)]):
        widest = max(letters.width(row, 12) for row in rows)
        if widest + 8 <= across and len(rows) * 15 + 4 <= high:
            first = top + high / 2 - (len(rows) - 1) * 7.5 + DROP
            middle = left + across / 2
            return tuple(
                Text("label", (middle, first + index * 15), row, "middle", halo="field")
                for index, row in enumerate(rows)
            )
    return ()
