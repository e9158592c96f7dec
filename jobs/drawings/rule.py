"""The steel rule along the top of a page, carrying that page's own measure.

Days on Today, millimetres or inches over a drawing, hours at the bench, dates for the customer, and a check
rule of a known length on paper. Every rule is a scene: its text alternative says in words what hangs from it.
Labels stand on two levels and never touch; a label that finds no room keeps its mark and stays in the words.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from jobs.drawings import hanging, letters
from jobs.drawings.hanging import Hanging
from jobs.drawings.rule_hours import hours_rule
from jobs.drawings.rule_lengths import check_rule, millimetre_rule
from jobs.drawings.rule_promise import Span, promise_rule
from jobs.drawings.scene import Group, Item, Path, Scene, Text, filled_box
from jobs.drawings.stock import (
    FACE,
    LEFT_PX,
    LONG_TICK,
    MIDDLE_TICK,
    NUMBER_SIZE,
    RIGHT_PX,
    SHORT_TICK,
    face,
    ticks,
)
from shop import figures

__all__ = ["DayMark", "Span", "check_rule", "days_rule", "hours_rule", "millimetre_rule", "promise_rule"]

HANG_ROOM = 42.0
"""Room below the face for two levels of labels, pixels."""


@dataclass(frozen=True, slots=True)
class DayMark:
    """Something that falls on a day: its short name, a few words, and whether it is too tight."""

    on: dt.date
    name: str
    words: str = ""
    tight: bool = False


def days_rule(
    start: dt.date,
    days: int,
    marks: Sequence[DayMark] = (),
    no_work_days: Collection[dt.date] = (),
    *,
    width: float = 1216.0,
    noun: str = "Days",
) -> Scene:
    """Return a rule of days from ``start``, which stands in dye at the zero end.

    Marks before ``start`` or past the last day are left to the page: they raise ``ValueError``, as does a rule
    of no days. A day without work is hatched.
    """
    if days < 1:
        raise ValueError(f"A rule of {days} days cannot be drawn; give it at least one.")
    outside = [mark for mark in marks if not 0 <= (mark.on - start).days < days]
    if outside:
        raise ValueError(
            f"{outside[0].name} on {outside[0].on} is not on a rule of {days} days from {start}."
        )
    pitch = (width - LEFT_PX - RIGHT_PX) / days
    dates = [start + dt.timedelta(days=index) for index in range(days)]
    hangings = [
        Hanging(LEFT_PX + ((mark.on - start).days + 0.5) * pitch, mark.name, mark.words, mark.tight)
        for mark in sorted(marks, key=lambda mark: (mark.on, mark.name))
    ]
    shut = [(index, 1) for index, date in enumerate(dates) if date in no_work_days]
    return Scene(
        title=f"{noun} from {figures.day(start)} to {figures.day(dates[-1])}",
        description=_marks_in_words(marks),
        width=width,
        height=FACE + (HANG_ROOM if marks else 1),
        items=(
            *face(width),
            Group("face", (
                *(filled_box("no-work", LEFT_PX + index * pitch, FACE - 13, pitch * count, 12) for index, count in shut),
                _day_ticks(days, pitch),
                *_today_box(start, pitch),
                *_day_numbers(dates, pitch),
            )),
            *hanging.hang(hangings, FACE, width),
        ),
    )  # fmt: skip


def _marks_in_words(marks: Sequence[DayMark]) -> str:
    if not marks:
        return "Nothing is marked on these days."
    said = [
        f"{figures.day(mark.on)}: {mark.name} {mark.words}".rstrip() + (", tight" if mark.tight else "") + "."
        for mark in sorted(marks, key=lambda mark: (mark.on, mark.name))
    ]
    return " ".join(said)


def _day_ticks(days: int, pitch: float) -> Path:
    """A long tick at the start of each day, and its quarters where they stand apart."""
    parts = 4 if pitch >= 24 else 1
    lengths = {0: LONG_TICK if pitch >= 24 else MIDDLE_TICK, 2: MIDDLE_TICK}
    return ticks(
        (LEFT_PX + index * pitch / parts, lengths.get(index % parts, SHORT_TICK))
        for index in range(days * parts + 1)
    )


def _today_box(start: dt.date, pitch: float) -> tuple[Item, ...]:
    text = figures.day(start).rsplit(" ", 1)[0]
    wide = max(letters.width(text, NUMBER_SIZE) + 9, min(pitch, 56))
    return (
        filled_box("used", LEFT_PX, 6, wide, 17),
        Text("on-dye-text", (LEFT_PX + 4.5, 18.5), text, size=NUMBER_SIZE, bold=True),
    )


def _day_numbers(dates: Sequence[dt.date], pitch: float) -> Iterator[Text]:
    """Numbers right of their long tick, as many as stand apart: every day, every Monday, or every other."""
    free = (
        LEFT_PX
        + max(letters.width(figures.day(dates[0]).rsplit(" ", 1)[0], NUMBER_SIZE) + 9, min(pitch, 56))
        + 3
    )
    for index, date in enumerate(dates[1:], start=1):
        every_day = pitch >= 24
        if not every_day and date.weekday() != 0 and date.day != 1:
            continue
        text, bold = _day_number(date, pitch)
        x = LEFT_PX + index * pitch + 4
        if x < free:
            continue
        free = x + letters.width(text, NUMBER_SIZE) + 6
        yield Text("steel-text", (x, 18.5), text, size=NUMBER_SIZE, bold=bold)


def _day_number(date: dt.date, pitch: float) -> tuple[str, bool]:
    if date.day == 1:
        return f"1 {figures.MONTHS[date.month - 1]}", True
    if date.weekday() == 0 and pitch >= 48:
        return f"Mon {date.day}", False
    return str(date.day), False
