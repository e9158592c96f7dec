"""The smallest rectangle of sheet that an outline can be cut from."""

from __future__ import annotations

import math

from jobs.forming.outline import end_of
from jobs.forming.result import Arc, Outline, Point


def extent(outline: Outline, direction: Point) -> float:
    """Return how far an outline reaches along a direction of length 1, mm, arcs taken exactly.

    >>> from jobs.forming.outline import circle
    >>> extent(circle(5), (0.6, 0.8))
    10.0
    """
    x, y = direction
    angle_rad = math.atan2(y, x)
    reach = [point[0] * x + point[1] * y for point in map(end_of, outline.runs)]
    for run in outline.runs:
        if isinstance(run, Arc):
            middle = run.centre[0] * x + run.centre[1] * y
            if _passes(run, angle_rad):
                reach.append(middle + run.radius_mm)
            if _passes(run, angle_rad + math.pi):
                reach.append(middle - run.radius_mm)
    return max(reach) - min(reach)


def _passes(arc: Arc, angle_rad: float) -> bool:
    first_rad = arc.start_rad if arc.sweep_rad >= 0 else arc.start_rad + arc.sweep_rad
    return (angle_rad - first_rad) % math.tau <= abs(arc.sweep_rad)


def smallest_rectangle(outline: Outline) -> tuple[float, float]:
    """Return the shorter and the longer side of the smallest rectangle round an outline, mm.

    The rectangles tried are the upright one and those that lie flush against the hull of the outline's
    corners. For straight-sided outlines the smallest is always one of these; for ring sectors the tests find
    none smaller at any angle.

    >>> from jobs.forming.outline import circle, rectangle
    >>> smallest_rectangle(rectangle(30, 20)), smallest_rectangle(circle(5))
    ((20.0, 30.0), (10.0, 10.0))

    Source: H. Freeman, R. Shapira, "Determining the minimum-area encasing rectangle for an arbitrary closed
    curve", Communications of the ACM 18 (1975), from memory.
    """
    sides = [sorted((extent(outline, (x, y)), extent(outline, (-y, x)))) for x, y in _directions(outline)]
    short, long = min(sides, key=lambda side: side[0] * side[1])
    return short, long


def _directions(outline: Outline) -> list[Point]:
    """Return the upright direction and those of the hull's sides, each once within a quarter turn."""
    corners = _hull(sorted({end_of(run) for run in outline.runs}))
    found: dict[float, Point] = {0.0: (1.0, 0.0)}
    for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
        angle_rad = math.atan2(y1 - y0, x1 - x0)
        quarter = round(angle_rad / (math.pi / 2) % 1, 9) % 1
        found.setdefault(quarter, (math.cos(angle_rad), math.sin(angle_rad)))
    return list(found.values())


def _hull(points: list[Point]) -> list[Point]:
    """Return the corners of the convex hull of sorted points (monotone chain)."""
    if len(points) < 3:
        return points
    return _half_hull(points) + _half_hull(points[::-1])


def _half_hull(points: list[Point]) -> list[Point]:
    half: list[Point] = []
    for x, y in points:
        while len(half) > 1 and _turns_right(half[-2], half[-1], (x, y)):
            half.pop()
        half.append((x, y))
    return half[:-1]


def _turns_right(a: Point, b: Point, c: Point) -> bool:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) <= 0
