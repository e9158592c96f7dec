"""Spans of days on one shared scale: when a job will be done, and the date it is promised for."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from estimates.work.dates import Expected
from jobs.drawings import letters
from jobs.drawings.ranges import range_box
from jobs.drawings.scene import Area, Item, Path, Scene, Text, filled_box, line, polyline
from jobs.forming.result import Straight
from shop.figures import MONTHS, day

WIDTH = 336.0
HIGH = 30.0
LANE_TOP, LANE = 11.0, 12.0
LEAST_DAYS, MOST_DAYS = 14, 366
NUMBER_SIZE = 12.0


def days_shown(expected: Iterable[Expected], today: date) -> int:
    """How many days the scale of a page runs: to the last date there is, in whole weeks, a year at most."""
    ends = [each for one in expected for each in (one.high, one.job.deadline) if each and each >= today]
    last = max(ends, default=today)
    weeks = -(-((last - today).days + 2) // 7)
    return min(max(weeks * 7, LEAST_DAYS), MOST_DAYS)


def dates_axis(today: date, days: int) -> Scene:
    """The scale above the spans: Mondays, as many as stand apart, the month where it is new."""
    px = WIDTH / days
    ticks: list[Straight] = []
    texts: list[Text] = []
    free, month = 0.0, 0
    for index in range(days + 1):
        on = today + timedelta(days=index)
        if index and on.weekday() != 0:
            continue
        x = index * px + 1
        ticks.append(Straight((x, 26), (x, 18)))
        text = f"{on.day} {MONTHS[on.month - 1]}" if on.month != month else str(on.day)
        if x >= free and x + letters.width(text, NUMBER_SIZE) <= WIDTH + 4:
            texts.append(Text("axis-text", (x, 12), text, size=NUMBER_SIZE))
            free, month = x + letters.width(text, NUMBER_SIZE) + 10, on.month
    return Scene(
        "Days",
        f"Scale from {day(today)} over {days} days.",
        WIDTH + 6,
        27,
        (Path("tick", tuple(ticks)), *texts),
    )


def date_strip(one: Expected, today: date, days: int) -> Scene:
    """One job: the range between the two dates hatched, and a triangle at the date it is promised for."""
    px = WIDTH / days
    items: list[Item] = list(_weeks(today, days, px))
    items.append(line("tick", (1, LANE_TOP + LANE / 2), (WIDTH, LANE_TOP + LANE / 2)))
    if one.middle and one.high:
        left, right = _at(one.middle, today, days, px), _at(one.high, today, days, px)
        items += _range(left, max(right, left + 3))
    if one.job.deadline:
        items += _due(_at(max(one.job.deadline, today), today, days, px), one.at_risk)
    return Scene("When it will be done", _words(one), WIDTH + 6, HIGH, tuple(items))


def _at(on: date, today: date, days: int, px: float) -> float:
    return min((on - today).days + 0.5, days) * px + 1


def _weeks(today: date, days: int, px: float) -> Iterator[Item]:
    for index in range(days + 1):
        if (today + timedelta(days=index)).weekday() == 0:
            yield line("grid", (index * px + 1, 0), (index * px + 1, HIGH))


def _range(left: float, right: float) -> Iterator[Item]:
    yield filled_box("ground", left, LANE_TOP, right - left, LANE)
    bottom = LANE_TOP + LANE
    tall, short = (LANE_TOP - 5, bottom + 4), (LANE_TOP - 2, bottom + 2)
    yield from range_box(left, right, LANE_TOP, bottom, tall=tall, short=short)


def _due(x: float, at_risk: bool) -> Iterator[Item]:
    line_role, head_role = ("over-line", "over-head") if at_risk else ("divider", "reached")
    yield line(line_role, (x, 6), (x, HIGH))
    yield Area(head_role, polyline(((x - 5, 0), (x + 5, 0), (x, 8)), closed=True))


def _words(one: Expected) -> str:
    said = [
        one.why_none or f"Done by {day(one.middle)} as likely as not, by {day(one.high)} four times in five."
    ]
    if one.job.deadline:
        said.append(f"{'Promised for' if one.job.promised_on else 'Wanted by'} {day(one.job.deadline)}.")
    return " ".join(said)
