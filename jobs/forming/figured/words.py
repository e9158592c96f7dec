"""Figures as the steps of an explanation write them."""

from __future__ import annotations

import math

from jobs.forming.result import Chapter, Step

BY_LAW = {"pappus": "Pappus–Guldin", "gauss": "Gauss–Bonnet: total curvature", "volume": "constant volume"}

CUT_OUT = "All the wedges one would have to cut out of the flat instead: the shape's own measure of the work."
LET_IN = "All the wedges one would have to let into the flat instead: the shape's own measure of the work."
CUT_OUT_HERE = "What one would have to cut out of the sheet instead, all the wedges of this pass together."
LET_IN_HERE = "What one would have to let into the sheet instead, all the wedges of this pass together."


def deg(angle_rad: float) -> str:
    """Write an angle in degrees, to five digits that count: a slight one is multiplied by much.

    >>> deg(math.pi / 2), deg(0.0443787)
    ('90°', '2.5427°')
    """
    return f"{math.degrees(angle_rad):.5g}°"


def rad(angle_rad: float) -> str:
    """Write an angle in radians, as a product wants it.

    >>> rad(math.pi / 2)
    '1.5708 rad'
    """
    return f"{angle_rad:.5g} rad"


def num(value: float) -> str:
    """Write a figure to a hundredth, without idle noughts; a small one to three digits that count, never as a power.

    >>> num(25.40), num(1200.0), num(0.00123), num(0.0000123)
    ('25.4', '1200', '0.00123', '0')
    """
    if 1e-4 <= abs(value) < 0.05:
        return f"{value:.3g}"
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return text.removeprefix("-") if text == "-0" else text


def fine(value: float) -> str:
    """Write a figure to five digits that count, for products of very small and very large ones.

    >>> fine(1.3312447), fine(5646.2), fine(123456.7)
    ('1.3312', '5646.2', '123457')
    """
    decimals = max(0, 4 - math.floor(math.log10(abs(value)))) if value else 0
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def less(larger: float, smaller: float) -> str:
    """Write a difference with as many decimals as four digits of it need.

    >>> less(76.4409, 60), less(300.0002, 300)
    ('76.44 − 60', '300.0002 − 300')
    """
    apart = larger - smaller
    decimals = max(2, 3 - math.floor(math.log10(apart))) if apart > 0 else 2
    written = (f"{value:.{min(decimals, 10)}f}".rstrip("0").rstrip(".") for value in (larger, smaller))
    return " − ".join(written)


def step(
    name: str,
    formula: str,
    figures: str,
    value: float,
    unit: str = "mm",
    *,
    words: str = "",
    source: str = "",
) -> Step:
    """Return one step of an explanation; ``source`` may name a law of ``BY_LAW``."""
    return Step(name, formula, figures, value, unit, words, BY_LAW.get(source, source))


def chapter(title: str, *steps: Step | None, words: str = "") -> Chapter:
    """Return a chapter of the steps that apply."""
    return Chapter(title, tuple(each for each in steps if each is not None), words)
