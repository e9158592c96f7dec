"""Where a full-size drawing leaves ink, for telling its white pages from the others."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from jobs.drawings.piece import flattened
from jobs.drawings.scene import Circle, Run, Scene, Text
from jobs.forming.result import Point, Straight

STEP_MM = 2.0
"""From one point of a line to the next: far less than the strip that two pages share."""
BESIDE_THE_PIECE = "mark"
"""The role of the ticks at the middles of the blank: they help nobody on a page that shows nothing of it."""


def ink_of(drawing: Scene) -> Iterator[Point]:
    """Yield points close together on all lines and lettering of a drawing that has a unit a millimetre."""
    for leaf in drawing.leaves():
        if isinstance(leaf, Text):
            box = leaf.box()
            yield from itertools.product((box.left, box.right), (box.top, box.bottom))
        elif isinstance(leaf, Circle):
            (x, y), r = leaf.centre, leaf.radius
            yield from ((x - r, y), (x + r, y), (x, y - r), (x, y + r))
        elif leaf.role != BESIDE_THE_PIECE:
            for run in leaf.runs:
                yield from _along(run)


def _along(run: Run) -> Iterator[Point]:
    if isinstance(run, Straight):
        (ax, ay), (bx, by) = run.start, run.end
        count = max(1, math.ceil(math.dist(run.start, run.end) / STEP_MM))
        yield from (
            (ax + (bx - ax) * step / count, ay + (by - ay) * step / count) for step in range(count + 1)
        )
    else:
        yield from flattened((run,), min(1.0, STEP_MM / run.radius_mm))
