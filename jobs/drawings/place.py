"""Where the metal's millimetres (y upwards) land on a drawing (y downwards)."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from jobs.drawings.letters import Box
from jobs.drawings.scene import Run
from jobs.forming.result import Arc, Point, Straight


@dataclass(frozen=True, slots=True)
class Placement:
    """A scale and a place: scene units per millimetre, and where the origin of the metal lies.

    ``mirrored`` reflects the metal left to right; lettering is placed afterwards and so stays readable.
    """

    scale: float
    x: float
    y: float
    mirrored: bool = False

    @property
    def _side(self) -> float:
        return -1.0 if self.mirrored else 1.0

    def point(self, point: Point) -> Point:
        """Return where a point of the metal lies on the drawing."""
        return (self.x + self._side * self.scale * point[0], self.y - self.scale * point[1])

    def run(self, run: Run) -> Run:
        """Return a run as it lies on the drawing."""
        if isinstance(run, Straight):
            return Straight(self.point(run.start), self.point(run.end))
        # Turning y over makes every angle its negative; turning x over makes it its supplement.
        start = math.pi + run.start_rad if self.mirrored else -run.start_rad
        sweep = run.sweep_rad if self.mirrored else -run.sweep_rad
        return Arc(self.point(run.centre), run.radius_mm * self.scale, start, sweep)

    def runs(self, runs: Iterable[Run]) -> tuple[Run, ...]:
        """Return several runs as they lie on the drawing."""
        return tuple(self.run(run) for run in runs)


def fitted(
    metal: Box, room: Box, *, mirrored: bool = False, scale: float | None = None, enlarge: float = math.inf
) -> Placement:
    """Place a rectangle of metal in the middle of a room of the drawing, as large as fits.

    ``metal`` has its least y in ``top``. ``scale`` fixes the scale instead; ``enlarge`` is the largest
    allowed.
    """
    wide, high = metal.right - metal.left, metal.bottom - metal.top
    if scale is None:
        fits_x = (room.right - room.left) / wide if wide > 0 else math.inf
        fits_y = (room.bottom - room.top) / high if high > 0 else math.inf
        scale = min(fits_x, fits_y, enlarge)
    side = -1.0 if mirrored else 1.0
    x = (room.left + room.right) / 2 - side * scale * (metal.left + metal.right) / 2
    y = (room.top + room.bottom) / 2 + scale * (metal.top + metal.bottom) / 2
    return Placement(scale, x, y, mirrored)
