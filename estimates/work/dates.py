"""When each job in work will be done, who works when, and which promises are at risk.

The simulation is :mod:`estimates.hours.dates`. Its answer is kept while nothing has moved: hours spent are read to a
quarter of an hour, so that a running clock does not set it going again with every page.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from django.db import transaction
from django.utils import timezone

from estimates.hours import HoursRange
from estimates.hours.dates import (
    DatePromise,
    Finish,
    NoDate,
    QueuedJob,
    Worker,
    finishing_dates,
    in_order,
    promise,
)
from estimates.work.in_work import InWork, in_work
from estimates.work.standing import JobStanding, correlations
from jobs.models import Job
from jobs.sheets_needed import MetalWait, metal_waits, sheet_plan
from shop.audit import record
from shop.figures import day
from shop.models import DayOff, Person, Shop

STEP_HOURS = 0.25
MOST_BENCHES = 20
KEPT = 16
FURTHEST = timedelta(days=3653)
Waits = Mapping[int, MetalWait]
NO_WAITS: Waits = {}


class DateRefused(Exception):
    """The date cannot be promised; the text says why and what fits."""


@dataclass(frozen=True, slots=True)
class Expected:
    """When one job will be done: by ``middle`` as likely as not, by ``high`` four times in five, by ``safe`` as often
    as the shop wants to keep its word (``confidence``). ``wait`` is what its dates count for metal that is not there.

    A date that is more than ten years away, or that nobody works towards, is nothing, and ``why_none`` says so.
    """

    standing: JobStanding
    finish: Finish | None
    middle: date | None = None
    high: date | None = None
    safe: date | None = None
    why_none: str = ""
    confidence: float = 0.8
    wait: MetalWait | None = None

    @property
    def job(self) -> Job:
        return self.standing.job

    @property
    def chance(self) -> float | None:
        """Share of the simulated futures in which the date that counts is met."""
        if self.finish is None or self.job.deadline is None:
            return None
        return self.finish.chance_of_meeting(self.job.deadline)

    @property
    def at_risk(self) -> bool:
        """Whether the date that counts is met less often than the shop wants to keep its word."""
        return self.chance is not None and self.chance < self.confidence


def active_people() -> list[Person]:
    return list(Person.objects.filter(is_active=True))


def days_off(on: date) -> list[DayOff]:
    """Days off from a day on, a week before it included."""
    return list(DayOff.objects.filter(date__gte=on - timedelta(days=7), date__lte=on + FURTHEST))


def workers_of(people: Iterable[Person], off: Sequence[DayOff]) -> tuple[Worker, ...]:
    """People as the simulation knows them: their bench hours are hours at the metal already."""
    return tuple(
        Worker(
            name=str(person.pk),
            hours_a_day=float(person.bench_hours_per_day),
            weekdays=person.works_on,
            days_off=frozenset(each.date for each in off if each.person_id in (None, person.pk)),
        )
        for person in people
    )


def no_work_days(workers: Sequence[Worker], start: date, days: int) -> set[date]:
    """Days on which nobody stands at a bench."""
    ahead = [start + timedelta(days=count) for count in range(days)]
    return {
        each
        for each in ahead
        if not any(
            worker.hours_a_day and each.isoweekday() in worker.weekdays and each not in worker.days_off
            for worker in workers
        )
    }


def queue_of(jobs: Iterable[JobStanding], waits: Waits) -> tuple[QueuedJob, ...]:
    """The jobs that still take hours. Each open panel may stand on a bench of its own, once its metal is there."""
    return tuple(_queued(standing, waits.get(standing.job.pk)) for standing in jobs)


def _queued(standing: JobStanding, wait: MetalWait | None) -> QueuedJob:
    benches = min(max(standing.open_panels, 1), MOST_BENCHES)
    return QueuedJob(
        key=standing.job.number, hours=standing.to_go_by(STEP_HOURS), due=standing.job.deadline, benches=benches,
        waits=min(wait.panels, benches) if wait else 0, metal_on=wait.on if wait else None,
    )  # fmt: skip


def expected_dates(
    jobs: Sequence[JobStanding], workers: tuple[Worker, ...], today: date, confidence: float = 0.8,
    waits: Waits = NO_WAITS,
) -> list[Expected]:  # fmt: skip
    """When each job will be done, in the order in which they are worked; ``waits`` for metal by the jobs' keys."""
    queue = queue_of(jobs, waits)
    of_number = {standing.job.number: standing for standing in jobs}
    try:
        finishes = _finishes(queue, workers, today)
    except NoDate as error:
        return [
            Expected(
                of_number[one.key],
                None,
                why_none=str(error),
                confidence=confidence,
                wait=waits.get(of_number[one.key].job.pk),
            )
            for one in in_order(queue)
        ]
    return [_expected(of_number[key], finish, confidence, waits) for key, finish in finishes.items()]


def _expected(standing: JobStanding, finish: Finish, confidence: float, waits: Waits) -> Expected:
    wait = waits.get(standing.job.pk)
    try:
        safe = finish.date_at(confidence)
        return Expected(standing, finish, finish.p50, finish.p80, safe, confidence=confidence, wait=wait)
    except NoDate as error:
        return Expected(standing, finish, why_none=str(error), confidence=confidence, wait=wait)


@lru_cache(maxsize=KEPT)
def _finishes(queue: tuple[QueuedJob, ...], workers: tuple[Worker, ...], today: date) -> dict[str, Finish]:
    return finishing_dates(queue, workers, today)


def enquiry_date(
    hours: HoursRange, jobs: Sequence[JobStanding], workers: tuple[Worker, ...], today: date, waits: Waits = NO_WAITS
) -> DatePromise:  # fmt: skip
    """What a new enquiry could be promised behind all that is in work. Raises ``NoDate``."""
    return promise(hours, queue_of(jobs, waits), workers, today)


def waits_in_work(work: InWork, shop: Shop, today: date) -> dict[int, MetalWait]:
    """What the jobs in work wait for: panels without metal whose sheet is not on the rack. Two queries."""
    return metal_waits(sheet_plan(shop.units, work.without_metal()), today)


def expected_of_shop(shop: Shop, today: date) -> list[Expected]:
    """All jobs in work, read from the book: nine queries."""
    numbers = Job.objects.filter(state=Job.State.IN_WORK).values_list("pk", flat=True)
    work = in_work(correlations(numbers))
    workers = workers_of(active_people(), days_off(today))
    return expected_dates(work.jobs, workers, today, float(shop.confidence), waits_in_work(work, shop, today))


def expected_of_job(job: Job, shop: Shop, today: date) -> Expected | None:
    """One job among all that are in work; nothing where it is not."""
    return next((one for one in expected_of_shop(shop, today) if one.job.pk == job.pk), None)


@transaction.atomic
def promise_date(job: Job, person: Person, promised_on: date | None, seen: date | None) -> Job:
    """Promise a date, or take the promise back with nothing.

    ``seen`` is the promise that stood on the page: where somebody has changed it since, nothing is written.
    """
    if not person.is_owner:
        raise DateRefused("Only the owner promises dates. Ask them.")
    held = Job.objects.select_for_update().get(pk=job.pk)
    today = timezone.localdate()
    if held.promised_on == promised_on:
        return held
    if held.promised_on != seen:
        stands = (
            f"{day(held.promised_on, today)} is promised now"
            if held.promised_on
            else "nothing is promised now"
        )
        raise DateRefused(
            f"Somebody changed this promise while you looked at it: {stands}. Look, then set it again."
        )
    if held.state not in {Job.State.ENQUIRY, Job.State.QUOTED, Job.State.IN_WORK}:
        raise DateRefused(
            f"Job {held.number} is {held.get_state_display().lower()}; there is nothing to promise."
        )
    if promised_on and not today <= promised_on <= today + FURTHEST:
        raise DateRefused("Promise a day from today on, within ten years.")
    held.promised_on = promised_on
    held.save(update_fields=["promised_on"])
    changes = {"promised_on": [str(seen) if seen else None, str(promised_on) if promised_on else None]}
    record(person, "promised a date for", held, changes=changes, job_number=held.number)
    return held
