"""When jobs will be finished: a simulated date for each, and an honest one to promise.

The rules, ours and plain enough to be argued with:

1. Earliest due first. A job without a date comes after those that have one; what is due on one day, and what has no
   date, keeps the order it was given in.
2. The next job goes to whoever would finish it first, between what they already have on. One person a job, unless
   the job says that it can stand on several benches at once (a pair, several panels): then its hours are split
   evenly over that many parts, and it is finished with the last of them. Nobody puts a job down once begun.
3. A day holds the hours a person works times the share of them that is spent at the bench. Today counts in full.
4. A job may wait for its metal: the parts of it that do begin no earlier than the day it comes. Until then whoever
   has it works on what is due next, and puts that down for it when the metal is there.
5. How long each job still takes is drawn from its range. Jobs run over together to some degree, because they rest
   on the same rates: the correlation of their logarithms is :data:`ALIKE`, assumed.

Draws are seeded by the job's own key, so that a date moves only when something about the shop has moved.
"""

from __future__ import annotations

import math
import zlib
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Final

from estimates.hours.benches import HORIZON_DAYS, bench_hours, played_through
from estimates.hours.ranges import HoursRange

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

DRAWS: Final = 2000
ALIKE: Final = 0.2
_SEED: Final = 20_260_302


class NoDate(ValueError):
    """No date can be named; the text says why and what would help."""


@dataclass(frozen=True, slots=True)
class Worker:
    """Somebody at the bench: which ISO weekdays (1 Monday to 7 Sunday), how long, and which days not.

    ``bench_share`` is the part of those hours that goes into panels: the rest is telephone, sweeping and waiting.
    """

    name: str
    hours_a_day: float
    weekdays: frozenset[int] = frozenset({1, 2, 3, 4, 5})
    days_off: frozenset[date] = frozenset()
    bench_share: float = 1.0

    def __post_init__(self) -> None:
        if not 0 <= self.hours_a_day <= 24:
            raise ValueError(f"A day holds 0 to 24 hours of work, not {self.hours_a_day}.")
        if not self.weekdays <= set(range(1, 8)):
            raise ValueError("Weekdays run from 1, Monday, to 7, Sunday.")
        if not 0 <= self.bench_share <= 1:
            raise ValueError(f"The share of a day at the bench runs from 0 to 1, not {self.bench_share}.")


@dataclass(frozen=True, slots=True)
class QueuedJob:
    """A job in work or waiting: the hours it still takes, when it is due, on how many benches it can stand.

    ``waits`` of those benches stand idle for it until ``metal_on``, the day its metal comes.
    """

    key: str
    hours: HoursRange
    due: date | None = None
    benches: int = 1
    waits: int = 0
    metal_on: date | None = None

    def __post_init__(self) -> None:
        if not 1 <= self.benches <= 20:
            raise ValueError(f"A job stands on 1 to 20 benches, not {self.benches}.")
        if not 0 <= self.waits <= self.benches or bool(self.waits) != (self.metal_on is not None):
            raise ValueError("A job waits on no more benches than it has, and for metal that comes on a day.")


@dataclass(frozen=True, slots=True)
class Finish:
    """The finishing day of one job in every draw, as days after ``today`` in ascending order."""

    today: date
    days: tuple[int, ...]

    def date_at(self, confidence: float) -> date:
        """Return the first day by which the job is finished in at least this share of the draws.

        Raises :class:`NoDate` where that is more than ten years away, ``ValueError`` for a confidence outside
        0 to 1.
        """
        if not 0 < confidence < 1:
            raise ValueError(f"A confidence lies between 0 and 1, not {confidence}.")
        # 0.8 of 2000 must be draw 1600, whatever binary fractions make of the product.
        day = self.days[math.ceil(round(confidence * len(self.days), 6)) - 1]
        if day >= HORIZON_DAYS:
            raise NoDate("That is more than ten years of work. Check the hours and the people.")
        return self.today + timedelta(days=day)

    @property
    def p50(self) -> date:
        """As likely earlier as later."""
        return self.date_at(0.5)

    @property
    def p80(self) -> date:
        """Kept four times in five."""
        return self.date_at(0.8)

    def chance_of_meeting(self, due: date) -> float:
        """Return the share of the draws in which the job is finished on or before a day, 0 to 1."""
        return bisect_right(self.days, (due - self.today).days) / len(self.days)


@dataclass(frozen=True, slots=True)
class DatePromise:
    """What an enquiry can be promised: the middle date, and the date that is kept four times in five."""

    p50_date: date
    p80_date: date
    finish: Finish

    def chance_of_meeting(self, due: date) -> float:
        """Return the chance that the enquiry is finished on or before a day, 0 to 1."""
        return self.finish.chance_of_meeting(due)


@dataclass(frozen=True, slots=True)
class AtRisk:
    """A job that will probably miss its date: how likely it still is, and the date that could be kept."""

    key: str
    due: date
    chance: float
    p80_date: date | None


def in_order(queue: Sequence[QueuedJob]) -> list[QueuedJob]:
    """Return the jobs in the order they are worked: earliest due first, those without a date last."""
    return sorted(queue, key=lambda job: (job.due is None, job.due or date.min))


def finishing_dates(
    queue: Sequence[QueuedJob],
    people: Sequence[Worker],
    today: date,
    *,
    draws: int = DRAWS,
    alike: float = ALIKE,
) -> dict[str, Finish]:
    """Simulate the shop's queue and return every job's finishing days, by its key, in working order.

    Parameters
    ----------
    queue
        All jobs that take the same people's time, in any order; keys differ.
    people
        Everybody who works on them.
    today
        The first day of work.
    draws
        How often the future is played through. At 2000 a P80 has a standard error of about 0.9 % of the draws.
    alike
        Correlation of the jobs' logarithms, 0 to 1.

    Raises :class:`NoDate` where nobody has any bench hours, ``ValueError`` for keys that are given twice.
    """
    jobs = in_order(queue)
    if len({job.key for job in jobs}) < len(jobs):
        raise ValueError("Two jobs in the queue have the same key.")
    calendars = [calendar for worker in people if (calendar := bench_hours(worker, today))[-1] > 0]
    if not calendars:
        raise NoDate("Nobody has bench hours. Say who works how many hours on which days.")
    hours = drawn_hours(jobs, draws, alike)
    days = played_through(jobs, hours, calendars, today)
    return {job.key: Finish(today, tuple(column)) for job, column in zip(jobs, days, strict=True)}


def promise(
    enquiry: HoursRange,
    queue: Sequence[QueuedJob],
    people: Sequence[Worker],
    today: date,
    *,
    due: date | None = None,
    benches: int = 1,
) -> DatePromise:
    """Return the dates an enquiry could be promised for, given all that is on the benches already.

    Without a date of its own it goes behind everything promised; with ``due`` it takes its turn by that date, which
    may push jobs due later: run :func:`finishing_dates` and :func:`at_risk` with it in the queue to see them.

    Raises :class:`NoDate` where nobody works or more than ten years of work lie before it.
    """
    asked = QueuedJob("\0the enquiry", enquiry, due, benches)  # no job's number begins so
    finish = finishing_dates([*queue, asked], people, today)[asked.key]
    return DatePromise(finish.p50, finish.p80, finish)


def at_risk(
    queue: Sequence[QueuedJob], finishes: dict[str, Finish], confidence: float = 0.8
) -> tuple[AtRisk, ...]:
    """Return the jobs whose chance of meeting their date is under the shop's confidence, earliest due first."""
    risks = []
    for job in in_order(queue):
        if job.due is None:
            continue
        chance = finishes[job.key].chance_of_meeting(job.due)
        if chance < confidence:
            risks.append(AtRisk(job.key, job.due, chance, _date_or_none(finishes[job.key])))
    return tuple(risks)


def drawn_hours(jobs: Sequence[QueuedJob], draws: int, alike: float = 0.0) -> Array:
    """Return the hours of every job (columns) in every draw (rows): ``exp(mean_log + scale · t)``.

    A job's draws hang on its key alone, not on its place or its neighbours. The normal part is shared by ``alike``.
    """
    import numpy as np

    if not 0 <= alike <= 1:
        raise ValueError(f"A correlation of jobs runs from 0 to 1, not {alike}.")
    shared = np.random.default_rng(_SEED).standard_normal(draws) * math.sqrt(alike)
    hours = np.empty((draws, len(jobs)))
    for column, job in enumerate(jobs):
        chance = np.random.default_rng([_SEED, zlib.crc32(job.key.encode())])
        student = shared + chance.standard_normal(draws) * math.sqrt(1 - alike)
        if math.isfinite(job.hours.df):
            student /= np.sqrt(chance.chisquare(job.hours.df, draws) / job.hours.df)
        # Beyond e^30 hours there is no date anyhow, and an overflow would be a warning.
        hours[:, column] = np.exp(np.minimum(job.hours.mean_log + job.hours.scale * student, 30.0))
    return hours


def _date_or_none(finish: Finish) -> date | None:
    try:
        return finish.p80
    except NoDate:
        return None
