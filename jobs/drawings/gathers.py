"""The gathers on a flat pattern: wedges, and the number of its pass at as many as have room for it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from jobs.drawings import letters
from jobs.drawings.labels import Taken
from jobs.drawings.place import Placement
from jobs.drawings.scene import Area, Item, Path, Run, Text, along, polyline
from jobs.forming.result import Gather, Point, Work

THINNINGS = (1, 2, 3, 5, 10, 20, 25, 50, 100, 200, 500, 1000)
CLOSEST_PX = 3.0
"""Wedges closer than this along the edge run into a blot."""


def wedges(gathers: Sequence[Gather], place: Placement) -> tuple[tuple[Item, ...], str]:
    """Draw the wedges; where they would run into a blot, draw every so many and return a remark that says
    so.
    """
    step = _drawn_step(gathers, place.scale)
    fills: list[Run] = []
    sides: list[Run] = []
    for gather in gathers:
        if (gather.number - 1) % step:
            continue
        left, apex, right = (place.point(point) for point in (gather.left, gather.apex, gather.right))
        fills += polyline((left, apex, right), closed=True)
        sides += polyline((left, apex, right))
    remark = f"Only every {ordinal(step)} gather of a pass is drawn." if step > 1 else ""
    if not sides:
        return (), remark
    return (Area("gather-fill", tuple(fills)), Path("gather", tuple(sides))), remark


def _drawn_step(gathers: Sequence[Gather], scale: float) -> int:
    if len(gathers) < 60:
        return 1
    mouths = [mouth(gather) for gather in gathers]
    xs, ys = [x for x, _ in mouths], [y for _, y in mouths]
    around = 2 * math.hypot(max(xs) - min(xs), max(ys) - min(ys)) * scale
    return next((step for step in THINNINGS if around * step / len(gathers) >= CLOSEST_PX), THINNINGS[-1])


def mouth(gather: Gather) -> Point:
    """Return the middle of a gather's open end."""
    return ((gather.left[0] + gather.right[0]) / 2, (gather.left[1] + gather.right[1]) / 2)


def number_texts(gathers: Sequence[Gather], place: Placement, trim_mm: float, px: float = 1.0) -> list[Text]:
    """Return the pass number of every gather beyond its mouth, taking the passes in turn.

    A number stands outside the trim line, or between edge and trim line where there is room for it.
    """
    turns = sorted(gathers, key=lambda gather: (gather.number, gather.pass_number))
    beyond_trim = trim_mm * place.scale + 10 * px
    reach = beyond_trim if beyond_trim < 30 * px else 13 * px
    return [_number(gather, place, max(reach, 13 * px), px) for gather in turns]


def pass_numbers(work: Work, place: Placement, taken: Taken, px: float = 1.0) -> tuple[tuple[Text, ...], str]:
    """Write as many pass numbers as fit without touching, and a remark that says how many that is."""
    texts = number_texts(work.gathers, place, work.marking.trim_mm, px)
    placed = []
    for text in texts:
        box = text.box().grown(1.5 * px)
        if taken.free(box):
            taken.take(box)
            placed.append(text)
    return tuple(placed), _remark(work, len(placed))


def _remark(work: Work, placed: int) -> str:
    wanted = sum(one.gathers for one in work.passes)
    if not work.gathers:
        return f"{wanted} gathers are too many to draw one by one." if wanted else ""
    if placed == len(work.gathers):
        return "Each gather carries the number of its pass."
    return f"{placed} of {len(work.gathers)} gathers carry the number of their pass; the rest have no room for it."


def _number(gather: Gather, place: Placement, beyond: float, px: float) -> Text:
    apex, middle = place.point(gather.apex), place.point(mouth(gather))
    reach = math.dist(apex, middle) or 1.0
    way = ((middle[0] - apex[0]) / reach, (middle[1] - apex[1]) / reach)
    x, y = along(middle, way, beyond)
    size = 12 * px
    return Text(
        "number", (x, y + letters.MIDDLE * size), str(gather.pass_number), "middle", size, halo="field"
    )


def ordinal(number: int) -> str:
    """Write 2nd, 3rd, 5th.

    >>> [ordinal(n) for n in (1, 2, 3, 5, 11, 21, 100)]
    ['1st', '2nd', '3rd', '5th', '11th', '21st', '100th']
    """
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"
