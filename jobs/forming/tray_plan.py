"""A tray's flat, seen from above: sides with and without flange, corners round or square."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from jobs.forming.arcs import QUARTER
from jobs.forming.outline import area, end_of, polar, start_of
from jobs.forming.result import Arc, Outline, Point, Run, Straight

# Counter-clockwise from the right-hand end: length along x, width along y. A side named "front" or "back" is as
# long as the tray is wide; "right" and "left" are as long as the tray is long.
SIDES = ("front", "left", "back", "right")
OUTWARD: dict[str, Point] = {
    "front": (1.0, 0.0),
    "left": (0.0, 1.0),
    "back": (-1.0, 0.0),
    "right": (0.0, -1.0),
}
CORNERS = tuple(zip(SIDES, SIDES[1:] + SIDES[:1], strict=True))


@dataclass(frozen=True, slots=True)
class TrayPlan:
    """The flat web of a tray, and its flanges laid flat round it.

    ``inset_mm`` is from the outside dimension in to the start line; ``sides`` are those with a flange.
    """

    half_length_mm: float
    half_width_mm: float
    inset_mm: float
    start_radius_mm: float
    sides: frozenset[str]

    def reach(self, side: str, offset_mm: float) -> float:
        """Return how far a side reaches from the middle, ``offset_mm`` beyond the start line."""
        half_mm = self.half_length_mm if side in ("front", "back") else self.half_width_mm
        return half_mm - self.inset_mm + offset_mm if side in self.sides else half_mm

    def area(self, offset_mm: float) -> float:
        """Return the area of the flat up to a distance from the start line, mm²."""
        return area(self.outline(offset_mm))

    def outline(self, offset_mm: float, corner_mm: float | None = None, trim_mm: float = 0.0) -> Outline:
        """Return the outline at a distance from the start line, with trim beyond it.

        ``corner_mm`` is the radius of gathered corners where it is not start radius and distance together.
        """
        runs: list[Run] = []
        ends = [self._corner(before, after, offset_mm, corner_mm, trim_mm) for before, after in CORNERS]
        for corner, following in zip(ends, ends[1:] + ends[:1], strict=True):
            runs += corner
            start, end = end_of(corner[-1]), start_of(following[0])
            if math.dist(start, end) > 1e-9:
                runs.append(Straight(start, end))
        return Outline(tuple(run for run in runs if not _is_point(run)))

    def _corner(
        self, before: str, after: str, offset_mm: float, corner_mm: float | None, trim_mm: float
    ) -> list[Run]:
        """Return the runs of one corner, from the side before to the side after."""
        tip = self._cross(before, after, offset_mm, trim_mm)
        if not {before, after} <= self.sides:
            return [Straight(tip, tip)]
        kept_mm = self.start_radius_mm + offset_mm
        radius_mm = (kept_mm if corner_mm is None else corner_mm) + trim_mm
        centre = self._centre(before, after)
        first_rad = math.atan2(OUTWARD[before][1], OUTWARD[before][0])
        arc = Arc(centre, radius_mm, first_rad, QUARTER)
        if corner_mm is None:
            return [arc]
        outer_mm = kept_mm + trim_mm
        return [
            Straight(polar(outer_mm, first_rad, centre), start_of(arc)),
            arc,
            Straight(end_of(arc), polar(outer_mm, first_rad + QUARTER, centre)),
        ]

    def _cross(self, before: str, after: str, offset_mm: float, trim_mm: float = 0.0) -> Point:
        (x0, y0), (x1, y1) = OUTWARD[before], OUTWARD[after]
        first_mm, second_mm = (self.reach(side, offset_mm) + trim_mm for side in (before, after))
        return x0 * first_mm + x1 * second_mm, y0 * first_mm + y1 * second_mm

    def _centre(self, before: str, after: str) -> Point:
        return self._cross(before, after, -self.start_radius_mm)

    def gathered_corners(self) -> Iterator[tuple[Point, float]]:
        """Yield centre and first angle of every corner between two flanges."""
        for before, after in CORNERS:
            if {before, after} <= self.sides:
                yield self._centre(before, after), math.atan2(OUTWARD[before][1], OUTWARD[before][0])

    def courses(self, offset_mm: float) -> Iterator[tuple[Run, ...]]:
        """Yield the courses of the line at a distance from the start line, each unbroken."""
        open_sides = [side for side in SIDES if side not in self.sides]
        if not open_sides:
            yield self.outline(offset_mm).runs
            return
        first = SIDES.index(open_sides[0])
        course: list[Run] = []
        for step in range(1, 5):
            side = SIDES[(first + step) % 4]
            before, after = SIDES[(first + step - 1) % 4], SIDES[(first + step + 1) % 4]
            if side not in self.sides:
                if course:
                    yield tuple(course)
                course = []
                continue
            corner = self._corner(side, after, offset_mm, None, 0.0)
            start = end_of(course[-1]) if course else self._cross(before, side, offset_mm)
            if math.dist(start, start_of(corner[0])) > 1e-9:
                course.append(Straight(start, start_of(corner[0])))
            course += [run for run in corner if not _is_point(run)]


def _is_point(run: Run) -> bool:
    if isinstance(run, Straight):
        return math.dist(run.start, run.end) < 1e-9
    return run.radius_mm < 1e-9
