"""A pattern piece as a thumbnail for lists."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from jobs.drawings.letters import Box
from jobs.drawings.place import Placement, fitted
from jobs.drawings.scene import Area, Circle, Item, Path, Run, Scene, bounds, ends, on_circle
from jobs.forming.result import Point, Straight, Work


def small_piece(
    work: Work, *, width: float = 86.0, height: float = 60.0, mirrored: bool = False, ghost: bool = False,
    picked: bool = False, name: str = "",
) -> Scene:  # fmt: skip
    """Draw a thumbnail of the pattern piece for lists: kraft with a hang hole, or dashed where not started."""
    box = bounds(work.by_length.runs)
    place = fitted(box, Box(3, 3, width - 3, height - 3), mirrored=mirrored)
    runs = place.runs(work.by_length.runs)
    line = "ghost" if ghost else "picked-line" if picked else "kraft-line"
    items: list[Item] = [] if ghost else [Area("picked" if picked else "kraft", runs)]
    items.append(Path(line, runs, closed=True))
    hole = _hang_hole(work, place)
    if hole:
        items.append(Circle(line, hole, 2.4, filled=not ghost))
    return Scene(name or "Pattern piece", "Mirrored hand." if mirrored else "", width, height, tuple(items))


def _hang_hole(work: Work, place: Placement) -> Point | None:
    """A place inside the piece near its right end, on a level through it: mirrored hands hang by the other end."""
    points = [place.point(point) for point in flattened(work.by_length.runs)]
    ys = [y for _, y in points]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    best: tuple[float, Point] | None = None
    for part in (0.5, 0.35, 0.65, 0.2, 0.8):
        y = min(ys) + part * (max(ys) - min(ys))
        crossings = sorted(_crossings(points, y))
        for a, b in zip(crossings[::2], crossings[1::2], strict=False):
            spot = a + min(8.0, (b - a) / 2) if place.mirrored else b - min(8.0, (b - a) / 2)
            badness = spot - left if place.mirrored else right - spot
            if b - a > 9 and (best is None or badness < best[0]):
                best = (badness, (spot, y))
    return best[1] if best else None


def _crossings(points: Sequence[Point], y: float) -> Iterable[float]:
    for (ax, ay), (bx, by) in zip(points, [*points[1:], points[0]], strict=True):
        if (ay > y) != (by > y):
            yield ax + (y - ay) / (by - ay) * (bx - ax)


def flattened(runs: Iterable[Run], step_rad: float = math.radians(6)) -> list[Point]:
    """Return points along some runs, arcs in steps of an angle."""
    points: list[Point] = []
    for run in runs:
        if isinstance(run, Straight):
            points.append(run.start)
            continue
        count = max(1, math.ceil(abs(run.sweep_rad) / step_rad))
        points += [
            on_circle(run.centre, run.radius_mm, run.start_rad + run.sweep_rad * index / count)
            for index in range(count)
        ]
    points.append(ends(tuple(runs)[-1])[1])
    return points
