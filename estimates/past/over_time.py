"""Estimate against actual over time: each past panel as how many times its middle estimate it took."""

import math
from collections.abc import Sequence
from datetime import date, timedelta

from estimates.hours import Trial
from jobs.drawings import letters
from jobs.drawings.axes import plain
from jobs.drawings.scene import Circle, Item, Scene, Text, line
from shop.figures import MONTHS

TOP, BOTTOM, LEFT, RIGHT = 34.0, 46.0, 96.0, 20.0
TIMES = (0.25, 0.5, 0.7, 1.0, 1.4, 2.0, 4.0)
LEAST_GAP = 62.0


def over_time_plot(trials: Sequence[Trial], *, width: float = 520.0, height: float = 300.0) -> Scene:
    """Draw actual over middle estimate against the day each panel was finished; 1 is as estimated.

    What took more than its high end is crossed as well as higher. ``ValueError`` for no trials.
    """
    if not trials:
        raise ValueError("There is nothing to draw over time.")
    times = [trial.actual_hours / trial.estimated.p50 for trial in trials]
    ticks = _ticks(min(times), max(times))
    first, last = min(trial.finished_on for trial in trials), max(trial.finished_on for trial in trials)
    days = max((last - first).days, 1)

    def x(on: date) -> float:
        return LEFT + (width - LEFT - RIGHT) * (on - first).days / days

    def y(value: float) -> float:
        share = math.log(value / ticks[0]) / math.log(ticks[-1] / ticks[0])
        return height - BOTTOM - (height - TOP - BOTTOM) * share

    items: list[Item] = []
    for tick in ticks:
        role = "axis" if tick == 1 else "grid"
        items += [line(role, (LEFT, y(tick)), (width - RIGHT, y(tick)))]
        text = "as estimated" if tick == 1 else f"{plain(tick)} times"
        items.append(Text("axis-text", (LEFT - 8, y(tick) + letters.MIDDLE * 12), text, "end"))
    items += _months(first, last, x, height - BOTTOM, width)
    over = 0
    for trial, value in zip(trials, times, strict=True):
        at = x(trial.finished_on), y(value)
        items.append(Circle("past", at, 4.5))
        if trial.actual_hours > trial.estimated.p80:
            over += 1
            items += [line("over-line", (at[0] - 7, at[1] + dy), (at[0] + 7, at[1] - dy)) for dy in (7, -7)]
    items.append(Text("label", (4.0, TOP - 14), "hours taken, in times of the middle estimate"))
    words = f"{len(trials)} panels; {over} of them took more than their high end, crossed."
    items.append(Text("note", (LEFT, height - 6), words))
    return Scene("Estimate against actual over time", words, width, height, tuple(items))


def _ticks(low: float, high: float) -> tuple[float, ...]:
    """The figures round a range, with 1 always among them; an outlier stretches the scale by tens."""
    steps = [*TIMES]
    power = 1
    while steps[0] > low:
        steps.insert(0, 10.0**-power)
        power += 1
    power = 1
    while steps[-1] < high:
        steps.append(10.0**power)
        power += 1
    first = max(index for index, step in enumerate(steps) if step <= min(low, 0.7))
    last = min(index for index, step in enumerate(steps) if step >= max(high, 1.4))
    kept = steps[first : last + 1]
    return tuple(kept if len(kept) <= 9 else sorted({kept[0], 1.0, kept[-1]}))


def _months(first: date, last: date, x, bottom: float, width: float) -> list[Item]:
    """The first day and first days of months after it, as many as stand apart."""
    items: list[Item] = []
    free = -math.inf
    on = first
    while on <= last:
        text = f"{MONTHS[on.month - 1]} {on.year}"
        if x(on) >= free and x(on) + letters.width(text, 12) <= width:
            items += [
                line("tick", (x(on), bottom), (x(on), bottom + 5)),
                Text("axis-text", (x(on), bottom + 19), text),
            ]
            free = x(on) + letters.width(text, 12) + 14
        on = (on.replace(day=1) + timedelta(days=32)).replace(day=1)
    return items
