"""Dimensions: what is measured, with its lines, heads and figure, taken apart into primitives when it is drawn."""

from __future__ import annotations

import math
from dataclasses import dataclass

from jobs.drawings import letters
from jobs.drawings.primitives import ARROW_LENGTH_PX, Anchor, Area, Path, Text, arrow_head, cross_at
from jobs.drawings.runs import along, on_circle
from jobs.forming.result import Arc, Point, Straight

PAST_END_PX = 20.0  # how far a figure may go past the ends of the line that it stands beyond


@dataclass(frozen=True, slots=True)
class Dimension:
    """A straight dimension between two points, drawn ``offset`` to the left of the way from start to end.

    The figure stands in a gap of the line where it fits, else over or under it where it hardly goes past its ends,
    else beside it; the heads turn outwards when it is too short for them. ``role`` is ``dimension`` or ``editing``;
    ``px`` is the scene's unit per pixel.
    """

    start: Point
    end: Point
    text: str
    offset: float = 0.0
    role: str = "dimension"
    px: float = 1.0
    size: float = 12.0

    def parts(self) -> tuple[Path | Area | Text, ...]:
        """Return the lines, heads and lettering that show it."""
        length = math.dist(self.start, self.end)
        if length == 0:
            return ()
        ux, uy = (self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length
        nx, ny = uy, -ux
        shift = self.offset
        a = (self.start[0] + nx * shift, self.start[1] + ny * shift)
        b = (self.end[0] + nx * shift, self.end[1] + ny * shift)
        return (
            *self._extensions(nx, ny),
            *self._line(a, b, (ux, uy), length),
            *self._figure(a, b, (ux, uy), (nx, ny), length),
        )

    def _extensions(self, nx: float, ny: float) -> tuple[Path, ...]:
        """Thin lines from just off the measured points to just past the dimension line."""
        if abs(self.offset) < 4 * self.px:
            return ()
        side = math.copysign(1.0, self.offset)
        near, far = side * 3 * self.px, self.offset + side * 4 * self.px
        return tuple(
            Path("extension", (Straight((x + nx * near, y + ny * near), (x + nx * far, y + ny * far)),))
            for x, y in (self.start, self.end)
        )

    def _line(self, a: Point, b: Point, u: Point, length: float) -> tuple[Path | Area, ...]:
        head = ARROW_LENGTH_PX * self.px
        way = 1.0 if length >= 2.6 * head else -1.0
        heads = (
            arrow_head(self.role, a, (-u[0] * way, -u[1] * way), self.px),
            arrow_head(self.role, b, (u[0] * way, u[1] * way), self.px),
        )
        if way < 0:
            tails = (Straight(along(a, u, -2 * head), along(a, u, -head)), Straight(a, b),
                     Straight(along(b, u, head), along(b, u, 2 * head)))  # fmt: skip
            return (Path(self.role, tails), *heads)
        gap = self._gap(u, length)
        if not gap:
            return (Path(self.role, (Straight(along(a, u, head), along(b, u, -head)),)), *heads)
        before, after = (length - gap) / 2, (length + gap) / 2
        halves = (Straight(along(a, u, head), along(a, u, before)),
                  Straight(along(a, u, after), along(b, u, -head)))  # fmt: skip
        return (Path(self.role, halves), *heads)

    def _gap(self, u: Point, length: float) -> float:
        """Length of the break for the figure; 0 where the line is steep or too short to be broken."""
        if not self.text or abs(u[1]) >= 0.5:
            return 0.0
        gap = letters.width(self.text, self.size) + 10 * self.px
        return gap if gap + 2.6 * ARROW_LENGTH_PX * self.px <= length * abs(u[0]) else 0.0

    def _stands_beyond(self, length: float) -> bool:
        """Whether a level line that is too short to be broken is long enough to have its figure over or under it."""
        past = letters.width(self.text, self.size) - length
        return length >= 2.6 * ARROW_LENGTH_PX * self.px and past <= 2 * PAST_END_PX * self.px

    def _figure(self, a: Point, b: Point, u: Point, n: Point, length: float) -> tuple[Text, ...]:
        if not self.text:
            return ()
        role, bold = f"{self.role}-text", self.role == "editing"
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        drop, head = letters.MIDDLE * self.size, ARROW_LENGTH_PX * self.px
        anchor: Anchor
        if self._gap(u, length):
            at, anchor = (middle[0], middle[1] + drop), "middle"
        elif abs(u[1]) < 0.5 and self._stands_beyond(length):
            below = n[1] * (self.offset or -1.0) > 0
            at, anchor = (middle[0], middle[1] + (drop + 12 * self.px if below else -6 * self.px)), "middle"
        elif abs(u[1]) < 0.5:
            far = max(a, b)
            past = 6 * self.px if length >= 2.6 * head else 2 * head + 4 * self.px
            at, anchor = (far[0] + past, far[1] + drop), "start"
        else:
            # A steep line: the figure stays level, on the far side of the line from what is measured.
            side = math.copysign(1.0, n[0] * (self.offset or 1.0))
            at = (middle[0] + side * 7 * self.px, middle[1] + drop)
            anchor = "start" if side > 0 else "end"
        return (Text(role, at, self.text, anchor, self.size, bold, halo="field"),)


@dataclass(frozen=True, slots=True)
class RadiusDimension:
    """A radius: a line from the centre (or from ``inner`` along the way, which may lie beyond) to the arc, head on it.

    ``angle_rad`` is the direction from the centre in scene coordinates (y downwards).
    """

    centre: Point
    radius: float
    angle_rad: float
    text: str
    inner: float = 0.0
    text_at: float = 0.5
    role: str = "dimension"
    px: float = 1.0
    size: float = 12.0

    def parts(self) -> tuple[Path | Area | Text, ...]:
        """Return the line, head, centre cross and lettering that show it."""
        u = (math.cos(self.angle_rad), math.sin(self.angle_rad))
        tip = along(self.centre, u, self.radius)
        head = ARROW_LENGTH_PX * self.px
        start = along(self.centre, u, self.inner)
        way = 1.0 if self.inner <= self.radius else -1.0
        line = Path(self.role, (Straight(start, along(tip, u, -way * head)),))
        place = along(self.centre, u, self.inner + (self.radius - self.inner) * self.text_at)
        figure = Text(
            f"{self.role}-text", (place[0], place[1] + letters.MIDDLE * self.size), self.text, "middle",
            self.size, self.role == "editing", halo="field",
        )  # fmt: skip
        figures = (figure,) if self.text else ()
        cross = () if self.inner else (cross_at("dimension", self.centre, 5 * self.px),)
        return (*cross, line, arrow_head(self.role, tip, (way * u[0], way * u[1]), self.px), *figures)


@dataclass(frozen=True, slots=True)
class AngleDimension:
    """An angle: an arc between two directions with heads at both ends, lettering in its middle."""

    centre: Point
    radius: float
    start_rad: float
    sweep_rad: float
    text: str
    role: str = "dimension"
    px: float = 1.0
    size: float = 12.0

    def parts(self) -> tuple[Path | Area | Text, ...]:
        """Return the arc, heads and lettering that show it."""
        way = math.copysign(1.0, self.sweep_rad)
        head = ARROW_LENGTH_PX * self.px
        end_rad = self.start_rad + self.sweep_rad
        middle = self.start_rad + self.sweep_rad / 2
        ends = [on_circle(self.centre, self.radius, angle) for angle in (self.start_rad, end_rad)]
        room = abs(self.sweep_rad) * self.radius >= 3 * head
        back = head / self.radius * way if room else 0.0
        arc = Path(
            self.role, (Arc(self.centre, self.radius, self.start_rad + back, self.sweep_rad - 2 * back),)
        )
        heads: tuple[Area, ...] = ()
        if room:
            heads = tuple(
                arrow_head(self.role, tip, (-math.sin(a) * w, math.cos(a) * w), self.px)
                for tip, a, w in (
                    (ends[0], self.start_rad + back / 2, -way),
                    (ends[1], end_rad - back / 2, way),
                )
            )
        reach = self.radius + letters.width(self.text, self.size) / 2 * abs(math.cos(middle)) + 10 * self.px
        x, y = on_circle(self.centre, reach, middle)
        figure = Text(
            f"{self.role}-text", (x, y + letters.MIDDLE * self.size), self.text, "middle", self.size,
            self.role == "editing", halo="field",
        )  # fmt: skip
        return (arc, *heads, figure) if self.text else (arc, *heads)


Measure = Dimension | RadiusDimension | AngleDimension
