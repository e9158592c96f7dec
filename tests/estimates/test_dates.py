"""Date promises: closed cases, a plain slow loop beside the fast one, and what must hold for any queue."""

from __future__ import annotations

import math
import time
from datetime import date, timedelta
from statistics import median

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimates.hours.dates import (
    HORIZON_DAYS,
    Finish,
    NoDate,
    QueuedJob,
    Worker,
    at_risk,
    drawn_hours,
    finishing_dates,
    in_order,
    promise,
)
from estimates.hours.ranges import HoursRange

MONDAY = date(2026, 3, 2)
OSK = Worker("Osk", 8)
MARO = Worker("Maro", 8)


def surely(hours: float) -> HoursRange:
    return HoursRange.between(hours, hours)


def day_of(hours: float, *people: Worker, today: date = MONDAY, benches: int = 1) -> date:
    finish = finishing_dates([QueuedJob("a", surely(hours), benches=benches)], people, today)["a"]
    assert finish.p50 == finish.p80 == finish.date_at(0.999)
    return finish.p50


@pytest.mark.parametrize(
    ("hours", "finished"),
    [
        (0, MONDAY),
        (0.1, MONDAY),
        (8, MONDAY),
        (8.1, date(2026, 3, 3)),
        (40, date(2026, 3, 6)),
        (40.1, date(2026, 3, 9)),
        (80, date(2026, 3, 13)),
    ],
)
def test_a_sure_job_takes_whole_days_of_the_week_worked(hours: float, finished: date) -> None:
    assert day_of(hours, OSK) == finished


def test_days_off_and_the_week_of_each_are_kept() -> None:
    off = Worker("Osk", 8, days_off=frozenset({date(2026, 3, 3), date(2026, 3, 4), date(2020, 1, 1)}))
    assert day_of(16, off) == date(2026, 3, 5)
    assert day_of(16, Worker("Maro", 8, frozenset({2, 4}))) == date(2026, 3, 5)
    assert day_of(16, Worker("Maro", 8, frozenset({6, 7})), today=date(2026, 3, 4)) == date(2026, 3, 8)


def test_only_the_share_at_the_bench_counts() -> None:
    assert day_of(12, Worker("Osk", 8, bench_share=0.75)) == date(2026, 3, 3)
    assert day_of(12.01, Worker("Osk", 8, bench_share=0.75)) == date(2026, 3, 4)


def test_one_person_a_job_unless_it_stands_on_more_benches() -> None:
    assert day_of(32, OSK, MARO) == date(2026, 3, 5)
    assert day_of(32, OSK, MARO, benches=2) == date(2026, 3, 3)
    assert day_of(32, OSK, benches=2) == date(2026, 3, 5)


def test_parts_that_fill_a_day_exactly_do_not_spill_into_the_next() -> None:
    assert day_of(8, OSK, benches=3) == MONDAY
    assert day_of(40, Worker("Osk", 8 / 3 * 3), benches=7) == date(2026, 3, 6)


def test_people_share_the_queue_earliest_due_first() -> None:
    queue = [
        QueuedJob("no date", surely(8)),
        QueuedJob("later", surely(16), date(2026, 4, 30)),
        QueuedJob("sooner", surely(24), date(2026, 3, 31)),
        QueuedJob("late already", surely(8), date(2026, 2, 1)),
    ]
    assert [job.key for job in in_order(queue)] == ["late already", "sooner", "later", "no date"]
    alone = finishing_dates(queue, [OSK], MONDAY)
    assert list(alone) == ["late already", "sooner", "later", "no date"]
    assert [finish.p50.day for finish in alone.values()] == [2, 5, 9, 10]
    # Osk: the late one, then the later one (Tuesday, Wednesday). Maro: the sooner one, three days. Then Osk again.
    both = finishing_dates(queue, [OSK, MARO], MONDAY)
    assert [finish.p50.day for finish in both.values()] == [2, 4, 4, 5]


def test_a_long_job_goes_to_whoever_finishes_it_first_not_to_whoever_is_free_first() -> None:
    helper = Worker("Helper", 1)
    queue = [QueuedJob("a", surely(8), date(2026, 3, 9)), QueuedJob("b", surely(24), date(2026, 3, 10))]
    dates = finishing_dates(queue, [OSK, helper], MONDAY)
    assert dates["b"].p50 == date(2026, 3, 5)


def test_the_high_date_is_where_the_high_hours_end() -> None:
    """One job, one hour a day: hours are days, so P50 and P80 are those of the range, within its sampling error."""
    every_day = Worker("Osk", 1, frozenset(range(1, 8)))
    hours = HoursRange.between(200, 260, df=8)
    [finish] = finishing_dates([QueuedJob("a", hours)], [every_day], MONDAY, draws=40_000).values()
    for confidence in (0.2, 0.5, 0.8, 0.9):
        days = (finish.date_at(confidence) - MONDAY).days + 1
        assert days == pytest.approx(hours.quantile(confidence), rel=0.01)
        assert finish.chance_of_meeting(finish.date_at(confidence)) == pytest.approx(confidence, abs=0.01)


def test_two_jobs_end_where_their_sum_does() -> None:
    """Lognormals of median 110 and 100, sigma .25 and .15: two million draws elsewhere say P50 211.70, P80 240.44
    and P90 257.44 (tolerance 1 %, four standard errors of 40,000 draws)."""
    every_day = Worker("Osk", 1, frozenset(range(1, 8)))
    queue = [
        QueuedJob("a", HoursRange(math.log(110), 0.25, math.inf), date(2026, 4, 1)),
        QueuedJob("b", HoursRange(math.log(100), 0.15, math.inf), date(2026, 5, 1)),
    ]
    last = finishing_dates(queue, [every_day], MONDAY, draws=40_000, alike=0)["b"]
    for confidence, days in ((0.5, 211.70), (0.8, 240.44), (0.9, 257.44)):
        assert (last.date_at(confidence) - MONDAY).days + 1 == pytest.approx(days, rel=0.01)


def test_jobs_that_run_over_together_spread_the_last_date() -> None:
    queue = [QueuedJob(f"{n}", HoursRange.between(20, 30, df=math.inf)) for n in range(12)]
    apart = finishing_dates(queue, [OSK], MONDAY, alike=0)["11"]
    together = finishing_dates(queue, [OSK], MONDAY, alike=0.6)["11"]
    assert together.p80 > apart.p80
    assert together.date_at(0.2) < apart.date_at(0.2)


# The same rules in plain loops ------------------------------------------------------------------------------


class SlowPerson:
    """A person who walks through the calendar hour by hour, as one would with a pencil."""

    def __init__(self, worker: Worker, today: date) -> None:
        self.worker = worker
        self.day = today
        self.left_today = self.bench_hours(today)

    def bench_hours(self, day: date) -> float:
        works = day.isoweekday() in self.worker.weekdays and day not in self.worker.days_off
        return self.worker.hours_a_day * self.worker.bench_share if works else 0.0

    def after(self, hours: float) -> tuple[date, float]:
        """Return the day on which so many hours are worked, and what is left of it then."""
        day, left = self.day, self.left_today
        while hours > left + 1e-9:
            hours -= left
            day += timedelta(days=1)
            left = self.bench_hours(day)
        return day, left - hours

    def moment(self, hours: float) -> float:
        day, left = self.after(hours)
        return (day - MONDAY).days + 1 - left / max(self.bench_hours(day), 1e-9)


def slow_dates(jobs: list[QueuedJob], people: list[Worker], today: date, hours_of: list[float]) -> list[date]:
    benches = [SlowPerson(worker, today) for worker in people if worker.hours_a_day * worker.bench_share > 0]
    finished = []
    for job, hours in zip(jobs, hours_of, strict=True):
        last = today
        for _part in range(job.benches if hours else 0):
            moments = [person.moment(hours / job.benches) for person in benches]
            first = next(
                p for p, moment in zip(benches, moments, strict=True) if moment <= min(moments) + 1e-7
            )
            first.day, first.left_today = first.after(hours / job.benches)
            last = max(last, first.day)
        finished.append(last)
    return finished


some_workers = st.builds(
    Worker,
    name=st.just("Somebody"),
    hours_a_day=st.sampled_from([4.0, 6.5, 8.0]),
    weekdays=st.sampled_from(
        [frozenset({1, 2, 3, 4, 5}), frozenset({1, 3}), frozenset({6}), frozenset(range(1, 8))]
    ),
    days_off=st.frozensets(st.dates(MONDAY, MONDAY + timedelta(days=20)), max_size=4),
    bench_share=st.sampled_from([1.0, 0.7]),
)
some_jobs = st.builds(
    QueuedJob,
    key=st.uuids().map(str),
    hours=st.builds(
        lambda p50, more, df: HoursRange.between(p50, p50 * more, df),
        st.floats(0.5, 80),
        st.floats(1.05, 1.6),
        st.sampled_from([4.0, 30.0, math.inf]),
    ),
    due=st.none() | st.dates(MONDAY, MONDAY + timedelta(days=200)),
    benches=st.integers(1, 3),
)
queues = st.lists(some_jobs, min_size=1, max_size=6, unique_by=lambda job: job.key)


@settings(max_examples=100, deadline=None)
@given(queues, st.lists(some_workers, min_size=1, max_size=3), st.dates(MONDAY, MONDAY + timedelta(days=6)))
def test_the_fast_way_and_the_slow_way_name_the_same_days(
    queue: list[QueuedJob], people: list[Worker], today: date
) -> None:
    draws = 12
    jobs = in_order(queue)
    hours = drawn_hours(jobs, draws, 0.3)
    slow = [slow_dates(jobs, people, today, [float(h) for h in row]) for row in hours]
    fast = finishing_dates(queue, people, today, draws=draws, alike=0.3)
    for column, job in enumerate(jobs):
        expected = sorted((row[column] - today).days for row in slow)
        assert list(fast[job.key].days) == expected


@settings(max_examples=100, deadline=None)
@given(queues, st.lists(some_workers, min_size=1, max_size=3))
def test_dates_are_the_same_every_time_and_in_any_order(queue: list[QueuedJob], people: list[Worker]) -> None:
    with_dates = [QueuedJob(job.key, job.hours, MONDAY + timedelta(days=n)) for n, job in enumerate(queue)]
    first = finishing_dates(with_dates, people, MONDAY, draws=200)
    assert finishing_dates(list(reversed(with_dates)), people, MONDAY, draws=200) == first
    for finish in first.values():
        assert finish.today <= finish.p50 <= finish.p80
        assert finish.chance_of_meeting(finish.today - timedelta(days=1)) == 0
        assert finish.chance_of_meeting(finish.p80) >= 0.8
        assert finish.chance_of_meeting(finish.p80 - timedelta(days=1)) < 0.8


@settings(max_examples=100, deadline=None)
@given(queues, some_workers, st.floats(1, 3))
def test_for_one_person_more_hours_never_bring_a_date_forward(
    queue: list[QueuedJob], worker: Worker, factor: float
) -> None:
    longer = [QueuedJob(job.key, job.hours.times(factor), job.due, job.benches) for job in queue]
    before = finishing_dates(queue, [worker], MONDAY, draws=100)
    after = finishing_dates(longer, [worker], MONDAY, draws=100)
    assert all(after[key].p50 >= before[key].p50 and after[key].p80 >= before[key].p80 for key in before)


def test_a_new_job_behind_the_others_moves_none_of_them() -> None:
    queue = [QueuedJob(f"{n}", HoursRange.between(20, 27), MONDAY + timedelta(days=9 * n)) for n in range(8)]
    before = finishing_dates(queue, [OSK, MARO], MONDAY)
    after = finishing_dates([*queue, QueuedJob("new", HoursRange.between(30, 40))], [OSK, MARO], MONDAY)
    assert {key: after[key] for key in before} == before


# Promises and risks -----------------------------------------------------------------------------------------


def test_an_enquiry_goes_behind_everything_promised() -> None:
    queue = [QueuedJob("a", surely(40), date(2026, 3, 6)), QueuedJob("b", surely(40))]
    promised = promise(surely(16), queue, [OSK], MONDAY)
    assert (promised.p50_date, promised.p80_date) == (date(2026, 3, 17), date(2026, 3, 17))
    assert promised.chance_of_meeting(date(2026, 3, 16)) == 0
    assert promised.chance_of_meeting(date(2026, 3, 17)) == 1


def test_an_enquiry_with_a_date_takes_its_turn_by_it() -> None:
    queue = [QueuedJob("a", surely(40), date(2026, 3, 6)), QueuedJob("b", surely(40), date(2026, 5, 1))]
    assert promise(surely(16), queue, [OSK], MONDAY, due=date(2026, 4, 1)).p80_date == date(2026, 3, 10)


def test_a_promise_says_a_later_date_for_more_confidence() -> None:
    promised = promise(HoursRange.between(40, 60), [], [OSK], MONDAY)
    assert promised.p50_date < promised.p80_date
    assert promised.chance_of_meeting(promised.p80_date) >= 0.8


def test_dates_at_risk_show_while_something_can_be_done() -> None:
    tight = HoursRange.between(40, 52)
    queue = [
        QueuedJob("safe", surely(8), date(2026, 3, 3)),
        QueuedJob("tight", tight, date(2026, 3, 10)),
        QueuedJob("hopeless", surely(80), date(2026, 3, 11)),
        QueuedJob("whenever", surely(80)),
    ]
    finishes = finishing_dates(queue, [OSK], MONDAY)
    risks = at_risk(queue, finishes)
    assert [risk.key for risk in risks] == ["tight", "hopeless"]
    assert 0.5 <= risks[0].chance < 0.8
    assert risks[0].p80_date is not None
    assert risks[0].p80_date > risks[0].due
    assert risks[1].chance == 0
    assert [risk.key for risk in at_risk(queue, finishes, confidence=0.3)] == ["hopeless"]


# Refusals ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("people", [[], [Worker("Osk", 0)], [Worker("Osk", 8, frozenset())]])
def test_without_hands_there_is_no_date(people: list[Worker]) -> None:
    with pytest.raises(NoDate, match="Nobody has bench hours"):
        promise(surely(8), [], people, MONDAY)


def test_more_than_ten_years_of_work_has_no_date_and_no_exception_on_the_risk_list() -> None:
    with pytest.raises(NoDate, match="ten years"):
        promise(surely(1e6), [], [OSK], MONDAY)
    endless = QueuedJob("a", HoursRange(1000.0, 5.0, 3.0), date(2026, 5, 1))
    [risk] = at_risk([endless], finishing_dates([endless], [OSK], MONDAY))
    assert (risk.chance, risk.p80_date) == (0, None)


def test_the_last_day_of_ten_years_still_has_a_date() -> None:
    every_day = Worker("Osk", 1, frozenset(range(1, 8)))
    assert day_of(HORIZON_DAYS, every_day) == MONDAY + timedelta(days=HORIZON_DAYS - 1)
    with pytest.raises(NoDate):
        day_of(HORIZON_DAYS + 0.5, every_day)


def test_nonsense_is_refused() -> None:
    with pytest.raises(ValueError, match="0 to 24"):
        Worker("Osk", 25)
    with pytest.raises(ValueError, match="0 to 24"):
        Worker("Osk", math.nan)
    with pytest.raises(ValueError, match="Weekdays"):
        Worker("Osk", 8, frozenset({0}))
    with pytest.raises(ValueError, match="share of a day"):
        Worker("Osk", 8, bench_share=1.2)
    with pytest.raises(ValueError, match="benches"):
        QueuedJob("a", surely(1), benches=0)
    with pytest.raises(ValueError, match="same key"):
        finishing_dates([QueuedJob("a", surely(1)), QueuedJob("a", surely(2))], [OSK], MONDAY)
    with pytest.raises(ValueError, match="correlation"):
        finishing_dates([QueuedJob("a", surely(1))], [OSK], MONDAY, alike=1.5)
    for confidence in (0, 1, 80, math.nan):
        with pytest.raises(ValueError, match="confidence"):
            Finish(MONDAY, (1, 2)).date_at(confidence)


def test_quantiles_of_days_count_draws() -> None:
    """Ten draws on days 0 to 9: half are done by day 4, four in five by day 7."""
    finish = Finish(MONDAY, tuple(range(10)))
    assert (finish.p50, finish.p80) == (MONDAY + timedelta(days=4), MONDAY + timedelta(days=7))
    assert finish.chance_of_meeting(finish.p80) == 0.8


def test_thirty_jobs_and_two_thousand_draws_take_under_a_second() -> None:
    queue = [
        QueuedJob(
            f"{n}", HoursRange.between(5 + n, 7 + 1.4 * n), MONDAY + timedelta(days=5 * n), benches=1 + n % 2
        )
        for n in range(30)
    ]
    taken = []
    for _ in range(3):
        start = time.perf_counter()
        finishing_dates(queue, [OSK, MARO, Worker("Helper", 5)], MONDAY)
        taken.append(time.perf_counter() - start)
    assert median(taken) < 1
