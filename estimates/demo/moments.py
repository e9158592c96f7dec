"""Time in the example shop: a clock that can be set back, its working days, and stories told side by side."""

import heapq
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import date, datetime, time, timedelta

from django.utils import timezone

Story = Iterator[datetime]
"""Something that goes on over days: it yields the next moment at which it does anything, and then does it."""

SESSIONS = ((time(8, 30), time(12, 30)), (time(13, 15), time(15, 45)))  # at the bench, morning and afternoon
WEEKEND = 6


@contextmanager
def it_is(moment: datetime) -> Iterator[None]:
    """Set the clock that Django reads, so that an action stamps its rows with the moment of the story.

    For one process with one thread, such as a command; never while pages are served.
    """
    real, timezone.now = timezone.now, lambda: moment
    try:
        yield
    finally:
        timezone.now = real


def go_on(stories: Iterable[Story]) -> None:
    """Let stories go on side by side, each thing in the order of the days on which it happens."""
    coming: list[tuple[datetime, int, Story]] = []
    for number, story in enumerate(stories):
        _wait_for(coming, number, story)
    while coming:
        moment, number, story = heapq.heappop(coming)
        with it_is(moment):
            _wait_for(coming, number, story)


def _wait_for(coming: list[tuple[datetime, int, Story]], number: int, story: Story) -> None:
    moment = next(story, None)
    if moment is not None:
        heapq.heappush(coming, (moment, number, story))


class Days:
    """The days of the shop up to now, in the time zone that is active."""

    def __init__(self, now: datetime):
        self.now = timezone.localtime(now)
        self.today = self.now.date()

    def ago(self, days: int, hour: int = 10, minute: int = 0) -> datetime:
        """A time on the calendar day so many days ago; never later than now."""
        return min(self.at(self.today - timedelta(days=days), time(hour, minute)), self.now)

    def ahead(self, days: int) -> date:
        """A working day so many days ahead, or the next one."""
        day = self.today + timedelta(days=days)
        while day.isoweekday() >= WEEKEND:
            day += timedelta(days=1)
        return day

    @staticmethod
    def at(day: date, clock: time) -> datetime:
        return timezone.make_aware(datetime.combine(day, clock))

    def sessions_after(self, moment: datetime) -> Iterator[tuple[datetime, datetime]]:
        """Times at the bench after a moment, one after another, without end."""
        day = timezone.localtime(moment).date()
        while True:
            if day.isoweekday() < WEEKEND:
                for begin, end in SESSIONS:
                    if self.at(day, begin) > moment:
                        yield self.at(day, begin), self.at(day, end)
            day += timedelta(days=1)

    def sessions_before(self, moment: datetime, hours: float) -> list[tuple[datetime, datetime]]:
        """The last times at the bench before a moment that come to so many hours, the first one cut to fit."""
        found: list[tuple[datetime, datetime]] = []
        day, left = timezone.localtime(moment).date(), timedelta(hours=hours)
        while left > timedelta(0):
            if day.isoweekday() < WEEKEND:
                for begin, end in reversed(SESSIONS):
                    ends = min(self.at(day, end), moment)
                    length = min(ends - self.at(day, begin), left)
                    if length > timedelta(minutes=20) or timedelta(0) < length == left:
                        found.append((ends - length, ends))
                        left -= length
                    if left <= timedelta(0):
                        break
            day -= timedelta(days=1)
        return found[::-1]


def share_out(
    hours: float, sessions: Callable[[], tuple[datetime, datetime]]
) -> Iterator[tuple[datetime, datetime]]:
    """Parts of sessions that come to so many hours; ``sessions`` gives the next one each time it is called."""
    left = timedelta(hours=hours)
    while left > timedelta(seconds=1):
        begin, end = sessions()
        length = min(end - begin, left)
        yield begin, begin + length
        left -= length
