"""The gathers on a flat pattern: wedges, and as many pass numbers as can be read."""

from __future__ import annotations

import math
from collections.abc import Sequence

from jobs.drawings import letters
from jobs.drawings.labels import Taken
from jobs.drawings.place import Placement
from jobs.drawings.scene import Area, Item, Path, Text, along, polyline
from jobs.forming.result import Gather, Point

THINNINGS = (1, 2, 3, 5, 10, 20, 25, 50, 100, 200, 500, 1000)


def wedges(gathers: Sequence[Gather], place: Placement) -> tuple[tuple[Item, ...], str]:
    """Draw the wedges; where they would run into a blot, draw every so many and say so."""
    step = _drawn_step(gathers, place.scale)
    fills, sides = [], []
    for gather in gathers[::step]:
        left, apex, right = (place.point(point) for point in (gather.left, gather.apex, gather.right))
        fills.append(Area("gather-fill", polyline((left, apex, right), closed=True)))
        sides.append(Path("gather", polyline((left, apex, right))))
    return (*fills, *sides), f"Only every {ordinal(step)} gather is drawn." if step > 1 else ""


def _drawn_step(gathers: Sequence[Gather], scale: float) -> int:
    if len(gathers) < 60:
        return 1
    mouths = [mouth(gather) for gather in gathers]
    xs, ys = [x for x, _ in mouths], [y for _, y in mouths]
    around = 2 * math.hypot(max(xs) - min(xs), max(ys) - min(ys)) * scale
    return next((step for step in THINNINGS if around * step / len(gathers) >= 3), THINNINGS[-1])


def mouth(gather: Gather) -> Point:
    """Return the middle of a gather's open end."""
    return ((gather.left[0] + gather.right[0]) / 2, (gather.left[1] + gather.right[1]) / 2)


def pass_numbers(gathers: Sequence[Gather], place: Placement, taken: Taken) -> tuple[tuple[Text, ...], str]:
    """Number as many gathers as fit beyond their mouths: all, or every second, third, fifth, tenth, ..."""
    if not gathers:
        return (), ""
    texts = [_number(gather, place) for gather in gathers]
    for step in THINNINGS:
        some, room = texts[::step], Taken(taken.boxes)
        if all(_take(room, text) for text in some):
            rest = f"Every {ordinal(step)} gather carries the number of its pass."
            return tuple(some), "Each gather carries the number of its pass." if step == 1 else rest
    return (), "Too many gathers to number here; the table of passes counts them."


def _take(room: Taken, text: Text) -> bool:
    box = text.box().grown(1)
    if not room.free(box):
        return False
    room.take(box)
    return True


def _number(gather: Gather, place: Placement) -> Text:
    apex, middle = place.point(gather.apex), place.point(mouth(gather))
    reach = math.dist(apex, middle) or 1.0
    way = ((middle[0] - apex[0]) / reach, (middle[1] - apex[1]) / reach)
    x, y = along(middle, way, 13)
    return Text("number", (x, y + letters.MIDDLE * 12), str(gather.pass_number), "middle", halo="field")


def ordinal(number: int) -> str:
    """Write 2nd, 3rd, 5th.

    >>> [ordinal(n) for n in (1, 2, 3, 5, 11, 21, 100)]
    ['1st', '2nd', '3rd', '5th', '11th', '21st', '100th']
    """
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"
