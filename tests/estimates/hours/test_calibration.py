"""The model's record: what it would have said before each panel, and what each panel taught it."""

import math
import time
from dataclasses import replace
from datetime import date, timedelta

import pytest

from estimates.hours import FIRST_RATES, HoursRange, Score, Trial, calibration, learn
from estimates.hours.calibration import MOST_LESSONS
from estimates.hours.learning import History

from .cast import a_history, a_past_panel


def a_trial(actual, p50=10.0, p80=13.0):
    return Trial("a", date(2026, 1, 1), "total", "steel", HoursRange.between(p50, p80), actual)


def test_score_of_known_trials():
    score = Score.of([a_trial(hours) for hours in (5.0, 9.0, 12.0, 14.0)], 0.8)
    assert (score.trials, score.inside, score.below_middle) == (4, 0.75, 0.5)
    assert score.median_error == pytest.approx((abs(10 / 12 - 1) + abs(10 / 14 - 1)) / 2)
    assert score.bias == pytest.approx(math.sqrt(9.0 * 12.0) / 10)


def test_surprise_counts_scales_of_the_log():
    trial = a_trial(13.0)
    assert trial.surprise == pytest.approx(math.log(1.3) / trial.estimated.scale)
    assert trial.error == pytest.approx(3 / 13)


def test_each_panel_is_estimated_from_those_before_it_only():
    history = sorted(a_history(12), key=lambda past: past.finished_on)
    check = calibration(history)
    number = 7
    expected = learn(history[:number], on=history[number].finished_on).estimate(history[number].drivers)
    found = {trial.stage: trial for trial in check.trials if trial.panel == history[number].panel}
    assert found["gathering"].estimated == replace(expected.stages["gathering"], nearest=())
    assert found["total"].estimated == expected.total


def test_panels_fade_up_to_the_day_of_the_estimate():
    history = [
        a_past_panel("old", date(2020, 1, 1), hours={"layout": 9.0}),
        a_past_panel("new", date(2025, 1, 1)),
    ]
    found = [trial for trial in calibration(history, half_life_days=200).trials if trial.panel == "new"]
    expected = learn(history[:1], on=date(2025, 1, 1), half_life_days=200).estimate(history[1].drivers)
    assert found[0].estimated == replace(expected.stages["layout"], nearest=())


def test_a_later_panel_cannot_change_an_earlier_estimate():
    history = sorted(a_history(8), key=lambda past: past.finished_on)
    tampered = [*history[:-1], replace(history[-1], gathering_hours=9000.0)]
    assert calibration(history).trials[:30] == calibration(tampered).trials[:30]


def test_panels_of_one_day_do_not_teach_each_other():
    pair = [a_past_panel(str(number), hours={"layout": 50.0}) for number in range(2)]
    estimates = [trial.estimated for trial in calibration(pair).trials if trial.stage == "layout"]
    assert estimates[0] == estimates[1]


def test_moves_tell_what_changed_the_rates():
    history = [a_past_panel(f"p{i}", date(2025, 1, 1) + timedelta(days=i)) for i in range(10)]
    odd = a_past_panel("odd", date(2025, 6, 1), hours={"blending": 20.0})
    check = calibration([*history, odd])
    move = next(m for m in check.moves if m.panel == "odd" and m.stage == "blending")
    assert move.after > move.before
    assert move.change == pytest.approx(move.after / move.before - 1)
    late = [m for m in check.greatest_moves(60) if m.finished_on > date(2025, 1, 5)]
    assert late[0] == move


def test_partly_recorded_panels_have_no_total():
    check = calibration(
        [a_past_panel(hours={"layout": None}), a_past_panel(moved_dm2=0, hours={"gathering": None})]
    )
    assert [trial.stage for trial in check.trials].count("total") == 1
    assert set(check.by_stage()) == {"layout", "gathering", "blending", "smoothing", "total"}


def test_left_out_panels_are_named_and_not_tried():
    check = calibration([*a_history(5), a_past_panel("dropped", left_out_reason="fell")])
    assert check.left_out == (("dropped", "fell"),)
    assert "dropped" not in {trial.panel for trial in check.trials}


def test_scores_by_metal():
    check = calibration(a_history(30))
    scores = check.by_metal("gathering")
    assert sum(score.trials for score in scores.values()) == 30
    assert set(scores) == {"steel", "aluminium"}


def test_no_past_no_trials():
    check = calibration([])
    assert check.trials == ()
    assert check.by_stage() == {}
    assert check.greatest_moves() == ()


def test_a_long_past_is_learned_in_blocks(monkeypatch):
    lessons, learned = [], History.rates_after
    monkeypatch.setattr(
        History, "rates_after", lambda *args: lessons.append(1) or learned(*args)
    )  # fmt: skip
    check = calibration(a_history(300))
    assert len(lessons) <= MOST_LESSONS + 1
    assert len([trial for trial in check.trials if trial.stage == "total"]) == 300


@pytest.mark.parametrize("half_life_days", [None, 250.0])
def test_learning_up_to_a_row_is_learning_those_panels_alone(half_life_days):
    """With stages and metals that come up only later, and panels left out between: to 1e-9 what a refit says."""
    history = sorted(a_history(100), key=lambda past: past.finished_on)
    history[:30] = [replace(past, smoothing_hours=None) for past in history[:30]]
    history[40] = replace(history[40], left_out_reason="fell")
    late = replace(history[60].drivers, metal="brass", finish="bright")
    history[60] = replace(history[60], drivers=late)
    ready = History.of(history)
    for count in (0, 1, 17, 39, 40, 60, 61, 99):
        on = ready.used[max(0, count - 1)].finished_on + timedelta(days=9)
        refit = learn(ready.used[:count], on=on, half_life_days=half_life_days)
        found = ready.rates_after(count, FIRST_RATES, on, half_life_days)
        assert (found.n_past, found.correlation) == (count, pytest.approx(refit.correlation, abs=1e-9))
        for stage, rate in found.rates.items():
            expected = refit.rates[stage]
            assert (rate.design, rate.n_past) == (expected.design, expected.n_past)
            assert rate.mean == pytest.approx(expected.mean, abs=1e-9)
            assert sum(rate.roots, ()) == pytest.approx(sum(expected.roots, ()), abs=1e-9)
            assert (rate.spread, rate.df) == pytest.approx((expected.spread, expected.df), abs=1e-9)


def test_the_past_is_read_once():
    """All lessons of a thousand panels cost some 40 times one learning of them; refitting each time it was 80."""
    history = a_history(1000)
    calibration(history[:50])
    once = min(_seconds(lambda: learn(history, on=date(2026, 3, 2))) for _ in range(5))
    assert _seconds(lambda: calibration(history)) <= 60 * once


def _seconds(run):
    started = time.process_time()
    run()
    return time.process_time() - started
