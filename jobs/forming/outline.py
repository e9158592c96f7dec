"""Closed outlines of straight runs and arcs: making, measuring, flattening and mirroring them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from typing import overload

from jobs.forming.result import Arc, Gather, Line, Outline, Point, Run, Straight, Work

FLATNESS_MM = 0.05
CLOSED_MM = 1e-6  # ends nearer than this are one point, and the rest is rounding


def polar(radius_mm: float, angle_rad: float, centre: Point = (0.0, 0.0)) -> Point:
    """Return the point at a radius and an angle from a centre."""
    return centre[0] + radius_mm * math.cos(angle_rad), centre[1] + radius_mm * math.sin(angle_rad)


def start_of(run: Run) -> Point:
    """Return the point where a run begins."""
    return run.start if isinstance(run, Straight) else polar(run.radius_mm, run.start_rad, run.centre)


def end_of(run: Run) -> Point:
    """Return the point where a run ends."""
    if isinstance(run, Straight):
        return run.end
    return polar(run.radius_mm, run.start_rad + run.sweep_rad, run.centre)


def rectangle(length_mm: float, width_mm: float) -> Outline:
    """Return a rectangle round the origin, its length along x.

    >>> area(rectangle(30, 20))
    600.0
    """
    x, y = length_mm / 2, width_mm / 2
    return polygon(((-x, -y), (x, -y), (x, y), (-x, y)))


def polygon(points: tuple[Point, ...]) -> Outline:
    """Return the closed outline through points given counter-clockwise."""
    return Outline(tuple(Straight(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True)))


def circle(radius_mm: float) -> Outline:
    """Return a circle round the origin."""
    return Outline((Arc((0.0, 0.0), radius_mm, 0.0, math.tau),))


def area(outline: Outline) -> float:
    """Return the area an outline encloses, mm², arcs taken exactly (Green's theorem).

    >>> round(area(circle(1)), 9) == round(math.pi, 9)
    True
    """
    return sum(_area_under(run) for run in outline.runs)


def _area_under(run: Run) -> float:
    if isinstance(run, Straight):
        (x0, y0), (x1, y1) = run.start, run.end
        return (x0 * y1 - x1 * y0) / 2
    first, last, (x, y) = run.start_rad, run.start_rad + run.sweep_rad, run.centre
    off_centre = x * (math.sin(last) - math.sin(first)) - y * (math.cos(last) - math.cos(first))
    return run.radius_mm * (run.radius_mm * run.sweep_rad + off_centre) / 2


def length(runs: Iterable[Run]) -> float:
    """Return the length of runs, mm.

    >>> length(rectangle(30, 20).runs)
    100.0
    """
    return sum(
        math.dist(run.start, run.end) if isinstance(run, Straight) else run.radius_mm * abs(run.sweep_rad)
        for run in runs
    )


def flatten(runs: Iterable[Run], flatness_mm: float = FLATNESS_MM) -> list[Point]:
    """Return points along runs, no chord further than ``flatness_mm`` from its arc.

    An outline comes back closed: its last point is its first, to the last digit.

    >>> flatten(rectangle(2, 2).runs)
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)]
    """
    points: list[Point] = []
    for run in runs:
        if not points:
            points.append(start_of(run))
        if isinstance(run, Arc):
            points += _along(run, flatness_mm)
        points.append(end_of(run))
    if len(points) > 2 and math.dist(points[0], points[-1]) < CLOSED_MM:
        points[-1] = points[0]
    return points


def _along(arc: Arc, flatness_mm: float) -> list[Point]:
    widest_rad = 2 * math.acos(max(0.0, 1 - flatness_mm / arc.radius_mm)) if arc.radius_mm > 0 else math.tau
    steps = max(1, math.ceil(abs(arc.sweep_rad) / widest_rad))
    return [
        polar(arc.radius_mm, arc.start_rad + arc.sweep_rad * step / steps, arc.centre)
        for step in range(1, steps)
    ]


@overload
def mirror(thing: Work) -> Work: ...
@overload
def mirror(thing: Outline) -> Outline: ...


def mirror(thing: Work | Outline) -> Work | Outline:
    """Return the other hand: outlines, lines and gathers reflected, x to -x. Twice is the same.

    >>> mirror(polygon(((0.0, 0.0), (3.0, 0.0), (0.0, 2.0)))).runs[0]
    Straight(start=(-0.0, 0.0), end=(-0.0, 2.0))
    """
    if isinstance(thing, Outline):
        return Outline(_mirror_runs(thing.runs))
    return replace(
        thing,
        by_length=mirror(thing.by_length),
        by_area=mirror(thing.by_area),
        trimmed=mirror(thing.trimmed),
        lines=tuple(_mirror_line(line) for line in thing.lines),
        gathers=tuple(_mirror_gather(gather) for gather in thing.gathers),
    )


def _mirror_runs(runs: tuple[Run, ...]) -> tuple[Run, ...]:
    # Reflection turns an outline clockwise; running it backwards turns it counter-clockwise again.
    return tuple(_mirror_run(run) for run in reversed(runs))


def _mirror_run(run: Run) -> Run:
    if isinstance(run, Straight):
        return Straight(_mirror_point(run.end), _mirror_point(run.start))
    last_rad = run.start_rad + run.sweep_rad
    return Arc(_mirror_point(run.centre), run.radius_mm, math.pi - last_rad, run.sweep_rad)


def _mirror_point(point: Point) -> Point:
    return -point[0], point[1]


def _mirror_line(line: Line) -> Line:
    return replace(line, path=_mirror_runs(line.path))


def _mirror_gather(gather: Gather) -> Gather:
    return replace(
        gather,
        apex=_mirror_point(gather.apex),
        left=_mirror_point(gather.right),
        right=_mirror_point(gather.left),
    )
