"""Hours to go: what must hold for any stage, and what a shop would expect."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from estimates.hours import (
    HoursRange,
    Spent,
    StageHours,
    after,
    at_completion,
    job_total,
    learn,
    rest_of_panel,
    to_go,
)

from .cast import TODAY, a_history, a_panel

TEN = HoursRange(math.log(10), 0.3, 20)
middles, scales, dfs = st.floats(0.05, 500), st.floats(0.05, 1.2), st.sampled_from((3, 8, 20, 200, math.inf))
progress, spent = st.floats(0, 1), st.floats(0, 2000)


def test_before_work_begins_the_estimate_stands():
    rest = to_go(TEN, 0, 0)
    assert (rest.p50, rest.p80) == pytest.approx((TEN.p50, TEN.p80))


def test_without_a_report_only_the_hours_spent_count():
    """The total, given that it is more than what is spent: the conditional quantile, by scipy."""

    def log_total(p):
        cut = stats.t.sf((math.log(8) - TEN.mean_log) / TEN.scale, TEN.df)
        return TEN.mean_log + TEN.scale * stats.t.isf(cut * (1 - p), TEN.df)

    rest = to_go(TEN, 8, 0)
    assert rest.p50 == pytest.approx(math.exp(log_total(0.5)) - 8)
    assert rest.p80 == pytest.approx(math.exp(log_total(0.8)) - 8)


def test_all_done_leaves_nothing():
    assert to_go(TEN, 14, 1) == HoursRange.none()
    assert at_completion(TEN, 14, 1).p50 == at_completion(TEN, 14, 1).p80 == pytest.approx(14)


def test_half_done_on_pace_leaves_about_half():
    rest = to_go(TEN, 5, 0.5)
    assert rest.p50 == pytest.approx(5, rel=0.05)
    assert rest.p80 < TEN.p80 - 5


def test_slow_pace_shows_before_the_hours_are_gone():
    """Eight of ten hours spent at four tenths done: the pace says twenty, the estimate ten."""
    whole = at_completion(TEN, 8, 0.4)
    assert 12 < whole.p50 < 20
    assert whole.p80 > TEN.p80


def test_passes_ticked_without_hours_leave_the_rest_of_the_estimate():
    rest = to_go(TEN, 0, 0.5)
    assert 0.5 < rest.p50 < TEN.p50


@given(middle=middles, scale=scales, df=dfs, hours=spent, done=progress)
@settings(max_examples=200, deadline=None)
def test_always_sane(middle, scale, df, hours, done):
    rest = to_go(HoursRange(math.log(middle), scale, df), hours, done)
    assert 0 <= rest.p50 <= rest.p80 < math.inf
    assert not math.isnan(rest.scale)


@given(middle=middles, scale=scales, hours=spent, more=st.floats(0.001, 100), done=progress)
@settings(max_examples=200, deadline=None)
def test_more_hours_spent_never_lower_the_hours_at_completion(middle, scale, hours, more, done):
    stage = HoursRange(math.log(middle), scale, math.inf)
    less, longer = at_completion(stage, hours, done), at_completion(stage, hours + more, done)
    assert longer.p50 >= less.p50 * (1 - 1e-9)


@given(middle=middles, scale=scales, pace=st.floats(0, 1), done=st.floats(0.01, 1), more=progress)
@settings(max_examples=200, deadline=None)
def test_on_pace_more_progress_never_raises_the_hours_to_go(middle, scale, pace, done, more):
    stage = HoursRange(math.log(middle), scale, math.inf)
    hours = pace * done * middle
    further = done + more * (1 - done)
    assert to_go(stage, hours, further).p50 <= to_go(stage, hours, done).p50 * (1 + 1e-9)


@given(middle=middles, scale=scales, df=dfs, hours=st.floats(0, 500), done=st.floats(0, 1))
@settings(max_examples=200, deadline=None)
def test_a_little_more_changes_little(middle, scale, df, hours, done):
    stage, step = HoursRange(math.log(middle), scale, df), 1e-7
    rest = to_go(stage, hours, done)
    size = middle + hours
    assert to_go(stage, hours + step * size, done).p50 == pytest.approx(rest.p50, abs=1e-3 * size)
    assert to_go(stage, hours, max(0.0, done - step)).p50 == pytest.approx(rest.p50, abs=1e-3 * size)


@pytest.mark.parametrize("hours", [1e4, 1e6])
@pytest.mark.parametrize("df", [3, 2000, math.inf])
def test_far_beyond_the_estimate_there_is_still_an_answer(hours, df):
    rest = to_go(HoursRange(math.log(2), 0.05, df), hours, 0.0)
    assert 0 < rest.p50 <= rest.p80 < math.inf


def test_a_single_figure_of_the_owner_is_not_taken_for_certainty():
    rest = to_go(StageHours.by_owner("welding", 2.0, 2.0), 3.0, 0.0)
    assert 0 < rest.p50 < 1


def test_a_stage_without_work_has_nothing_to_go():
    assert to_go(HoursRange.none(), 2.0, 0.0).is_zero
    assert after(2.0, HoursRange.none()).p80 == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("hours", "done"), [(-1, 0), (math.nan, 0), (math.inf, 0), (1, -0.1), (1, 1.1), (1, math.nan)]
)
def test_impossible_reports_are_refused(hours, done):
    with pytest.raises(ValueError, match=r"Hours spent|Progress"):
        to_go(TEN, hours, done)


@pytest.fixture
def panel():
    return learn(a_history(40), on=TODAY).estimate(a_panel())


def test_rest_of_a_panel_before_work_is_the_panel(panel):
    rest = rest_of_panel(panel, {})
    assert rest.total.p50 == pytest.approx(panel.total.p50)
    assert rest.total.p80 == pytest.approx(panel.total.p80)


def test_rest_of_a_panel_falls_as_stages_finish(panel):
    begun = rest_of_panel(panel, {"layout": Spent(1.0, 1.0)})
    nearly = rest_of_panel(
        panel, {stage: Spent(hours.p50, 1.0) for stage, hours in panel.stages.items() if stage != "smoothing"}
    )
    assert begun.total.p50 == pytest.approx(panel.total.p50 - panel.stages["layout"].p50, rel=0.03)
    assert nearly.total.p50 == pytest.approx(panel.stages["smoothing"].p50)
    done = rest_of_panel(panel, {stage: Spent(9.0, 1.0) for stage in panel.stages})
    assert done.total.is_zero


def test_rest_of_a_job_is_that_of_its_panels(panel):
    rest = [rest_of_panel(panel, {"layout": Spent(1.0, 1.0)}), rest_of_panel(panel, {})]
    job = job_total(rest)
    assert job.p50 == pytest.approx(rest[0].total.p50 + rest[1].total.p50, rel=0.03)
    assert job.p80 < rest[0].total.p80 + rest[1].total.p80
    finished = rest_of_panel(panel, {stage: Spent(1.0, 1.0) for stage in panel.stages})
    assert job_total([finished, finished]).is_zero


def test_hours_gone_with_most_of_the_stage_to_do_leave_much_to_go():
    """A sure estimate (3.5 to 4 h) does not outvote a bench that has spent it all on a sixth of the work."""
    stage = HoursRange.between(3.5, 4)
    assert to_go(stage, 3.8, 1 / 6).p50 > 2.5
    assert after(3.8, to_go(stage, 3.8, 1 / 6)).p80 > 8


def test_on_pace_the_estimate_stays_as_sure_as_it_was():
    stage = HoursRange.between(10, 13)
    assert after(5, to_go(stage, 5, 0.5)).p50 == pytest.approx(10, rel=0.02)
