"""The sections that forms are made of, written out again from their geometry and integrated at 40 digits.

Nothing of the forming package is used here. A section is given by its radius from the axis it is carried round,
as a function of the length along it; area is the integral of 2-D arc length times that radius (Pappus-Guldin),
total curvature the integral of Gauss's K = -R''/R over the surface, for a turn of θ: -θ ∫ R'' ds.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from mpmath import atan, cos, mp, mpf, pi, quad, sin

mp.dps = 40


@dataclass(frozen=True)
class Section:
    """A gathered (or stretched) side: R(s) finished, F(s) flat, and how far the section has turned, ψ(s)."""

    turn: mpf
    radius: Callable[[mpf], mpf]
    flat: Callable[[mpf], mpf]
    slope: Callable[[mpf], mpf]  # ψ(s): R' = ± cos ψ for a flange, - sin ψ for a side that falls away
    pull: Callable[[mpf, mpf], mpf]  # curvature between two slopes for a turn of 1
    bend: mpf  # where the section stops turning
    edge: mpf

    @property
    def pieces(self) -> list[mpf]:
        return [mpf(0), self.bend, self.edge] if self.bend < self.edge else [mpf(0), self.edge]

    @property
    def area(self) -> mpf:
        return self.turn * quad(self.radius, self.pieces)

    @property
    def flat_area(self) -> mpf:
        return self.turn * quad(self.flat, self.pieces)

    @property
    def flat_edge(self) -> mpf:
        return self.turn * self.flat(self.edge)

    @property
    def finished_edge(self) -> mpf:
        return self.turn * self.radius(self.edge)

    @property
    def curvature(self) -> mpf:
        """-θ ∫ R'' ds over the bend, R'' as a difference quotient at 40 digits, either way round."""
        return abs(self.turn * quad(lambda s: mp.diff(self.radius, s, 2), [0, self.bend]))


def flange(
    outside: float, inside: float, angle: float, depth: float, thickness: float, sign: int, turn: float
) -> Section:
    """A flange on a curved edge: web flat, bend of radius ρ through φ, then straight on to the edge."""
    t, phi = mpf(thickness), mpf(angle)
    rho = mpf(inside) + t / 2
    straight = (mpf(depth) - t / 2 - rho * (1 - cos(phi))) / sin(phi)
    start = mpf(outside) - sign * t / 2 - sign * rho * sin(phi)
    bend = rho * phi

    def radius(s: mpf) -> mpf:
        beyond = max(s - bend, 0)
        return start + sign * (rho * sin(min(s, bend) / rho) + beyond * cos(phi))

    return Section(
        turn=mpf(turn),
        radius=radius,
        flat=lambda s: start + sign * s,
        slope=lambda s: min(s, bend) / rho,
        pull=lambda low, high: cos(low) - cos(high),
        bend=bend,
        edge=bend + straight,
    )


def side(crown: mpf, across: float, drop: float, turn: mpf) -> Section:
    """One side of a strip carried round an arc: level at the crown, an arc down to the edge."""
    a, d = mpf(across), mpf(drop)
    ball, angle = (a * a + d * d) / (2 * d), 2 * atan(d / a)
    return Section(
        turn=turn,
        radius=lambda s: crown - ball * (1 - cos(s / ball)),
        flat=lambda s: crown,
        slope=lambda s: s / ball,
        pull=lambda low, high: sin(high) - sin(low),
        bend=ball * angle,
        edge=ball * angle,
    )


def cap(diameter: float, height: float) -> Section:
    """A spherical cap from its top, carried all the way round."""
    a, h = mpf(diameter) / 2, mpf(height)
    ball, angle = (a * a + h * h) / (2 * h), 2 * atan(h / a)
    return Section(
        turn=2 * pi,
        radius=lambda s: ball * sin(s / ball),
        flat=lambda s: s,
        slope=lambda s: s / ball,
        pull=lambda low, high: cos(low) - cos(high),
        bend=ball * angle,
        edge=ball * angle,
    )


def chord_arc(chord: float, height: float) -> tuple[mpf, mpf]:
    """Radius and angle of an arc of a chord and a height."""
    c, h = mpf(chord), mpf(height)
    return (c * c / 4 + h * h) / (2 * h), 4 * atan(2 * h / c)


def shares(
    section: Section, places: Sequence[mpf], slopes: Sequence[tuple[mpf, mpf]]
) -> list[tuple[mpf, mpf]]:
    """Wedge and take-up of passes at places along the section, each turning it from one slope to another.

    Take-ups are in proportion to wedge times distance from the edge, and add up to the whole.
    """
    wedges = [section.turn * section.pull(low, high) for low, high in slopes]
    levers = [wedge * (section.edge - place) for wedge, place in zip(wedges, places, strict=True)]
    whole = section.flat_edge - section.finished_edge
    return [(wedge, whole * lever / sum(levers)) for wedge, lever in zip(wedges, levers, strict=True)]


def on_lines(section: Section, count: int) -> list[tuple[mpf, mpf]]:
    """Passes of a flange: lines from start to stop, the bend a polygon with half a turn at either end."""
    angle = section.slope(section.bend)
    places = [section.bend * index / (count - 1) for index in range(count)]
    stands = [0, *(angle * (index - mpf(1) / 2) / (count - 1) for index in range(1, count)), angle]
    return shares(section, places, list(pairwise(stands)))


def in_bands(section: Section, count: int) -> list[tuple[mpf, mpf]]:
    """Passes of a section that curves up to its edge: equal bands worked along their middles, the outermost first."""
    bands = range(count - 1, -1, -1)
    angle = section.slope(section.edge)
    places = [section.edge * (2 * band + 1) / (2 * count) for band in bands]
    return shares(section, places, [(angle * band / count, angle * (band + 1) / count) for band in bands])
