"""Figures as the steps of an explanation write them."""

from __future__ import annotations

import math

from jobs.forming.result import Step


def deg(angle_rad: float) -> str:
    """Write an angle in degrees.

    >>> deg(math.pi / 2)
    '90°'
    """
    return f"{round(math.degrees(angle_rad), 2):.6g}°"


def rad(angle_rad: float) -> str:
    """Write an angle in radians, as a product wants it.

    >>> rad(math.pi / 2)
    '1.5708 rad'
    """
    return f"{angle_rad:.5g} rad"


def num(value: float) -> str:
    """Write a figure to a hundredth, without idle noughts.

    >>> num(25.40), num(1200.0), num(0.00123)
    ('25.4', '1200', '0.00123')
    """
    if value and abs(value) < 0.05:
        return f"{value:.3g}"
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return text.removeprefix("-") if text == "-0" else text


def step(name: str, formula: str, figures: str, value: float, unit: str = "mm") -> Step:
    """Return one step of an explanation."""
    return Step(name, formula, figures, value, unit)
