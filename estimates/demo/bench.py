"""Work at the bench in the example shop: who stood there when, on what, and what came of it."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import count

from estimates.demo.moments import Days, Story
from jobs.clock import clock_in, clock_out
from jobs.models import Stage
from shop.models import Person

SCRAP = timedelta(minutes=12)


class OutOfTime(Exception):
    """A person's times at the bench are used up."""


class Bench:
    """One person's times at the bench, used up in order."""

    def __init__(self, sessions: Iterable[tuple[datetime, datetime]]):
        self._sessions = iter(sessions)
        self._rest: tuple[datetime, datetime] | None = None

    def take(self, hours: float, after: datetime | None = None) -> list[tuple[datetime, datetime]]:
        """The next times that come to so many hours, none of them before ``after``.

        Nobody starts a clock for the last minutes of a session, or stops work that is nearly done. Raises
        :class:`OutOfTime` where the times are used up.
        """
        left, taken = timedelta(hours=hours), []
        while left > timedelta(seconds=1):
            begin, end = self._next()
            if end - begin < SCRAP or (after and begin < after):
                continue
            stop = begin + left if begin + left < end + SCRAP else end
            self._rest = (stop, end) if stop < end else None
            left -= stop - begin
            taken.append((begin, stop))
        return taken

    def _next(self) -> tuple[datetime, datetime]:
        found = self._rest or next(self._sessions, None)
        self._rest = None
        if found is None:
            raise OutOfTime
        return found


def bench_before(days: Days, moment: datetime, hours: Sequence[float]) -> Bench:
    """A person's last times before a moment, enough for so many hours one after another.

    Whoever stops a little early or finishes a little late does not come out at the sum, so some more are asked for
    until they are enough.
    """
    for quarters in count():
        sessions = days.sessions_before(moment, sum(hours) + quarters / 4)
        if _suffice(sessions, hours):
            return Bench(sessions)
    raise AssertionError("there is always a day before")


def _suffice(sessions: list[tuple[datetime, datetime]], hours: Sequence[float]) -> bool:
    bench = Bench(sessions)
    try:
        for each in hours:
            bench.take(each)
    except OutOfTime:
        return False
    return True


def nothing() -> None:
    """What happens before or after most work."""


@dataclass(frozen=True, slots=True)
class Task:
    """Hours of one person on one stage, with what is done before the first and after the last of them."""

    stage: Stage
    hours: float
    before: Callable[[], object] = nothing
    after: Callable[[], object] = nothing


def work_through(tasks: Iterable[Task], person: Person, bench: Bench, after: datetime | None = None) -> Story:
    """One person works through tasks, by the clock."""
    for task in tasks:
        times = bench.take(task.hours, after)
        for number, (begin, end) in enumerate(times):
            yield begin
            if number == 0:
                task.before()
            clock_in(task.stage, person, at=begin)
            yield end
            clock_out(person, at=end)
        task.after()
