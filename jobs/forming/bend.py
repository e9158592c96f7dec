"""Straight bends: bend allowance, and what a bend takes off outside dimensions."""

from __future__ import annotations

import math

from jobs.forming.errors import ImpossibleShape

# Sharper than this the formula of DIN 6935 runs towards a factor of zero and says nothing.
SHARPEST_RATIO = 0.1


def k_factor(inside_radius_mm: float, thickness_mm: float) -> float:
    """Return where the neutral line lies, as a fraction of the thickness from the inside: half DIN 6935's k.

    k = 0.65 + 0.5 log₁₀(r/s), at most 1;  K = k/2

    Parameters
    ----------
    inside_radius_mm, thickness_mm
        r and s, mm.

    Raises
    ------
    ImpossibleShape
        For bends sharper than a tenth of the thickness, of which the formula says nothing.

    Limits: DIN 6935 steps from 0.9995 to 1 at r/s = 5. Here the formula goes on to where it reaches 1 by itself, at
    r/s = 5.012, so that a hair more radius is a hair more sheet: 0.0004 of the thickness at most.

    >>> round(2 * k_factor(6, 5), 4)
    0.6896

    Source: DIN 6935, as printed in a German metal-trades table book.
    """
    ratio = inside_radius_mm / thickness_mm
    if ratio < SHARPEST_RATIO:
        raise ImpossibleShape(
            "bend_radius_mm",
            "DIN 6935 has no bend allowance for an inside radius of {radius} in {thickness} sheet: make it at "
            "least {least}, or give the shop's own k.",
            radius=inside_radius_mm,
            thickness=thickness_mm,
            least=SHARPEST_RATIO * thickness_mm,
        )
    return min(1.0, 0.65 + 0.5 * math.log10(ratio)) / 2


def bend_allowance(inside_radius_mm: float, thickness_mm: float, angle_rad: float, k: float) -> float:
    """Return the length of flat sheet that goes into a bend, mm.

    BA = φ (r + K t)

    Parameters
    ----------
    angle_rad
        Angle turned through, radians.
    k
        K, the place of the neutral line as a fraction of the thickness from the inside, 0 to 0.5.

    >>> round(bend_allowance(0.125, 0.0625, math.pi / 2, 0.4074), 5)
    0.23635

    Source: definition; handbook 90 degree rules are the same with their own K.
    """
    return angle_rad * (inside_radius_mm + k * thickness_mm)


def setback(inside_radius_mm: float, thickness_mm: float, angle_rad: float) -> float:
    """Return how much of an outside leg the bend uses up, mm.

    (r + t) tan(φ/2) up to 90 degrees, where legs are measured to the crossing of the outside faces; r + t
    beyond, where they are measured to the outside of the bend.

    >>> round(setback(4, 2, math.pi / 2), 9), setback(4, 2, math.radians(120))
    (6.0, 6)

    Source: DIN 6935.
    """
    if angle_rad > math.pi / 2:
        return inside_radius_mm + thickness_mm
    return (inside_radius_mm + thickness_mm) * math.tan(angle_rad / 2)
