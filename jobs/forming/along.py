"""How far the metal is gathered or stretched along the section, from where the shape begins to its edge."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from jobs.forming.arch import Arch
from jobs.forming.crown import Crown
from jobs.forming.dome import Dome
from jobs.forming.flange import Flange
from jobs.forming.result import Work
from jobs.forming.strip import Strip
from jobs.forming.sweep import Sweep
from jobs.forming.tray import Tray

STEPS = 40


@dataclass(frozen=True, slots=True)
class Along:
    """Strains along the section.

    ``strains`` are pairs of the distance along the metal, mm, and the strain there, negative where gathered;
    ``marks`` name places on the same scale, the first where the section begins and the last at the edge.
    """

    strains: tuple[tuple[float, float], ...]
    marks: tuple[tuple[float, str], ...]

    @property
    def largest(self) -> float:
        """The strain of the largest size, with its sign."""
        return max((strain for _, strain in self.strains), key=abs)


def strain_along(work: Work) -> Along | None:
    """Return the strains along the section, or ``None`` for a form that is only bent.

    Flanges and strips: along the edge's own direction, finished over flat length less 1. Domes gathered: round
    the ring, sin β / β - 1; stretched evenly: along the meridian, k u / (R sin β) - 1 with k = 1 + (h/a)². β is the
    angle from the top as the ball's centre sees it, u the radius on the disc that comes to lie there.

    >>> from jobs.forming import Marking, Sheet, build, work_out
    >>> dome = build("dome", {"diameter_mm": 300, "height_mm": 60, "method": "stretch"})
    >>> round(strain_along(work_out(dome, Sheet(1.2), Marking())).largest, 9)
    0.16

    Source: the forms' own; the last strain of a gathered shape is that of its edge.
    """
    form = work.form
    if isinstance(form, Tray) and not form.corners:
        return None  # its sides are straight bends
    if isinstance(form, Arch | Tray):
        return _of_flange(form.flange(work.sheet))
    if isinstance(form, Sweep | Crown):
        return _of_strip(form.strip())
    if isinstance(form, Dome):
        return _of_dome(form)
    return None


def _sampled(
    end_mm: float, strain_at: Callable[[float], float], begin_mm: float = 0.0
) -> list[tuple[float, float]]:
    places = (begin_mm + (end_mm - begin_mm) * index / STEPS for index in range(STEPS + 1))
    return [(place, strain_at(place)) for place in places]


def _of_flange(flange: Flange) -> Along:
    def strain_at(s: float) -> float:
        flat = flange.flat_radius_mm(s)
        return flange.radius_mm(s) / flat - 1 if flat > 0 else 0.0

    marks = ((0.0, "start"), (flange.bend_mm, "stop"), (flange.developed_mm, "edge"))
    return Along(tuple(_sampled(flange.developed_mm, strain_at)), marks)


def _of_strip(strip: Strip) -> Along | None:
    if not strip.drop_mm or not strip.turn_rad:
        return None
    flat, half = strip.flat_mm / 2, strip.width_mm / 2

    def strain_at(s: float) -> float:
        fallen = strip.fall_mm(max(0.0, s - flat))
        return (strip.length_mm - strip.turn_rad * fallen) / strip.flat_length_mm - 1

    level = [(0.0, strain_at(0.0))] if flat else []
    stop = ((flat, "stop"),) if flat else ()
    marks = ((0.0, "centre"), *stop, (half, "edge"))
    return Along((*level, *_sampled(half, strain_at, flat)), marks)


def _of_dome(dome: Dome) -> Along:
    radius, spread = dome.radius_mm, (dome.by_area_mm / dome.rim_mm) ** 2

    def gathered(s: float) -> float:
        beta = s / radius
        return math.sin(beta) / beta - 1 if beta else 0.0

    def stretched(u: float) -> float:
        if not u:
            return math.sqrt(spread) - 1
        cosine = 1 - spread * u * u / (2 * radius * radius)
        return spread * u / (radius * math.sqrt(max(1 - cosine * cosine, 1e-300))) - 1

    strain_at = stretched if dome.is_stretched else gathered
    marks = ((0.0, "middle"), (dome.disc_mm, "rim"))
    return Along(tuple(_sampled(dome.disc_mm, strain_at)), marks)
