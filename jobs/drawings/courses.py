"""The mid-surface of a section as a course of straights and bends, walked along its developed length."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from jobs.drawings.scene import Run
from jobs.forming.result import Arc, Point, Straight


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a section: its length along the metal and the angle it turns (left is positive)."""

    length_mm: float
    turn_rad: float = 0.0


@dataclass(frozen=True, slots=True)
class Course:
    """Pieces one after another from a point in a direction; a piece that turns is an arc."""

    start: Point
    heading_rad: float
    pieces: tuple[Piece, ...]

    @property
    def length_mm(self) -> float:
        """Developed length of the whole course."""
        return math.fsum(piece.length_mm for piece in self.pieces)

    def runs(self) -> tuple[Run, ...]:
        """Return the course as straight and circular runs."""
        made: list[Run] = []
        point, heading = self.start, self.heading_rad
        for piece in self.pieces:
            after, turned = _step(point, heading, piece, piece.length_mm)
            if piece.length_mm > 0:
                made.append(_run(point, heading, piece, after))
            point, heading = after, turned
        return tuple(made)

    def at(self, along_mm: float) -> tuple[Point, float]:
        """Return the point and the heading at a developed length; beyond an end, on its tangent."""
        point, heading = self.start, self.heading_rad
        if along_mm < 0 or not self.pieces:
            return _step(point, heading, Piece(1.0), along_mm)
        for piece in self.pieces:
            if along_mm <= piece.length_mm:
                return _step(point, heading, piece, along_mm)
            point, heading = _step(point, heading, piece, piece.length_mm)
            along_mm -= piece.length_mm
        return _step(point, heading, Piece(1.0), along_mm)

    def end(self) -> Point:
        """Return the last point."""
        return self.at(self.length_mm)[0]

    def beside(self, along_mm: float, left_mm: float) -> Point:
        """Return the point at a developed length and a distance to the left of the way."""
        (x, y), heading = self.at(along_mm)
        return (x - left_mm * math.sin(heading), y + left_mm * math.cos(heading))

    def offset(self, left_mm: float) -> tuple[Run, ...]:
        """Return the parallel course a distance to the left; arcs that would vanish become corners."""
        made: list[Run] = []
        for run in self.runs():
            if isinstance(run, Straight):
                length = math.dist(run.start, run.end)
                dx = -left_mm * (run.end[1] - run.start[1]) / length
                dy = left_mm * (run.end[0] - run.start[0]) / length
                made.append(
                    Straight((run.start[0] + dx, run.start[1] + dy), (run.end[0] + dx, run.end[1] + dy))
                )
            else:
                radius = run.radius_mm - left_mm * math.copysign(1.0, run.sweep_rad)
                if radius > 1e-9:
                    made.append(Arc(run.centre, radius, run.start_rad, run.sweep_rad))
        return tuple(made)


def _step(point: Point, heading: float, piece: Piece, along_mm: float) -> tuple[Point, float]:
    turn = piece.turn_rad * along_mm / piece.length_mm if piece.length_mm else piece.turn_rad
    # The chord of an arc: its length shrinks by sin(x)/x of half the turn and leans by that half.
    half = turn / 2
    chord = along_mm * (math.sin(half) / half if half else 1.0)
    x, y = point
    return (x + chord * math.cos(heading + half), y + chord * math.sin(heading + half)), heading + turn


def _run(point: Point, heading: float, piece: Piece, after: Point) -> Run:
    # A turn too slight to be told from a straight on any paper would put its centre beyond all figures.
    if abs(piece.turn_rad) < 1e-7:
        return Straight(point, after)
    radius = piece.length_mm / abs(piece.turn_rad)
    side = math.copysign(1.0, piece.turn_rad)
    centre = (point[0] - side * radius * math.sin(heading), point[1] + side * radius * math.cos(heading))
    return Arc(centre, radius, heading - side * math.pi / 2, piece.turn_rad)


def two_sided(left: Sequence[Piece], right: Sequence[Piece]) -> Course:
    """Return two halves, each walked outwards from the middle, as one course from the left end to the right.

    The middle lies at the origin, level; the left half is the image of its pieces.
    """
    image = Course((0.0, 0.0), 0.0, tuple(left))
    x, y = image.end()
    angle = math.fsum(piece.turn_rad for piece in left)
    return Course((-x, y), -angle, (*left[::-1], *right))


def symmetrical(half: Sequence[Piece]) -> Course:
    """Return a half and its image joined in the middle, which lies at the origin, level."""
    return two_sided(half, half)
