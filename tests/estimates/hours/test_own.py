"""Hours of the shop's own stages: the owner's word first, past panels as they come, against the textbook formulas."""

import math
from dataclasses import replace
from datetime import date, timedelta

import pytest

from estimates.hours import UnusableHistory, learn
from estimates.hours.own import FIRST_SPREAD, WORD_WORTH
from estimates.hours.student import quantile

from .cast import TODAY, a_history, a_past_panel, is_sane

WORD = (1.0, 1.5)


def past(*hours, days_apart=0):
    """Past panels that were trimmed, first to last."""
    days = [TODAY - timedelta(days=back * days_apart) for back in range(len(hours), 0, -1)]
    return [
        replace(a_past_panel(f"p{on}", on), own_hours=(("trimming", spent),))
        for on, spent in zip(days, hours, strict=True)
    ]


def trimming(history, said=None, **how):
    return learn(history, on=TODAY, **how).own_stage("trimming", said)


def test_without_a_past_panel_the_owners_word_counts():
    said = trimming(a_history(5), WORD)
    assert (round(said.p50, 9), round(said.p80, 9), said.n_past) == (1.0, 1.5, 0)


def test_without_either_nobody_knows():
    unsaid = trimming(a_history(5))
    assert (unsaid.unsaid, unsaid.is_zero, unsaid.p80) == (True, True, 0.0)


def test_past_panels_join_the_owners_word_as_the_conjugate_posterior_has_it():
    """Normal-inverse-gamma with a known number of prior observations, written out (Gelman et al., 3.3; from memory)."""
    hours = (2.0, 2.6, 1.9, 2.2)
    logs = [math.log(each) for each in hours]
    n, mean, k = len(logs), sum(logs) / len(logs), WORD_WORTH
    spread = math.log(WORD[1] / WORD[0]) / quantile(0.8, k) / math.sqrt(1 + 1 / k)
    first = math.log(WORD[0])
    middle = (k * first + n * mean) / (k + n)
    squares = k * spread**2 + sum((log - mean) ** 2 for log in logs) + k * n / (k + n) * (mean - first) ** 2
    found = trimming(past(*hours), WORD)
    assert found.mean_log == pytest.approx(middle)
    assert (found.df, found.n_past) == (pytest.approx(k + n), n)
    assert found.scale == pytest.approx(math.sqrt(squares / (k + n) * (1 + 1 / (k + n))))
    assert math.hypot(*found.loadings) == pytest.approx(math.sqrt(squares / (k + n) / (k + n)))


def test_one_panel_teaches_where_the_owner_has_said_nothing():
    found = trimming(past(3.5))
    assert (found.p50, found.n_past, found.unsaid) == (pytest.approx(3.5), 1, False)
    assert found.scale == pytest.approx(FIRST_SPREAD * math.sqrt(2 * (WORD_WORTH - 1) / WORD_WORTH))


def test_enough_panels_outweigh_the_owners_word():
    found = trimming(past(*[4.0, 4.2, 3.8, 4.1] * 10), WORD)
    assert 3.6 < found.p50 < 4.1


def test_a_panel_left_out_and_one_that_was_not_trimmed_teach_nothing():
    history = [*a_history(3), *past(3.5)]
    assert trimming([replace(each, left_out_reason="fell") for each in history]).unsaid
    assert trimming(history).n_past == 1


def test_old_panels_weigh_less_than_new_ones():
    history = past(1.0, 4.0, days_apart=500)
    assert trimming(history).p50 == pytest.approx(2.0)
    assert 3 < trimming(history, half_life_days=250).p50 < 4


@pytest.mark.parametrize("said", [None, WORD, (2.0, 2.0)])
@pytest.mark.parametrize("hours", [(1e-3,), (1e4,), (2.0,) * 30, (1e-3, 1e4)])
def test_odd_hours_give_sane_ranges(hours, said):
    for half_life in (None, 1e-3):
        found = trimming(past(*hours, days_apart=900), said, half_life_days=half_life)
        assert is_sane(found)
        assert found.p80 > found.p50 > 0


@pytest.mark.parametrize("hours", [0.0, -1.0, math.nan, math.inf])
def test_impossible_hours_are_refused(hours):
    with pytest.raises(UnusableHistory, match="trimming of a"):
        replace(a_past_panel("a", date(2025, 1, 1)), own_hours=(("trimming", hours),))
