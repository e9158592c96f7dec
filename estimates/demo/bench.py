"""Work at the bench in the example shop: who stood there when, on what, and what came of it."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from estimates.demo.moments import Story
from jobs.clock import clock_in, clock_out
from jobs.models import Stage
from shop.models import Person

SCRAP = timedelta(minutes=12)


class Bench:
    """One person's times at the bench, used up in order."""

    def __init__(self, sessions: Iterable[tuple[datetime, datetime]]):
        self._sessions = iter(sessions)
        self._rest: tuple[datetime, datetime] | None = None

    def take(self, hours: float, after: datetime | None = None) -> Iterator[tuple[datetime, datetime]]:
        """The next times that come to so many hours, none of them before ``after``.

        Nobody starts a clock for the last minutes of a session, or stops work that is nearly done.
        """
        left = timedelta(hours=hours)
        while left > timedelta(seconds=1):
            begin, end = self._rest or next(self._sessions)
            self._rest = None
            if end - begin < SCRAP or (after and begin < after):
                continue
            stop = begin + left if begin + left < end + SCRAP else end
            self._rest = (stop, end) if stop < end else None
            left -= stop - begin
            yield begin, stop


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
        times = list(bench.take(task.hours, after))
        for number, (begin, end) in enumerate(times):
            yield begin
            if number == 0:
                task.before()
            clock_in(task.stage, person, at=begin)
            yield end
            clock_out(person, at=end)
        task.after()
