"""The simple things a drawing is made of, each with a role, and shorthand for making them; units as in ``scene``."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from jobs.drawings import letters
from jobs.drawings.letters import Box
from jobs.drawings.runs import along, box_runs, polyline
from jobs.forming.result import Point, Run, Straight

Anchor = Literal["start", "middle", "end"]

INCH_MM = 25.4
PX_MM = INCH_MM / 96
"""A CSS pixel, so many units of a full-size scene."""
ARROW_LENGTH_PX = 9.0
ARROW_WIDTH_PX = 6.0


@dataclass(frozen=True, slots=True)
class Path:
    """A stroked line of straight and circular runs; a gap between runs lifts the pen.

    ``width`` overrides the role's stroke width, in scene units: the metal of a section is as thick as the
    sheet.
    """

    role: str
    runs: tuple[Run, ...]
    closed: bool = False
    width: float | None = None


@dataclass(frozen=True, slots=True)
class Area:
    """A filled region without a border: solid or in the role's pattern.

    ``origin`` is where the pattern starts.
    """

    role: str
    runs: tuple[Run, ...]
    origin: Point = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle: stroked, or filled with the drawing ground and stroked."""

    role: str
    centre: Point
    radius: float
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """One line of lettering, ``at`` on the baseline; ``halo`` clears the lines behind it.

    ``rotate_deg`` turns it clockwise about ``at``. Lettering is never mirrored.
    """

    role: str
    at: Point
    text: str
    anchor: Anchor = "start"
    size: float = 12.0
    bold: bool = False
    rotate_deg: float = 0.0
    halo: Literal["", "field", "kraft"] = ""

    def box(self) -> Box:
        """Return the upright rectangle that the lettering needs."""
        wide = letters.width(self.text, self.size)
        left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[self.anchor]
        top, bottom = -letters.ASCENT * self.size, letters.DESCENT * self.size
        turn = math.radians(self.rotate_deg)
        cos, sin = math.cos(turn), math.sin(turn)
        corners = [
            (self.at[0] + x * cos - y * sin, self.at[1] + x * sin + y * cos)
            for x in (left, left + wide)
            for y in (top, bottom)
        ]
        xs, ys = [x for x, _ in corners], [y for _, y in corners]
        return Box(min(xs), min(ys), max(xs), max(ys))


Leaf = Path | Area | Circle | Text


def line(role: str, start: Point, end: Point) -> Path:
    """Return a straight line."""
    return Path(role, (Straight(start, end),))


def rectangle(role: str, left: float, top: float, width: float, height: float) -> Path:
    """Return the outline of an upright rectangle."""
    return Path(role, box_runs(left, top, width, height), closed=True)


def filled_box(
    role: str, left: float, top: float, width: float, height: float, origin: Point | None = None
) -> Area:
    """Return an upright rectangle filled in its role's pattern, which starts at its top left corner."""
    return Area(role, box_runs(left, top, width, height), origin or (left, top))


def arrow_head(role: str, tip: Point, direction: Point, px: float = 1.0) -> Area:
    """Return a filled head, 9 long and 6 wide in pixels, whose tip points along a unit direction."""
    back = along(tip, direction, -ARROW_LENGTH_PX * px)
    half = ARROW_WIDTH_PX / 2 * px
    left = (back[0] - direction[1] * half, back[1] + direction[0] * half)
    right = (back[0] + direction[1] * half, back[1] - direction[0] * half)
    return Area(f"{role}-head", polyline((tip, left, right), closed=True))


def cross_at(role: str, centre: Point, arm: float) -> Path:
    """Return an upright cross."""
    x, y = centre
    return Path(role, (Straight((x - arm, y), (x + arm, y)), Straight((x, y - arm), (x, y + arm))))
