"""Playing a queue of jobs through: who takes which part of which job, and on which day each part ends.

A person's time is counted in bench hours from today on, and a calendar turns them into days. What waits for its metal
takes no hour before the metal's day; what is due later fills the time until then and is put down for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from datetime import date

    import numpy as np
    from numpy.typing import NDArray

    from estimates.hours.dates import QueuedJob, Worker

    Array = NDArray[np.float64]
    Days = NDArray[np.intp]

HORIZON_DAYS: Final = 3653
"""Ten years. What takes longer has no date."""
_SPECK_HOURS: Final = 1e-9  # sums of parts may pass a day's end by a rounding error, which is no day
_SAME_DAYS: Final = 1e-7  # two people who finish this close together finish at once; the first named takes it


@dataclass(slots=True)
class _Bench:
    """One person's time. Metal comes at the ``starts`` (bench hours from today on, the first 0); between two of them
    nothing new can begin, so what there is to do is done at once and any idle time is at the end. ``used`` are the
    hours done in each of these spells, in every draw.
    """

    calendar: Array
    starts: tuple[float, ...]
    used: list[Array]

    @classmethod
    def empty(cls, calendar: Array, metal_days: Sequence[int], draws: int) -> _Bench:
        """Return a bench with nothing on it; ``metal_days`` begin with 0, today."""
        import numpy as np

        starts = tuple(float(calendar[day]) for day in metal_days)
        return cls(calendar, starts, [np.zeros(draws) for _start in starts])

    def end(self, part: Array, spell: int) -> Array:
        """Return the hour at which a part would end that may begin with a spell, behind all that is there already."""
        import numpy as np

        end = np.zeros_like(part)
        for at, here in self._pieces(part, spell):
            end = np.where(here > 0, self.starts[at] + self.used[at] + here, end)
        return end

    def take(self, part: Array, spell: int) -> None:
        """Give a part to this person; it has no length in the draws in which somebody else takes it."""
        for at, here in list(self._pieces(part, spell)):
            self.used[at] = self.used[at] + here

    def _pieces(self, part: Array, spell: int) -> Iterator[tuple[int, Array]]:
        """Yield how much of a part is done in each spell: what there is time left for, and the rest in the last."""
        import numpy as np

        rest = part
        for at in range(spell, len(self.starts) - 1):
            here = np.minimum(rest, self.starts[at + 1] - self.starts[at] - self.used[at])
            yield at, here
            rest = rest - here
            rest = np.where(rest < _SPECK_HOURS, 0.0, rest)
        yield len(self.starts) - 1, rest


def bench_hours(worker: Worker, today: date) -> Array:
    """Return a worker's bench hours from today to the end of each day up to the horizon, first element 0."""
    import numpy as np

    week = [worker.hours_a_day * worker.bench_share * (day in worker.weekdays) for day in range(1, 8)]
    daily = np.resize(np.roll(week, 1 - today.isoweekday()), HORIZON_DAYS)
    off = [(day - today).days for day in worker.days_off]
    daily[[day for day in off if 0 <= day < HORIZON_DAYS]] = 0.0
    return np.concatenate([[0.0], np.cumsum(daily)])


def played_through(
    jobs: Sequence[QueuedJob], hours: Array, calendars: Sequence[Array], today: date
) -> list[list[int]]:
    """Give every part of every job to whoever finishes it first; return each job's sorted finishing days.

    ``hours`` holds the jobs' hours (columns) in every draw (rows); days count from ``today``, which is 0.
    """
    metal_days = sorted({0, *(_metal_day(job, today) for job in jobs)})
    benches = [_Bench.empty(calendar, metal_days, len(hours)) for calendar in calendars]
    return [
        _finishing_days(job, hours[:, column], benches, metal_days.index(_metal_day(job, today)))
        for column, job in enumerate(jobs)
    ]


def _metal_day(job: QueuedJob, today: date) -> int:
    """Return how many days from today a job's metal comes; 0 where it is there."""
    return min(max((job.metal_on - today).days, 0), HORIZON_DAYS) if job.metal_on else 0


def _finishing_days(job: QueuedJob, hours: Array, benches: Sequence[_Bench], spell: int) -> list[int]:
    """Play one job through: the parts that can begin first, then those that wait for their spell."""
    import numpy as np

    part = hours / job.benches
    last: Days = np.zeros(len(hours), dtype=np.intp)
    for number in range(job.benches):
        begins = spell if number >= job.benches - job.waits else 0
        ends = [_end(bench.calendar, bench.end(part, begins)) for bench in benches]
        moments = np.stack([moment for _day, moment in ends])
        first = (moments <= moments.min(axis=0) + _SAME_DAYS).argmax(axis=0)
        for who, bench in enumerate(benches):
            bench.take(np.where(first == who, part, 0.0), begins)
        last = np.maximum(last, np.stack([day for day, _moment in ends])[first, np.arange(len(hours))])
    days: list[int] = np.sort(np.where(part > 0, last, 0)).tolist()
    return days


def _end(calendar: Array, hours: Array) -> tuple[Days, Array]:
    """Return the day on which a person has worked so many hours, and the moment: the day and the share of it.

    Days count from nought; hours past the horizon end on the day after it.
    """
    import numpy as np

    day = np.searchsorted(calendar[1:], hours - _SPECK_HOURS, side="left")
    last = np.minimum(day, HORIZON_DAYS - 1)
    # A day off at the very beginning, with no hours to do, is the one case without a length.
    length = np.maximum(calendar[last + 1] - calendar[last], _SPECK_HOURS)
    return day, day + np.clip((hours - calendar[last]) / length, 0.0, 1.0)
