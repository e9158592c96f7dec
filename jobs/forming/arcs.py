"""Plain circle arithmetic that keeps its digits where an arc is almost flat."""

from __future__ import annotations

import math

QUARTER = math.pi / 2
"""A quarter turn, radians."""


def versine(angle_rad: float) -> float:
    """Return ``1 - cos x`` without losing digits near zero.

    >>> versine(1e-9), round(versine(math.pi / 2), 15)
    (5e-19, 1.0)
    """
    if abs(angle_rad) > 1:
        return 1 - math.cos(angle_rad)  # nothing to lose here, and one rounding fewer
    half = math.sin(angle_rad / 2)
    return 2 * half * half


def cosine_drop(from_rad: float, to_rad: float) -> float:
    """Return ``cos a - cos b`` without losing digits where the two are close.

    >>> cosine_drop(0.0, 1e-9)
    5e-19
    """
    return 2 * math.sin((from_rad + to_rad) / 2) * math.sin((to_rad - from_rad) / 2)


def sine_rise(from_rad: float, to_rad: float) -> float:
    """Return ``sin b - sin a`` without losing digits where the two are close.

    >>> sine_rise(0.0, 1e-9)
    1e-09
    """
    return 2 * math.cos((from_rad + to_rad) / 2) * math.sin((to_rad - from_rad) / 2)


def excess(angle_rad: float) -> float:
    """Return ``x - sin x``: an arc of radius 1 less its reach along the tangent it starts on, digits kept near zero.

    Below 0.3 five terms of the Maclaurin series, off by at most what the subtraction costs above it: 6e-15 of it.

    >>> math.isclose(excess(math.pi), math.pi)
    True
    >>> math.isclose(excess(1e-6), 1e-18 / 6)
    True
    """
    if abs(angle_rad) > 0.3:
        return angle_rad - math.sin(angle_rad)
    square = angle_rad * angle_rad
    series = 1 - square / 20 * (1 - square / 42 * (1 - square / 72 * (1 - square / 110)))
    return angle_rad * square / 6 * series


def square_less_versines(angle_rad: float) -> float:
    """Return ``x² - 2 (1 - cos x)``, digits kept near zero.

    Below 0.3 six terms of the Maclaurin series, off by less than a rounding.

    >>> math.isclose(square_less_versines(1e-3), 1e-12 / 12, rel_tol=1e-6)
    True
    """
    if abs(angle_rad) > 0.3:
        return angle_rad**2 - 2 * versine(angle_rad)
    square = angle_rad**2
    series = 1 - square / 30 * (1 - square / 56 * (1 - square / 90 * (1 - square / 132 * (1 - square / 182))))
    return square * square / 12 * series


def radius_from_chord(chord_mm: float, height_mm: float) -> float:
    """Return the radius of an arc from its chord and its height.

    R = c²/(8 h) + h/2

    Parameters
    ----------
    chord_mm
        Straight distance between the ends, mm.
    height_mm
        Height of the arc over the middle of the chord, mm, more than 0.

    >>> radius_from_chord(48, 1)
    288.5

    Source: the identity a² + h² = 2 h R between a circle's half chord, height and radius.
    """
    return chord_mm * chord_mm / (8 * height_mm) + height_mm / 2


def angle_from_chord(chord_mm: float, height_mm: float) -> float:
    """Return the angle at the centre of an arc, radians, from chord and height; 0 for no height.

    α = 4 atan(2 h / c)

    >>> math.isclose(angle_from_chord(10, 5), math.pi)
    True

    Source: the angle between chord and half-arc's chord is a quarter of the angle at the centre (inscribed angle).
    """
    return 4 * math.atan2(2 * height_mm, chord_mm)


def arc_from_chord(chord_mm: float, height_mm: float) -> float:
    """Return the length of an arc from chord and height; the chord itself for no height.

    s = c (α/2) / sin(α/2)

    >>> round(arc_from_chord(48, 2), 5)
    48.22191

    Source: s = R α and c = 2 R sin(α/2), by definition.
    """
    half = angle_from_chord(chord_mm, height_mm) / 2
    return chord_mm if half == 0 else chord_mm * half / math.sin(half)
