"""Straight and circular runs: their ends, their extent, and shorthand for making them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from jobs.drawings.letters import Box
from jobs.forming.outline import end_of, polar, start_of
from jobs.forming.result import Arc, Point, Run, Straight


def along(point: Point, direction: Point, distance: float) -> Point:
    """Return the point at a distance along a unit direction."""
    return (point[0] + direction[0] * distance, point[1] + direction[1] * distance)


def on_circle(centre: Point, radius: float, angle_rad: float) -> Point:
    """Return the point of a circle in a direction (scene coordinates, y downwards)."""
    return polar(radius, angle_rad, centre)


def ends(run: Run) -> tuple[Point, Point]:
    """Return first and last point of a run."""
    return start_of(run), end_of(run)


def extent(run: Run) -> list[Point]:
    """Return points whose rectangle holds a run: its ends and, for an arc, the sides of its circle it passes."""
    points = list(ends(run))
    if isinstance(run, Arc):
        low, high = sorted((run.start_rad, run.start_rad + run.sweep_rad))
        quarter = math.pi / 2
        first, last = math.ceil(low / quarter - 1e-12), math.floor(high / quarter + 1e-12)
        points += [on_circle(run.centre, run.radius_mm, index * quarter) for index in range(first, last + 1)]
    return points


def bounds(runs: Iterable[Run]) -> Box:
    """Return the rectangle that holds some runs; ``top`` is the least y."""
    xs: list[float] = []
    ys: list[float] = []
    for run in runs:
        # Drawings are mostly straights, and are looked at this way many times over.
        points = (run.start, run.end) if isinstance(run, Straight) else extent(run)
        for x, y in points:
            xs.append(x)
            ys.append(y)
    return Box(min(xs), min(ys), max(xs), max(ys))


def polyline(points: Sequence[Point], closed: bool = False) -> tuple[Straight, ...]:
    """Return the straight runs through some points."""
    runs = tuple(Straight(a, b) for a, b in itertools.pairwise(points))
    return (*runs, Straight(points[-1], points[0])) if closed else runs


def box_runs(left: float, top: float, width: float, height: float) -> tuple[Straight, ...]:
    """Return the four sides of an upright rectangle."""
    right, bottom = left + width, top + height
    return polyline(((left, top), (right, top), (right, bottom), (left, bottom)), closed=True)
