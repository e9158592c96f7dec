"""The customer's rule: what has been done on which days, and the span in which the panel is ready."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jobs.drawings import hanging, letters
from jobs.drawings.ranges import range_box
from jobs.drawings.scene import Area, Group, Item, Path, Scene, Text, filled_box, line
from jobs.drawings.stock import LEFT_PX, NUMBER_SIZE, RIGHT_PX, face, ticks
from shop import figures


@dataclass(frozen=True, slots=True)
class Span:
    """One stage on the customer's rule: its pattern, its days, and whether it has been worked."""

    role: str
    name: str
    first: dt.date
    last: dt.date
    done: bool = True


PROMISE_FACE = 48.0
LANE_TOP, LANE_HIGH = 5.0, 16.0


def promise_rule(
    start: dt.date,
    end: dt.date,
    spans: Sequence[Span],
    ready: tuple[dt.date, dt.date],
    today: dt.date,
    *,
    width: float = 1056.0,
) -> Scene:
    """Return the customer's rule: stages over the dates they took, and the span in which the panel is ready.

    Stages to come are drawn blank up to their end. Dates outside ``start`` to ``end`` raise ``ValueError``.
    """
    days = (end - start).days + 1
    dates = [date for span in spans for date in (span.first, span.last)] + [*ready, today]
    if days < 2 or any(not start <= date <= end for date in dates):
        raise ValueError(f"A rule from {start} to {end} does not hold every date it is given.")
    pitch = (width - LEFT_PX - RIGHT_PX) / days
    x = _DayScale(start, pitch)
    return Scene(
        f"Dates from {figures.day(start)} to {figures.day(end)}",
        _promise_in_words(spans, ready, today),
        width, PROMISE_FACE + 24,
        (
            *face(width, PROMISE_FACE),
            Group("face", (
                *(item for span in spans for item in _span(span, x)),
                *_ready(x(ready[0]), x(ready[1]) + pitch),
                ticks(
                    ((LEFT_PX + index * pitch, 10.0 if x.date(index).weekday() == 0 else 6.0)
                     for index in range(days + 1)), PROMISE_FACE,
                ),
                *_promise_numbers(start, days, x),
            )),
            *_today_mark(x(today) + pitch / 2, today, width),
        ),
    )  # fmt: skip


class _DayScale:
    """Where a day begins on the rule."""

    def __init__(self, start: dt.date, pitch: float) -> None:
        self.start, self.pitch = start, pitch

    def __call__(self, day: dt.date) -> float:
        return LEFT_PX + (day - self.start).days * self.pitch

    def date(self, index: int) -> dt.date:
        return self.start + dt.timedelta(days=index)


def _promise_in_words(spans: Sequence[Span], ready: tuple[dt.date, dt.date], today: dt.date) -> str:
    said = [
        f"{span.name}: {figures.days_between(span.first, span.last)}{'' if span.done else ', to come'}."
        for span in spans
    ]
    return " ".join((*said, f"Ready {figures.days_between(*ready)}.", f"Today is {figures.day(today)}."))


def _span(span: Span, x: _DayScale) -> tuple[Item, ...]:
    left, right = x(span.first), x(span.last) + x.pitch
    box = filled_box("ground", left, LANE_TOP, right - left, LANE_HIGH)
    drawn = (filled_box(span.role, left, LANE_TOP, right - left, LANE_HIGH),) if span.done else ()
    return (box, *drawn, Path("steel-line", box.runs, closed=True))


def _ready(left: float, right: float) -> tuple[Item, ...]:
    top, bottom = LANE_TOP + 2, LANE_TOP + LANE_HIGH - 2
    return range_box(left, right, top, bottom, tall=(top - 4, bottom + 5), short=(top - 1, bottom + 2))


def _promise_numbers(start: dt.date, days: int, x: _DayScale) -> Iterator[Text]:
    """The first day, then Mondays, with the month where it is new; none closer than its words allow."""
    free, month = 0.0, 0
    for index in range(days):
        date = x.date(index)
        if index and date.weekday() != 0:
            continue
        text = f"{date.day} {figures.MONTHS[date.month - 1]}" if date.month != month else str(date.day)
        left = x(date) + 4
        right = left + letters.width(text, NUMBER_SIZE)
        if left < free or right > LEFT_PX + days * x.pitch + 8:
            continue
        free, month = right + 8, date.month
        yield Text("steel-text", (left, 36), text, size=NUMBER_SIZE)


def _today_mark(x: float, today: dt.date, width: float) -> tuple[Item, ...]:
    text = f"today, {figures.day(today)}"
    half = letters.width(text, NUMBER_SIZE) / 2
    return (
        Group("today", (
            line("this", (x, 3), (x, PROMISE_FACE + 2)),
            Area("this-fill", hanging.triangle(x, PROMISE_FACE)),
            Text("label", (min(max(x, half), width - half), PROMISE_FACE + 20), text, "middle", 12, bold=True),
        )),
    )  # fmt: skip
