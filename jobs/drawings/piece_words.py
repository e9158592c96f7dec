"""Words on a full-size piece: it is cut out round them, so they stand on it, clear of every line, where it has room."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from jobs.drawings import labels, letters
from jobs.drawings.labels import Taken
from jobs.drawings.letters import Box
from jobs.drawings.primitives import PX_MM
from jobs.drawings.scene import Item, Text, arrow_head, line
from jobs.forming.result import Point

BORDER_MM = 8.0
SIZE_MM = 12 * PX_MM
ARROW_MM = 24.0
LEADING = 1.35
SHARES = (1.0, 0.5)
"""How narrow a block of words is folded until it finds room, in parts of its longest sentence."""
SMALLER = (1.0, 0.7)
"""How small the panel's name may be written on its piece: 2.2 mm are still read at arm's length (from memory)."""
COLUMNS, ROWS = 16, 24
AIR_MM = 1.5
Rolling = Literal["", "along", "across"]


class Room:
    """Where words may stand: inside the piece, off the lines on it, off what is written already."""

    def __init__(self, piece: Sequence[Point], busy: Sequence[Sequence[Point]], taken: Taken) -> None:
        self.taken = taken
        sides = zip(piece, [*piece[1:], piece[0]], strict=True)
        self.lines = [_box(a, b) for a, b in (*sides, *busy)]
        xs, ys = [x for x, _ in piece], [y for _, y in piece]
        left, right, top, bottom = min(xs), max(xs), min(ys), max(ys)
        self.width, self.height = right - left, bottom - top
        middle = ((left + right) / 2, (top + bottom) / 2)
        spots = (
            (left + self.width * column / COLUMNS, top + self.height * row / ROWS)
            for column in range(1, COLUMNS)
            for row in range(1, ROWS)
        )
        # A box that no side enters lies inside where its middle does.
        self.spots = sorted(
            (one for one in spots if inside(piece, one)), key=lambda spot: math.dist(spot, middle)
        )

    def corner(self, wide: float, tall: float) -> Point | None:
        """Return the top left corner of a free rectangle nearest to the piece's middle, or nothing."""
        if wide > self.width or tall > self.height:
            return None
        x_room, y_room = wide / 2 + AIR_MM, tall / 2 + AIR_MM
        for x, y in self.spots:
            left, right, top, bottom = x - x_room, x + x_room, y - y_room, y + y_room
            for one in self.lines:
                if one.left < right and one.right > left and one.top < bottom and one.bottom > top:
                    break
            else:
                if self.taken.free(Box(left, top, right, bottom)):
                    return (x - wide / 2, y - tall / 2)
        return None


@dataclass(frozen=True, slots=True)
class Block:
    """Rows of words, the first of them bold where they name the panel, with the rolling direction's arrow below."""

    rows: tuple[str, ...]
    size: float
    bold: int
    rolling: Rolling = ""

    @property
    def width(self) -> float:
        return max(letters.width(row, self.size) for row in self.rows)

    @property
    def height(self) -> float:
        arrow = {"": 0.0, "along": 5.0, "across": ARROW_MM + 2}[self.rolling]
        return LEADING * self.size * len(self.rows) + arrow

    def items(self, left: float, top: float) -> tuple[Item, ...]:
        """Return the rows and the arrow with their top left corner at a place."""
        step = LEADING * self.size
        texts = tuple(
            Text(
                "label",
                (left, top + step * (index + 0.8)),
                row,
                size=self.size,
                bold=index < self.bold,
                halo="field",
            )
            for index, row in enumerate(self.rows)
        )
        return (*texts, *_rolling_arrow(left, top + step * len(self.rows), self.rolling))


def written(
    names: Sequence[str], remarks: Sequence[str], rolling: Rolling, room: Room, high: float
) -> tuple[tuple[Item, ...], float]:
    """Write all words as one block on the piece, or the names alone with the remarks below it, or all below it.

    Return what is drawn and where it ends; ``high`` is where the drawing ends without words.
    """
    for block in _blocks(names, remarks, rolling):
        corner = room.corner(block.width, block.height)
        if corner:
            return block.items(*corner), high
    if not names and not rolling:
        return _below(Block(tuple(remarks), SIZE_MM, 0), high) if remarks else ((), high)
    for block in _blocks(names, (), rolling, SMALLER):
        corner = room.corner(block.width, block.height)
        if corner:
            items, below = _below(Block(tuple(remarks), SIZE_MM, 0), high) if remarks else ((), high)
            return (*block.items(*corner), *items), below
    return _below(next(_blocks(names, remarks, rolling)), high)


def _blocks(
    names: Sequence[str], remarks: Sequence[str], rolling: Rolling, sizes: Sequence[float] = (1.0,)
) -> Iterator[Block]:
    """The words in ever narrower blocks, and then smaller."""
    told = [*names, *remarks, *(["rolling direction"] if rolling else [])]
    if not told:
        return
    for part in sizes:
        size = SIZE_MM * part
        longest = max(letters.width(one, size) for one in told)
        for share in SHARES:
            rows = [row for one in told for row in labels.fold(one, longest * share + 1e-6, size)]
            bold = len(labels.fold(names[0], longest * share + 1e-6, size)) if names else 0
            yield Block(tuple(rows), size, bold, rolling)


def _below(block: Block, high: float) -> tuple[tuple[Item, ...], float]:
    return block.items(BORDER_MM, high), high + block.height + BORDER_MM


def _rolling_arrow(left: float, top: float, rolling: Rolling) -> tuple[Item, ...]:
    """An arrow with a head at both ends: rolling has a direction but no sense."""
    if not rolling:
        return ()
    a, b, way = (left, top + 3), (left + ARROW_MM, top + 3), (1.0, 0.0)
    if rolling == "across":
        a, b, way = (left + 3, top + 1), (left + 3, top + 1 + ARROW_MM), (0.0, 1.0)
    back = (-way[0], -way[1])
    return (
        line("dimension", a, b),
        arrow_head("dimension", a, back, PX_MM),
        arrow_head("dimension", b, way, PX_MM),
    )


def _box(a: Point, b: Point) -> Box:
    return Box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])).grown(1e-6)


def holds(piece: Sequence[Point], box: Box) -> bool:
    """Tell whether a box lies inside a closed polygon: its middle does and no side of the polygon enters it."""
    if any(_box(a, b).meets(box) for a, b in zip(piece, [*piece[1:], piece[0]], strict=True)):
        return False
    return inside(piece, ((box.left + box.right) / 2, (box.top + box.bottom) / 2))


def inside(piece: Sequence[Point], point: Point) -> bool:
    """Tell whether a point lies inside a closed polygon: a level line from it crosses an odd number of sides."""
    x, y = point
    odd = False
    for (ax, ay), (bx, by) in zip(piece, [*piece[1:], piece[0]], strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            odd = not odd
    return odd
