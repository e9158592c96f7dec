"""Panels unlike the rest are named with what the rest expects, and nothing is left out behind the owner's back."""

import math

import pytest

from estimates.hours import STAGES, learn

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
