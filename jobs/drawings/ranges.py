"""A range of hours or of days, and what is past it: drawn alike on strips, bars and rules."""

from __future__ import annotations

from jobs.drawings.scene import Area, Path, filled_box, line

NARROWEST = 0.01
"""A range of one figure is still drawn, as a line."""


def range_box(
    low: float,
    high: float,
    top: float,
    bottom: float,
    *,
    tall: tuple[float, float],
    short: tuple[float, float],
) -> tuple[Area | Path, ...]:
    """Return a hatched range with a line over and under it, a tall tick at its low end and a short one at its high end.

    ``tall`` and ``short`` are where the ticks begin and end, y downwards.
    """
    return (
        filled_box("range", low, top, max(high - low, NARROWEST), bottom - top),
        line("range-line", (low, top), (high, top)),
        line("range-line", (low, bottom), (high, bottom)),
        line("range-line", (low, tall[0]), (low, tall[1])),
        line("range-line", (high, short[0]), (high, short[1])),
    )


def over_box(left: float, right: float, top: float, high: float) -> tuple[Area | Path, ...]:
    """Return hours past their range: wax cross-hatch on wax-wash, outlined."""
    wide = max(right - left, NARROWEST)
    over = filled_box("over", left, top, wide, high)
    return (
        filled_box("wax-wash", left, top, wide, high),
        over,
        Path("over-line", over.runs, closed=True),
    )
