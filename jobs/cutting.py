"""Cutting blanks out of sheets: which fit where, with straight cuts from edge to edge.

A shear cuts right across, so every piece is placed in the corner of a free rectangle and what remains is split
into two rectangles by one straight cut. Largest blanks go first, each into the free rectangle it leaves least
of. That is a good plan, not the best possible one.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A rectangle of metal at a corner, millimetres."""

    x: float
    y: float
    length_mm: float
    width_mm: float

    @property
    def area_mm2(self) -> float:
        return self.length_mm * self.width_mm


@dataclass(frozen=True, slots=True)
class Blank:
    """A rectangle to cut; ``turnable`` is false where the rolling direction matters."""

    key: object
    length_mm: float
    width_mm: float
    turnable: bool = True

    @property
    def ways(self) -> list[tuple[float, float]]:
        """Length and width as it may lie on the sheet."""
        lying = [(self.length_mm, self.width_mm)]
        return lying + ([(self.width_mm, self.length_mm)] if self.turnable else [])

    def ways_in(self, length_mm: float, width_mm: float, play_mm: float = 0.0) -> list[tuple[float, float]]:
        """The ways it may lie in a rectangle; ``play_mm`` is by how much a size that was typed may miss."""
        return [
            (length, width)
            for length, width in self.ways
            if length <= length_mm + play_mm and width <= width_mm + play_mm
        ]


@dataclass(slots=True)
class CutSheet:
    """A sheet and what is laid out on it."""

    key: object
    length_mm: float
    width_mm: float
    placed: list[tuple[Blank, Rectangle]] = field(default_factory=list)
    free: list[Rectangle] = field(default_factory=list)
    # Sizes that found no room. What is free only shrinks, so they need not be tried again: pairs are of one size.
    refused: set[tuple[float, float, bool]] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.free = [Rectangle(0.0, 0.0, self.length_mm, self.width_mm)]

    @property
    def largest_drop(self) -> Rectangle | None:
        return max(self.free, key=lambda rectangle: rectangle.area_mm2, default=None)

    def place(self, blank: Blank) -> bool:
        """Lay a blank out where it leaves least; say whether it fits."""
        size = (blank.length_mm, blank.width_mm, blank.turnable)
        if size in self.refused:
            return False
        fits = [
            (rectangle.area_mm2, rectangle, length, width)
            for rectangle in self.free
            for length, width in blank.ways_in(rectangle.length_mm, rectangle.width_mm)
        ]
        if not fits:
            self.refused.add(size)
            return False
        _, rectangle, length, width = min(fits, key=lambda fit: (fit[0], fit[2]))
        self.free.remove(rectangle)
        self.free += split(rectangle, length, width)
        self.placed.append((blank, Rectangle(rectangle.x, rectangle.y, length, width)))
        return True


def split(rectangle: Rectangle, length_mm: float, width_mm: float) -> list[Rectangle]:
    """What remains of a rectangle when a piece is cut from its corner, by the cut that keeps the larger drop.

    >>> [piece.area_mm2 for piece in split(Rectangle(0, 0, 2000, 1000), 500, 400)]
    [1500000, 300000]
    """
    x, y = rectangle.x, rectangle.y
    right, above = rectangle.length_mm - length_mm, rectangle.width_mm - width_mm
    across = [
        Rectangle(x + length_mm, y, right, rectangle.width_mm),
        Rectangle(x, y + width_mm, length_mm, above),
    ]
    along = [
        Rectangle(x, y + width_mm, rectangle.length_mm, above),
        Rectangle(x + length_mm, y, right, width_mm),
    ]
    best = max((across, along), key=lambda pieces: max(piece.area_mm2 for piece in pieces))
    return [piece for piece in best if piece.area_mm2 > 0]


def lay_out(blanks: Iterable[Blank], sheets: list[CutSheet]) -> list[Blank]:
    """Lay blanks out on the sheets in their order, largest blank first; return those that fit on none."""
    left_over = []
    for blank in sorted(blanks, key=lambda blank: blank.length_mm * blank.width_mm, reverse=True):
        if not any(sheet.place(blank) for sheet in sheets):
            left_over.append(blank)
    return left_over
