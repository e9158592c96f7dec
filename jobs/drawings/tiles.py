"""Cutting a full-size drawing over a printer's pages: pure geometry, no page is drawn here.

A tile is a window on the drawing. Neighbours share ``overlap_mm``; a mark in the middle of each shared strip,
printed on both pages, is laid over itself when the pages are joined. Scale is exactly 1, so a length across
several pages is as true as the printer and the laying of the marks.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from jobs.drawings.letters import Box
from jobs.drawings.marked import letter

Point = tuple[float, float]

A4_MM = (210.0, 297.0)
SLIDES = (0.0, 0.04, -0.04, 0.08, -0.08, 0.12, -0.12, 0.16, 0.2, 0.24, 0.27)
"""How far a mark may slide along its strip, in parts of the window, to stand clear of words."""
MARK_ROOMS = (Box(-18.0, -6.0, 18.0, 5.0), Box(-4.5, -4.5, 4.5, 4.5))
"""What a mark takes with the names of its two pages at either side, and at the least, about its middle."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A printer's page, millimetres: its size, the border it cannot print, the strip shared with the next page.

    ``head_mm`` is kept free at the top of the page for its label and check rule.
    """

    width_mm: float = A4_MM[0]
    height_mm: float = A4_MM[1]
    margin_mm: float = 10.0
    overlap_mm: float = 15.0
    head_mm: float = 22.0

    @property
    def window_mm(self) -> Point:
        """How much of the drawing one page shows."""
        return (self.width_mm - 2 * self.margin_mm, self.height_mm - 2 * self.margin_mm - self.head_mm)

    @property
    def step_mm(self) -> Point:
        """From one window to the next."""
        wide, high = self.window_mm
        return (wide - self.overlap_mm, high - self.overlap_mm)

    def turned(self) -> Paper:
        """Return the page on its side."""
        return Paper(self.height_mm, self.width_mm, self.margin_mm, self.overlap_mm, self.head_mm)


@dataclass(frozen=True, slots=True)
class Tile:
    """One page: its row and column from 0, and where its window's top left corner lies on the drawing."""

    row: int
    column: int
    left_mm: float
    top_mm: float

    @property
    def label(self) -> str:
        """Row letter and column number: A1 at the top left."""
        return f"{letter(self.row)}{self.column + 1}"

    def on_page(self, point: Point, paper: Paper) -> Point:
        """Return where a point of the drawing falls on this page, from the page's top left corner."""
        return (
            point[0] - self.left_mm + paper.margin_mm,
            point[1] - self.top_mm + paper.margin_mm + paper.head_mm,
        )


@dataclass(frozen=True, slots=True)
class Mark:
    """A registration mark: a cross at a point of the drawing, named after the two tiles that share it."""

    at: Point
    between: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Tiling:
    """All tiles of a drawing, row by row, and the marks that join them."""

    paper: Paper
    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    marks: tuple[Mark, ...]

    def marks_of(self, tile: Tile) -> tuple[Mark, ...]:
        """Return the marks that are printed on a tile."""
        return tuple(mark for mark in self.marks if tile.label in mark.between)

    def strips(self) -> tuple[Box, ...]:
        """Return the strips that two pages share, each as long as the whole: what crosses one is cut on both pages."""
        (wide, high), overlap = self.paper.window_mm, self.paper.overlap_mm
        first, last = self.tiles[0], self.tiles[-1]
        right, bottom = last.left_mm + wide, last.top_mm + high
        lefts = sorted({tile.left_mm for tile in self.tiles if tile.column})
        tops = sorted({tile.top_mm for tile in self.tiles if tile.row})
        return (
            *(Box(left, first.top_mm, left + overlap, bottom) for left in lefts),
            *(Box(first.left_mm, top, right, top + overlap) for top in tops),
        )

    def clear_of(self, boxes: Sequence[Box]) -> Tiling:
        """Return the same with each mark slid along its strip off some boxes: a cross over words hides both.

        Both pages keep it at one place; where a strip has no free place a mark stays where it was.
        """
        tiles = {tile.label: tile for tile in self.tiles}
        marks = tuple(self._slid(mark, tiles[mark.between[0]], boxes) for mark in self.marks)
        return replace(self, marks=marks)

    def _slid(self, mark: Mark, tile: Tile, boxes: Sequence[Box]) -> Mark:
        (x, y), (wide, high) = mark.at, self.paper.window_mm
        is_upright = mark.between[0][0] == mark.between[1][0]
        share = (y - tile.top_mm) / high if is_upright else (x - tile.left_mm) / wide
        for room, slide in itertools.product(MARK_ROOMS, SLIDES):
            at_share = share + slide if share < 0.5 else share - slide
            at = (x, tile.top_mm + high * at_share) if is_upright else (tile.left_mm + wide * at_share, y)
            if not any(room.moved(at).meets(box) for box in boxes):
                return replace(mark, at=at)
        return mark

    def with_ink(self, points: Iterable[Point]) -> Tiling:
        """Return the tiles that show any of some points, and the marks that join them: the others would be white.

        Neighbours along a line always stay joined, for what lies in the strip they share keeps both.
        """
        (wide, high), (step_x, step_y) = self.paper.window_mm, self.paper.step_mm
        left, top = self.tiles[0].left_mm, self.tiles[0].top_mm
        inked = {
            (row, column)
            for x, y in points
            for row in _shown_in(y - top, high, step_y)
            for column in _shown_in(x - left, wide, step_x)
        }
        tiles = tuple(tile for tile in self.tiles if (tile.row, tile.column) in inked)
        labels = {tile.label for tile in tiles}
        marks = tuple(mark for mark in self.marks if labels.issuperset(mark.between))
        return replace(self, tiles=tiles, marks=marks)


def _shown_in(at_mm: float, window_mm: float, step_mm: float) -> range:
    """The numbers of the windows, one a step after the other, in which a place is seen."""
    return range(max(0, math.ceil((at_mm - window_mm) / step_mm)), math.floor(at_mm / step_mm) + 1)


def tiled(width_mm: float, height_mm: float, paper: Paper | None = None, *, most: int = 400) -> Tiling:
    """Cut a drawing into pages, upright or on their side, whichever takes fewer.

    Raises ``ValueError`` where the drawing has no size, the page has no room, or it would take more than
    ``most``.

    >>> [tile.label for tile in tiled(300, 200).tiles]
    ['A1', 'A2']
    """
    upright = paper or Paper()
    if not (0 < width_mm < math.inf and 0 < height_mm < math.inf):
        raise ValueError("The drawing has no size to cut into pages.")
    if min(upright.step_mm) <= 0 or upright.overlap_mm < 0:
        raise ValueError("The page has no room left between its margins; make margin or overlap smaller.")
    choices = [one for one in (upright, upright.turned()) if min(one.step_mm) > 0]
    best = min(choices, key=lambda one: math.prod(_counts(width_mm, height_mm, one)))
    columns, rows = _counts(width_mm, height_mm, best)
    if rows * columns > most:
        raise ValueError(
            f"It would take {rows * columns} pages, at most {most} make sense: plot it on one sheet."
        )
    return _laid(width_mm, height_mm, best, rows, columns)


def _counts(width_mm: float, height_mm: float, paper: Paper) -> tuple[int, int]:
    """How many columns and rows: the first window shows its whole width, each further one a step more."""
    return (
        _count(width_mm, paper.window_mm[0], paper.step_mm[0]),
        _count(height_mm, paper.window_mm[1], paper.step_mm[1]),
    )


def _count(size_mm: float, window_mm: float, step_mm: float) -> int:
    # A millionth of a millimetre more than the window is rounding, not another page.
    return 1 + max(0, math.ceil((size_mm - window_mm) / step_mm - 1e-6))


def _laid(width_mm: float, height_mm: float, paper: Paper, rows: int, columns: int) -> Tiling:
    """Lay the windows so that the drawing stands in the middle of all of them together."""
    (wide, high), (step_x, step_y) = paper.window_mm, paper.step_mm
    left = (width_mm - (wide + step_x * (columns - 1))) / 2
    top = (height_mm - (high + step_y * (rows - 1))) / 2
    tiles = tuple(
        Tile(row, column, left + column * step_x, top + row * step_y)
        for row in range(rows)
        for column in range(columns)
    )
    return Tiling(paper, rows, columns, tiles, tuple(_marks(tiles, paper, columns)))


def _marks(tiles: tuple[Tile, ...], paper: Paper, columns: int) -> list[Mark]:
    """Two marks in each strip that two neighbours share, a fifth in from its ends."""
    (wide, high), half = paper.window_mm, paper.overlap_mm / 2
    by_place = {(tile.row, tile.column): tile for tile in tiles}
    marks = []
    for tile in tiles:
        right = by_place.get((tile.row, tile.column + 1))
        below = by_place.get((tile.row + 1, tile.column))
        for share in (0.2, 0.8):
            if right:
                at = (right.left_mm + half, tile.top_mm + high * share)
                marks.append(Mark(at, (tile.label, right.label)))
            if below:
                at = (tile.left_mm + wide * share, below.top_mm + half)
                marks.append(Mark(at, (tile.label, below.label)))
    return marks
