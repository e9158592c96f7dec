"""Jobs that wait for their metal: closed cases, an hour-by-hour loop beside the fast way, and what must always hold."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimates.hours.dates import QueuedJob, Worker, finishing_dates
from estimates.hours.ranges import HoursRange

MONDAY = date(2026, 3, 2)
FRIDAY, SATURDAY, NEXT_MONDAY = date(2026, 3, 6), date(2026, 3, 7), date(2026, 3, 9)
OSK = Worker("Osk", 8)
MARO = Worker("Maro", 8)


def surely(hours: float) -> HoursRange:
    return HoursRange.between(hours, hours)


def waiting(
    key: str, hours: float, metal_on: date, due: date | None = None, benches: int = 1, waits: int = 1
):
    return QueuedJob(key, surely(hours), due, benches, waits, metal_on)


def days_of(queue: list[QueuedJob], *people: Worker) -> dict[str, date]:
    return {key: finish.p50 for key, finish in finishing_dates(queue, people, MONDAY).items()}


@pytest.mark.parametrize(
    ("metal_on", "finished"),
    [
        (MONDAY - timedelta(days=3), MONDAY), (MONDAY, MONDAY), (date(2026, 3, 3), date(2026, 3, 3)),
        (FRIDAY, FRIDAY), (SATURDAY, NEXT_MONDAY), (date(2026, 3, 8), NEXT_MONDAY), (NEXT_MONDAY, NEXT_MONDAY),
    ],
)  # fmt: skip
def test_a_job_begins_on_the_day_its_metal_comes_or_the_next_one_worked(
    metal_on: date, finished: date
) -> None:
    assert days_of([waiting("a", 8, metal_on)], OSK) == {"a": finished}


def test_what_is_due_later_fills_the_time_and_is_put_down_when_the_metal_is_there() -> None:
    queue = [
        waiting("first", 16, date(2026, 3, 4), due=FRIDAY),
        QueuedJob("later", surely(24), due=NEXT_MONDAY),
    ]
    # Later: Monday, Tuesday; the first on Wednesday and Thursday; the rest of the later one on Friday.
    assert days_of(queue, OSK) == {"first": date(2026, 3, 5), "later": FRIDAY}
    assert days_of([queue[0], QueuedJob("later", surely(16), due=NEXT_MONDAY)], OSK)["later"] == date(
        2026, 3, 3
    )


def test_two_jobs_that_wait_for_one_sheet_do_not_stand_on_one_bench_at_once() -> None:
    queue = [waiting("a", 16, FRIDAY, due=FRIDAY), waiting("b", 16, FRIDAY, due=SATURDAY)]
    assert days_of(queue, OSK) == {"a": NEXT_MONDAY, "b": date(2026, 3, 11)}
    assert days_of(queue, OSK, MARO) == {"a": NEXT_MONDAY, "b": NEXT_MONDAY}


def test_only_the_panels_without_metal_wait() -> None:
    assert days_of([waiting("pair", 16, FRIDAY, benches=2, waits=1)], OSK, MARO) == {"pair": FRIDAY}
    assert days_of([waiting("pair", 32, FRIDAY, benches=2, waits=1)], OSK, MARO) == {"pair": NEXT_MONDAY}
    assert days_of([QueuedJob("pair", surely(32), benches=2)], OSK, MARO) == {"pair": date(2026, 3, 3)}


@pytest.mark.parametrize(("waits", "metal_on"), [(1, None), (0, FRIDAY), (3, FRIDAY), (-1, FRIDAY)])
def test_nonsense_is_refused(waits: int, metal_on: date | None) -> None:
    with pytest.raises(ValueError, match="waits"):
        QueuedJob("a", surely(8), None, 2, waits, metal_on)


JOBS = st.lists(
    st.tuples(st.integers(1, 30), st.one_of(st.none(), st.integers(0, 20)), st.integers(0, 14)),
    min_size=1, max_size=7,
)  # fmt: skip


def queue_from(drawn) -> list[QueuedJob]:
    """Jobs in the order in which they are due: hours, the days until the metal comes or none, days until due."""
    jobs = []
    for number, (hours, days, due) in enumerate(drawn):
        due_on, metal_on = MONDAY + timedelta(days=due), MONDAY + timedelta(days=days) if days else None
        jobs.append(QueuedJob(str(number), surely(hours), due_on, 1, 1 if metal_on else 0, metal_on))
    return sorted(jobs, key=lambda job: job.due)


def hour_by_hour(queue: list[QueuedJob], worker: Worker) -> dict[str, date]:
    """The rules as they are said: every hour goes to what is due first of all whose metal is there."""
    left = {job.key: round(job.hours.p50) for job in queue}
    done: dict[str, date] = {}
    today = MONDAY
    while left:
        for _hour in range(round(worker.hours_a_day) if today.isoweekday() in worker.weekdays else 0):
            there = [job for job in queue if job.key in left and (not job.metal_on or job.metal_on <= today)]
            if not there:
                continue
            left[there[0].key] -= 1
            if not left[there[0].key]:
                del left[there[0].key]
                done[there[0].key] = today
        today += timedelta(days=1)
    return done


@settings(max_examples=150, deadline=None)
@given(JOBS)
def test_the_fast_way_and_the_hour_by_hour_way_name_the_same_days(drawn) -> None:
    queue = queue_from(drawn)
    assert days_of(queue, OSK) == hour_by_hour(queue, OSK)


@settings(max_examples=60, deadline=None)
@given(JOBS)
def test_nothing_that_waits_is_done_before_its_metal_comes_and_for_one_person_waiting_brings_nothing_forward(
    drawn,
) -> None:
    queue = queue_from(drawn)
    assert all(days_of(queue, OSK, MARO)[job.key] >= job.metal_on for job in queue if job.metal_on)
    unhindered = days_of(queue_from([(hours, None, due) for hours, _days, due in drawn]), OSK)
    assert max(days_of(queue, OSK).values()) >= max(unhindered.values())
