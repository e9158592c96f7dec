"""Axes with honest ticks: round figures only, the whole range of the data inside them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from jobs.drawings import letters
from jobs.drawings.scene import Item, Text, line

_STEPS = (1.0, 2.0, 5.0, 10.0)
INCH_STEPS_MM = tuple(
    25.4 * inches for inches in (1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 5, 10, 20, 50, 100, 200)
)
"""Between the ticks of an axis in inches: fractions as a rule has them, then whole inches, mm."""


def linear_ticks(low: float, high: float, most: int = 6, steps: Sequence[float] = ()) -> list[float]:
    """Return round figures from at or under ``low`` to at or over ``high``, at most about ``most``.

    ``steps`` are the steps to choose from, smallest first, where tens are not what is round.

    >>> linear_ticks(455.5, 518.4)
    [440.0, 460.0, 480.0, 500.0, 520.0]
    >>> [round(tick / 25.4, 6) for tick in linear_ticks(518.0, 619.0, steps=INCH_STEPS_MM)]
    [20.0, 21.0, 22.0, 23.0, 24.0, 25.0]
    """
    if high <= low:
        pad = abs(low) * 0.05 or 1.0
        low, high = low - pad, high + pad
    rough = (high - low) / (most - 1)
    power = 10.0 ** math.floor(math.log10(rough))
    fitting = (step for step in steps or (part * power for part in _STEPS) if step >= rough * (1 - 1e-9))
    step = next(fitting, 10.0 * power)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [round(index * step, 10) for index in range(first, last + 1)]


def log_ticks(low: float, high: float, most: int = 8) -> list[float]:
    """Return 1, 2 and 5 times powers of ten round a range, or powers of ten alone where it is wide.

    Raises ``ValueError`` where the range does not lie above 0.

    >>> log_ticks(3, 40)
    [2.0, 5.0, 10.0, 20.0, 50.0]
    """
    if low <= 0 or high < low:
        raise ValueError("A logarithmic axis needs a range above 0.")
    first, last = math.floor(math.log10(low) - 1), math.ceil(math.log10(high) + 1)
    fine = [part * 10.0**power for power in range(first, last + 1) for part in (1.0, 2.0, 5.0)]
    kept = _round_the_range(fine, low, high)
    if len(kept) <= most:
        return kept
    coarse = _round_the_range([10.0**power for power in range(first, last + 1)], low, high)
    return coarse[:: max(1, math.ceil(len(coarse) / most))] if len(coarse) > most else coarse


def _round_the_range(ticks: Sequence[float], low: float, high: float) -> list[float]:
    below = max(tick for tick in ticks if tick <= low * (1 + 1e-9))
    above = min(tick for tick in ticks if tick >= high * (1 - 1e-9))
    if below == above:
        above = min(tick for tick in ticks if tick > above)
    return [round(tick, 12) for tick in ticks if below <= tick <= above]


def plain(value: float) -> str:
    """Write a tick's figure without idle noughts.

    >>> plain(0.5), plain(20.0), plain(1000.0), plain(12000.0)
    ('0.5', '20', '1\\u2009000', '12\\u2009000')
    """
    whole = f"{value:,.10f}".rstrip("0").rstrip(".")
    return whole.replace(",", "\u2009")


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: its ticks, where they begin and end on the drawing, and whether it is logarithmic."""

    ticks: tuple[float, ...]
    start: float
    end: float
    logarithmic: bool = False

    def at(self, value: float) -> float:
        """Return where a value lies on the drawing."""
        scale: Callable[[float], float] = math.log if self.logarithmic else float
        low, high = scale(self.ticks[0]), scale(self.ticks[-1])
        return self.start + (self.end - self.start) * (scale(value) - low) / (high - low)


def frame(
    x: Axis, y: Axis, write_x: Callable[[float], str], write_y: Callable[[float], str], names: tuple[str, str]
) -> tuple[Item, ...]:
    """Draw both axes with grid lines, ticks, their figures and names; figures that would touch are left out."""
    made: list[Item] = []
    bottom, left = y.start, x.start
    for tick in x.ticks:
        at = x.at(tick)
        made += [line("grid", (at, bottom), (at, y.end)), line("tick", (at, bottom), (at, bottom + 5))]
    for tick in y.ticks:
        at = y.at(tick)
        made += [line("grid", (left, at), (x.end, at)), line("tick", (left, at), (left - 5, at))]
    made += _thinned(
        [Text("axis-text", (x.at(tick), bottom + 19), write_x(tick), "middle") for tick in x.ticks]
    )
    drop = letters.MIDDLE * 12
    made += _thinned(
        [Text("axis-text", (left - 9, y.at(tick) + drop), write_y(tick), "end") for tick in y.ticks]
    )
    made += [line("axis", (left, bottom), (x.end, bottom)), line("axis", (left, bottom), (left, y.end))]
    made.append(Text("label", (x.end, bottom + 37), names[0], "end"))
    made.append(Text("label", (4.0, y.end - 12), names[1]))
    return tuple(made)


def _thinned(figures: Sequence[Text]) -> Sequence[Text]:
    """Keep every figure, or every second, third ... until none touches the next."""
    boxes = [figure.box().grown(2) for figure in figures]
    for step in range(1, len(figures) + 1):
        kept = boxes[::step]
        if not any(one.meets(after) for one, after in itertools.pairwise(kept)):
            return figures[::step]
    return figures[:1]
