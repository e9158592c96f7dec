"""What one view of a panel shows: metal, marks and measures in millimetres, before it is laid out."""

from __future__ import annotations

from dataclasses import dataclass

from jobs.drawings.scene import Run
from jobs.forming.result import Point


@dataclass(frozen=True, slots=True)
class Mark:
    """A place on the metal with its name; an empty text leaves the place unnamed.

    With a ``role`` a short tick in that role's dash crosses the metal, which runs in ``heading_rad`` there.
    """

    text: str
    point: Point
    name: str = ""
    role: str = ""
    heading_rad: float = 0.0


@dataclass(frozen=True, slots=True)
class Span:
    """A straight dimension, ``offset_px`` to the left of the way from start to end (metal's own hand).

    ``name`` is the dimension's field, so that it can be shown as being edited.
    """

    start: Point
    end: Point
    text: str
    offset_px: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class Round:
    """A radius: a line towards the arc from its centre, or from nearer where the centre is far off.

    ``whole`` draws it from the centre whatever its length, for views that show the centre; ``outside`` draws its
    arrow from beyond the arc, where the side of the centre is taken.
    """

    centre: Point
    radius_mm: float
    angle_rad: float
    text: str
    name: str = ""
    whole: bool = False
    outside: bool = False


@dataclass(frozen=True, slots=True)
class Turn:
    """An angle about a point, drawn at a radius in pixels, between two thin rays.

    The rays end just past the arc, or at ``ray_mm`` where they lead to the ends of the panel.
    """

    centre: Point
    start_rad: float
    sweep_rad: float
    text: str
    name: str = ""
    radius_px: float = 34.0
    ray_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class View:
    """All that one view shows, millimetres, y upwards.

    ``metal`` is the mid-surface of the sheet, drawn as thick as the sheet (never thinner than can be seen);
    ``strokes`` are further lines by role; ``fills`` are areas by role. With ``both_sides`` labels stand left and
    right, each beside what it names: for views whose leaders would else run across the metal.
    """

    title: str
    description: str
    thickness_mm: float = 0.0
    metal: tuple[Run, ...] = ()
    fills: tuple[tuple[str, tuple[Run, ...]], ...] = ()
    strokes: tuple[tuple[str, tuple[Run, ...]], ...] = ()
    points: tuple[Point, ...] = ()
    marks: tuple[Mark, ...] = ()
    spans: tuple[Span, ...] = ()
    rounds: tuple[Round, ...] = ()
    turns: tuple[Turn, ...] = ()
    remarks: tuple[str, ...] = ()
    both_sides: bool = False

    def runs(self) -> tuple[Run, ...]:
        """Return everything that has a size of its own."""
        drawn = [run for _, runs in (*self.fills, *self.strokes) for run in runs]
        return (*self.metal, *drawn)
