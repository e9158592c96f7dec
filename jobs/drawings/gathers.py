"""The gathers on a flat pattern: wedges, and the number of its pass at as many as have room for it."""

from __future__ import annotations

import itertools
import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence

from jobs.drawings import letters
from jobs.drawings.labels import Taken
from jobs.drawings.place import Placement
from jobs.drawings.scene import Area, Item, Path, Run, Text, along, polyline
from jobs.forming.result import Gather, Point, Work

CLOSEST_PX = 4.5
"""Marks closer than this along the edge run into a blot: 1 mm where a paper draws them at five sixths."""
SAME_PX = 0.6


def readable(gathers: Sequence[Gather], place: Placement) -> tuple[Gather, ...]:
    """Return the gathers whose mouths lie far enough apart to be told from one another: where a pass alone is too
    dense every so many of it.

    Passes of few gathers come first, so that each keeps all of them; those of many fill what is left between.
    """
    counts = Counter(gather.pass_number for gather in gathers)
    turns = sorted(gathers, key=lambda one: (counts[one.pass_number], one.pass_number, one.number))
    kept: dict[tuple[int, int], list[tuple[Point, int]]] = defaultdict(list)
    shown = []
    for gather in turns:
        x, y = point = place.point(mouth(gather))
        column, row = int(x // CLOSEST_PX), int(y // CLOSEST_PX)
        near = itertools.product((column - 1, column, column + 1), (row - 1, row, row + 1))
        others = (other for cell in near for other in kept.get(cell, ()))
        if all(_apart(point, gather.pass_number, *other) for other in others):
            kept[column, row].append((point, gather.pass_number))
            shown.append(gather)
    return tuple(shown)


def _apart(point: Point, number: int, other: Point, others_number: int) -> bool:
    """Whether two marks can be told apart, or lie on each other as one: passes with a gather at the same place."""
    distance = math.dist(point, other)
    return distance >= CLOSEST_PX or (distance <= SAME_PX and number != others_number)


def wedges(gathers: Sequence[Gather], place: Placement) -> tuple[Item, ...]:
    """Draw the wedges of some gathers."""
    fills: list[Run] = []
    sides: list[Run] = []
    for gather in gathers:
        left, apex, right = (place.point(point) for point in (gather.left, gather.apex, gather.right))
        fills += polyline((left, apex, right), closed=True)
        sides += polyline((left, apex, right))
    if not sides:
        return ()
    return (Area("gather-fill", tuple(fills)), Path("gather", tuple(sides)))


def mouth(gather: Gather) -> Point:
    """Return the middle of a gather's open end."""
    return ((gather.left[0] + gather.right[0]) / 2, (gather.left[1] + gather.right[1]) / 2)


def number_texts(
    gathers: Sequence[Gather], place: Placement, trim_mm: float, px: float = 1.0
) -> list[tuple[Text, int]]:
    """Return the pass number of every gather beyond its mouth, taking the passes in turn, and how many gathers it
    speaks of: those of several passes at one place share a text, after which the first comes alone.

    A number stands outside the trim line, or between edge and trim line where there is room for it.
    """
    beyond_trim = trim_mm * place.scale + 10 * px
    reach = max(beyond_trim if beyond_trim < 30 * px else 13 * px, 13 * px)
    made = []
    for some in _at_one_place(gathers, place, px):
        made.append((_number(some, place, reach, px), len(some)))
        if len(some) > 1:
            made.append((_number(some[:1], place, reach, px), 1))
    return made


def _at_one_place(gathers: Sequence[Gather], place: Placement, px: float) -> list[list[Gather]]:
    found: dict[tuple[int, int], list[Gather]] = {}
    for one in sorted(gathers, key=lambda gather: (gather.number, gather.pass_number)):
        x, y = place.point(mouth(one))
        found.setdefault((round(x / SAME_PX / px), round(y / SAME_PX / px)), []).append(one)
    return list(found.values())


def fitting(texts: Sequence[tuple[Text, int]], taken: Taken, air: float = 0.0) -> tuple[list[Text], int]:
    """Return the texts that have room where nothing is taken yet, and the sum of what they speak of; their places
    are taken then.
    """
    placed, spoken_of = [], 0
    for text, count in texts:
        box = text.box().grown(air)
        if taken.free(box):
            taken.take(box)
            placed.append(text)
            spoken_of += count
    return placed, spoken_of


def pass_numbers(
    work: Work, shown: Sequence[Gather], place: Placement, taken: Taken
) -> tuple[tuple[Text, ...], str]:
    """Write as many pass numbers of the gathers shown as fit without touching, and a remark that says how many of
    all gathers are drawn and carry one.
    """
    placed, numbered = fitting(number_texts(shown, place, work.marking.trim_mm), taken, 1.5)
    return tuple(placed), _remark(work, len(shown), numbered)


def noun(work: Work) -> str:
    """What the passes are made of: gathers, or where nothing is gathered stretches."""
    return "stretches" if work.stretch_angle_rad > 0 and not work.gather_angle_rad else "gathers"


def _remark(work: Work, shown: int, placed: int) -> str:
    wanted, count = sum(one.gathers for one in work.passes), len(work.gathers)
    if not count:
        return f"{wanted} {noun(work)} are too many to draw one by one." if wanted else ""
    if shown < count:
        numbered = f", {placed} with their pass" if placed < shown else ""
        return f"{shown} of {count} {noun(work)} are drawn{numbered}; the full-size pattern has all."
    if placed == count:
        return f"Each {'stretch' if noun(work) == 'stretches' else 'gather'} carries the number of its pass."
    verb = "carries" if placed == 1 else "carry"
    return f"{placed} of {count} {noun(work)} {verb} the number of {'its' if placed == 1 else 'their'} pass."


def _number(together: Sequence[Gather], place: Placement, beyond: float, px: float) -> Text:
    gather, size = together[0], 12 * px
    apex, middle = place.point(gather.apex), place.point(mouth(gather))
    reach = math.dist(apex, middle) or 1.0
    way = ((middle[0] - apex[0]) / reach, (middle[1] - apex[1]) / reach)
    said = ranges({one.pass_number for one in together})
    # What is wider than one figure stands further off at the sides, so that it keeps clear of the edge.
    wider = (letters.width(said, size) - letters.width("0", size)) / 2
    x, y = along(middle, way, beyond + wider * abs(way[0]))
    return Text("number", (x, y + letters.MIDDLE * size), said, "middle", size, halo="field")


def ranges(numbers: Iterable[int]) -> str:
    """Write numbers in order, three or more that follow one another as a range.

    >>> ranges({1, 2}), ranges({6, 7, 8, 9, 2})
    ('1, 2', '2, 6–9')
    """
    rows: list[list[int]] = []
    for number in sorted(numbers):
        if rows and rows[-1][-1] + 1 == number:
            rows[-1].append(number)
        else:
            rows.append([number])
    return ", ".join(f"{row[0]}–{row[-1]}" if len(row) > 2 else ", ".join(map(str, row)) for row in rows)


def ordinal(number: int) -> str:
    """Write 2nd, 3rd, 5th.

    >>> [ordinal(n) for n in (1, 2, 3, 5, 11, 21, 100)]
    ['1st', '2nd', '3rd', '5th', '11th', '21st', '100th']
    """
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"
