"""Panels unlike the rest are named with what the rest expects, and nothing is left out behind the owner's back."""

import math
from dataclasses import replace

import pytest
from scipy import stats

from estimates.hours import STAGES, learn, surprises

from .cast import TODAY, a_history, a_past_panel


def test_a_slip_of_the_pen_is_named():
    odd = a_past_panel("slip", hours={"gathering": 320.0})
    [found] = learn([*a_history(20), odd], on=TODAY).unlike
    assert (found.panel, found.stage, found.hours) == ("slip", "gathering", 320.0)
    assert found.expected_hours == pytest.approx(3.2, rel=0.4)


def test_it_still_teaches_until_the_owner_leaves_it_out():
    odd = a_past_panel("slip", hours={"gathering": 320.0})
    assert learn([*a_history(20), odd], on=TODAY).n_past == 21


def test_expectation_is_that_of_a_model_that_never_saw_the_panel():
    """Layout learns from its own panels only, so learning without the panel has to give the same."""
    history = a_history(15)
    odd = a_past_panel("odd", hours={"layout": 70.0})
    [found] = learn([*history, odd], on=TODAY).unlike
    rest = learn(history, on=TODAY).estimate(odd.drivers).stages["layout"]
    assert found.expected_hours == pytest.approx(rest.p50, rel=1e-9)


def test_an_ordinary_past_has_none():
    for seed in range(10):
        assert learn(a_history(60, seed=seed), on=TODAY).unlike == ()


def test_too_quick_is_as_odd_as_too_slow():
    odd = a_past_panel("quick", hours=dict.fromkeys(STAGES, 0.01))
    found = learn([*a_history(30), odd], on=TODAY).unlike
    assert {one.stage for one in found} == set(STAGES)
    assert all(math.isfinite(one.expected_hours) and one.expected_hours > 0.01 for one in found)


def test_no_past_has_none():
    assert learn([], on=TODAY).unlike == ()


def test_hours_outside_the_central_98_per_cent_are_surprises():
    """One hour in a hundred lies below the low end and one above the high end, by a statistics library's Student t."""
    panel = a_past_panel(hours={"gathering": 3.0})
    predicted = learn(a_history(20), on=TODAY).estimate(panel.drivers).stages
    held = predicted["gathering"]
    low, high = (math.exp(held.mean_log + held.scale * stats.t.ppf(p, held.df)) for p in (0.01, 0.99))
    for hours, odd in (
        (low * 0.999, True),
        (low * 1.001, False),
        (high * 0.999, False),
        (high * 1.001, True),
    ):
        told = surprises(predicted, replace(panel, gathering_hours=hours))
        found = [each for each in told if each.stage == "gathering"]
        assert len(found) == odd
        for each in found:
            assert (each.hours, each.low, each.high) == pytest.approx((hours, low, high), rel=1e-6)


def test_two_in_a_hundred_ordinary_stages_are_surprises():
    history = a_history(400, seed=3)
    model = learn(history[:100], on=TODAY)
    count = tried = 0
    for panel in history[100:]:
        predicted = model.estimate(panel.drivers).stages
        count += len(surprises(predicted, panel))
        tried += sum(panel.hours_per_unit(stage) is not None for stage in STAGES)
    assert 0.005 < count / tried < 0.04


@pytest.mark.parametrize("changed", [{"gathering_hours": None}, {"gathering_hours": 50.0, "moved_dm2": 0.01}])
def test_what_teaches_nothing_is_no_surprise(changed):
    panel = a_past_panel(moved_dm2=changed.pop("moved_dm2", 4.0))
    panel = replace(panel, **changed)
    predicted = learn(a_history(20), on=TODAY).estimate(panel.drivers).stages
    assert "gathering" not in {each.stage for each in surprises(predicted, panel)}
