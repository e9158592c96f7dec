"""Labels that never touch: a column beside the drawing, each label tied to its line by a leader."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from jobs.drawings import letters
from jobs.drawings.letters import Box
from jobs.drawings.scene import Circle, Item, Path, Text, leaves, polyline
from jobs.forming.result import Point, Straight

LINE_HEIGHT = 17.0
NOTE_HEIGHT, BETWEEN_NOTES = 16.0, 4.0
SAME = 1e-6
STEP_PX = 6.0  # less than a figure is wide
_BREAKS = re.compile(r"(?<!\d) |(?<=\d) (?!mm\b|in\b|h\b|\d+/\d)")


@dataclass(frozen=True, slots=True)
class Label:
    """What to write and the point it speaks of; ``order`` breaks ties between points of equal height."""

    anchor: Point
    text: str
    order: float = 0.0
    role: str = "label"


def spread(wanted: Sequence[float], gap: float, lowest: float) -> list[float]:
    """Move rising positions as little as possible until they lie ``gap`` apart and none is under ``lowest``.

    The least sum of squared moves: neighbours that are too close join in a block around their mean.

    >>> spread([10, 11, 50], 10, 0)
    [5.5, 15.5, 50.0]
    >>> spread([1, 2], 10, 0)
    [0.0, 10.0]
    """
    blocks: list[tuple[float, int]] = []
    for index, position in enumerate(wanted):
        mean, count = float(position - index * gap), 1
        while blocks and blocks[-1][0] > mean:
            before, many = blocks.pop()
            mean = (mean * count + before * many) / (count + many)
            count += many
        blocks.append((mean, count))
    starts = [max(mean, float(lowest)) for mean, count in blocks for _ in range(count)]
    return [start + index * gap for index, start in enumerate(starts)]


def column(
    labels: Iterable[Label], beside: float, top: float, px: float = 1.0, *, leftward: bool = False
) -> tuple[Item, ...]:
    """Write labels one under another, none above ``top``, with leaders from their points.

    They begin at ``beside``; with ``leftward`` they end there and the column stands left of the drawing.
    """
    rows = sorted(labels, key=lambda label: (label.anchor[1], label.order))
    size = 12 * px
    side = -1 if leftward else 1
    elbow = beside - side * 14 * px
    rows, heights = _placed(rows, LINE_HEIGHT * px, top, elbow)
    leaders: list[Item] = []
    texts: list[Item] = []
    for row, height in zip(_untangled(rows, heights, elbow), heights, strict=True):
        course = (row.anchor, (elbow, height), (beside - side * 4 * px, height))
        leaders += [Path("leader", polyline(course)), Circle("dot", row.anchor, 1.6 * px)]
        at = (beside, height + letters.MIDDLE * size)
        bold = row.role.startswith("editing")
        texts.append(Text(row.role, at, row.text, "end" if leftward else "start", size, bold, halo="field"))
    return (*leaders, *texts)


def _placed(rows: list[Label], gap: float, top: float, elbow: float) -> tuple[list[Label], list[float]]:
    """Spread labels about their places; those of places nearly level, one behind the other, all over them where
    there is room, else under.

    These stand in the order in which their places follow one another towards the column.
    """
    wanted = [row.anchor[1] for row in rows]
    block = gap * (len(wanted) - 1)
    places = [row.anchor[0] for row in rows]
    if not rows or wanted[-1] - wanted[0] >= block / 3 or max(places) - min(places) < gap:
        return rows, spread(wanted, gap, top)
    above = wanted[0] - block >= top
    first = wanted[0] - block if above else wanted[-1]
    nearest_first = sorted(rows, key=lambda row: abs(elbow - row.anchor[0]), reverse=above)
    return nearest_first, [first + index * gap for index in range(len(wanted))]


def _untangled(rows: list[Label], heights: Sequence[float], elbow: float) -> list[Label]:
    """Give crossing leaders each other's place, until none cross.

    Every exchange shortens the two leaders together, so that it comes to an end; the bound is for rounding.
    """
    for _ in range(len(rows) ** 2):
        exchanged = False
        for one, other in itertools.combinations(range(len(rows)), 2):
            if _cross(rows[one].anchor, heights[one], rows[other].anchor, heights[other], elbow):
                rows[one], rows[other] = rows[other], rows[one]
                exchanged = True
        if not exchanged:
            break
    return rows


def _cross(one: Point, ones: float, other: Point, others: float, elbow: float) -> bool:
    """Whether the leaders from two points to two heights at the elbow's distance cross, ``one`` ending higher.

    They do where the point nearer to the elbow lies on the wrong side of the other's leader.
    """
    near, far, end, sign = (
        (one, other, others, 1.0) if _is_nearer(one, other, elbow) else (other, one, ones, -1.0)
    )
    if far[0] == elbow:
        return False
    part = (near[0] - far[0]) / (elbow - far[0])
    return sign * (near[1] - far[1] - part * (end - far[1])) > SAME


def _is_nearer(one: Point, other: Point, elbow: float) -> bool:
    return abs(elbow - one[0]) <= abs(elbow - other[0])


def column_width(texts: Iterable[str], px: float = 1.0) -> float:
    """Return the room that a column of labels needs, leaders' elbows included."""
    return max((letters.width(text, 12 * px) for text in texts), default=0.0) + 22 * px


def fold(text: str, room: float, size: float = 12.0) -> list[str]:
    """Break a sentence into lines no wider than the room; a word never breaks, nor a figure from its unit.

    >>> fold("every 5th gather numbered", 90)
    ['every 5th', 'gather', 'numbered']
    >>> fold("Laid flat: 1 3/4 in", 60)
    ['Laid flat:', '1 3/4 in']
    """
    lines: list[str] = []
    wide, space = 0.0, letters.width(" ", size)
    for word in _BREAKS.split(text):
        more = letters.width(word, size)
        if lines and wide + space + more <= room:
            lines[-1] += f" {word}"
            wide += space + more
        else:
            lines.append(word)
            wide = more
    return lines


def notes(paragraphs: Iterable[str], left: float, top: float, room: float) -> tuple[Text, ...]:
    """Write small remarks under a drawing, folded to the room, with a little air between paragraphs."""
    made: list[Text] = []
    y = top + 12
    for paragraph in paragraphs:
        for row in fold(paragraph, room):
            made.append(Text("note", (left, y), row))
            y += NOTE_HEIGHT
        y += BETWEEN_NOTES
    return tuple(made)


def off_the_drawing(width: float = math.inf, height: float = math.inf) -> tuple[Box, ...]:
    """Return what lies beyond a drawing's borders, where nothing may be written; one that grows has no far border."""
    far = math.inf
    return (
        Box(-far, -far, 0.0, far),
        Box(-far, -far, far, 0.0),
        Box(width, -far, far, far),
        Box(-far, height, far, far),
    )


def places(items: Iterable[Item]) -> Iterator[Box]:
    """The places of lettering and, step by step, of the straight lines between what is measured or named and its
    figure: what is written on such a line is taken for it.
    """
    for leaf in leaves(items):
        if isinstance(leaf, Text):
            yield leaf.box()
        elif isinstance(leaf, Path):
            for run in leaf.runs:
                if isinstance(run, Straight):
                    yield from _along(run)


def _along(run: Straight) -> Iterator[Box]:
    (ax, ay), (bx, by) = run.start, run.end
    if ax == bx or ay == by:
        yield Box(min(ax, bx) - 1, min(ay, by) - 1, max(ax, bx) + 1, max(ay, by) + 1)
        return
    steps = max(1, math.ceil(math.dist(run.start, run.end) / STEP_PX))
    for step in range(steps + 1):
        x, y = ax + (bx - ax) * step / steps, ay + (by - ay) * step / steps
        yield Box(x - 1, y - 1, x + 1, y + 1)


class Taken:
    """The places that lettering has taken so far."""

    def __init__(self, boxes: Iterable[Box] = ()) -> None:
        self.boxes = list(boxes)

    def free(self, box: Box) -> bool:
        """Tell whether nothing stands here yet."""
        return not any(box.meets(other) for other in self.boxes)

    def take(self, box: Box) -> None:
        """Keep a place."""
        self.boxes.append(box)
