"""Poor pasts and impossible figures: sane ranges or a clear refusal, never a NaN, a negative or a crash."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimates.hours import (
    FIRST_RATES,
    STAGES,
    FirstRate,
    PastPanel,
    StageHours,
    UnusableDrivers,
    UnusableHistory,
    job_total,
    learn,
)

from .cast import TODAY, a_history, a_panel, a_past_panel, all_sane, is_sane


@pytest.mark.parametrize(
    "history",
    [
        [a_past_panel()],
        [a_past_panel(str(i)) for i in range(30)],
        [a_past_panel(hours={"gathering": 10_000.0})],
        [*a_history(20), a_past_panel(hours=dict.fromkeys(STAGES, 10_000.0))],
        [a_past_panel(hours=dict.fromkeys(STAGES, None))],
        [a_past_panel(hours={"layout": 1e-9}, layout_m=1e-6)],
        [a_past_panel(moved_dm2=0, hours={"gathering": None})] * 5,
    ],
    ids=[
        "one panel",
        "no variance",
        "10,000 hours",
        "one wild",
        "nothing recorded",
        "tiny",
        "stage never seen",
    ],
)
def test_poor_histories_give_sane_ranges(history):
    model = learn(history, on=TODAY)
    for panel in (a_panel(), a_panel(metal="unheard of", method="power", finish="bright", hand_order=2)):
        assert all_sane(model.estimate(panel))
    assert model.estimate(a_panel()).total.p80 > model.estimate(a_panel()).total.p50


def test_a_history_without_variance_does_not_promise_certainty():
    stage = learn([a_past_panel(str(i)) for i in range(30)], on=TODAY).estimate(a_panel()).stages["layout"]
    assert stage.p80 / stage.p50 > 1.02


@given(
    amounts=st.lists(st.floats(0, 1e6, allow_subnormal=False), min_size=4, max_size=4),
    hours=st.lists(st.one_of(st.none(), st.floats(1e-6, 1e5)), min_size=4, max_size=4),
    order=st.sampled_from((1, 2)),
)
@settings(max_examples=60, deadline=None)
def test_any_past_gives_sane_ranges(amounts, hours, order):
    names = ("layout_m", "moved_dm2", "worked_dm2", "finished_dm2")
    drivers = a_panel(**dict(zip(names, amounts, strict=True)), hand_order=order)
    taken = {f"{stage}_hours": h for stage, h in zip(STAGES, hours, strict=True)}
    model = learn([PastPanel("any", TODAY, drivers, **taken)], on=TODAY)
    panel = model.estimate(drivers)
    assert all_sane(panel)
    assert is_sane(job_total([panel, panel, model.estimate(a_panel())]))


@pytest.mark.parametrize("hours", [-1.0, math.nan, math.inf])
def test_impossible_hours_are_refused(hours):
    with pytest.raises(UnusableHistory, match="not between 0 and a million"):
        a_past_panel(hours={"layout": hours})


def test_zero_hours_of_real_work_are_refused_with_advice():
    with pytest.raises(UnusableHistory, match="leave it blank"):
        a_past_panel(hours={"layout": 0.0})
    assert a_past_panel(moved_dm2=0, hours={"gathering": 0.0}).hours("gathering") == 0.0


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"layout_m": -1.0}, "layout_m"),
        ({"layout_m": 1e7}, "layout_m"),
        ({"worked_dm2": math.nan}, "worked_dm2"),
        ({"finished_dm2": math.inf}, "finished_dm2"),
        ({"method": "lathe"}, "method"),
        ({"finish": "mirror"}, "finish"),
        ({"hand_order": 3}, "hand_order"),
        ({"metal": "  "}, "metal"),
    ],
)
def test_impossible_drivers_are_refused(change, field):
    with pytest.raises(UnusableDrivers) as refusal:
        a_panel(**change)
    assert refusal.value.field == field


@pytest.mark.parametrize("half_life", [0, -5, math.nan])
def test_impossible_half_life_is_refused(half_life):
    with pytest.raises(UnusableHistory, match="half-life"):
        learn([], on=TODAY, half_life_days=half_life)


def test_missing_first_rate_is_refused():
    with pytest.raises(UnusableHistory, match="gathering"):
        learn([], [f for f in FIRST_RATES if f.stage != "gathering"], on=TODAY)


@pytest.mark.parametrize(
    "change",
    [{"hours_per_unit": 0}, {"spread": math.nan}, {"metal_factors": (("tin", -1.0),)}, {"worth_panels": 2}],
)
def test_impossible_first_rate_is_refused(change):
    with pytest.raises(ValueError, match="layout"):
        FirstRate(**{"stage": "layout", "hours_per_unit": 0.2} | change)


def test_an_own_stage_has_no_rate():
    with pytest.raises(ValueError, match="no driver"):
        FirstRate("welding", 1.0)


@pytest.mark.parametrize(("low", "high"), [(3, 2), (-1, 2), (0, 2), (1, math.inf), (math.nan, 2)])
def test_impossible_word_of_the_owner_is_refused(low, high):
    with pytest.raises(ValueError, match="low to high"):
        StageHours.by_owner("welding", low, high)
