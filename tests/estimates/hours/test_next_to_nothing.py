"""A stage with next to nothing to do teaches nothing, whatever hours were written on it."""

from dataclasses import replace
from datetime import date

from estimates.hours import FIRST_RATES, Drivers, PastPanel, learn
from shop.starting import FOUR_STAGES

ON = date(2026, 5, 1)
PANEL = Drivers(layout_m=5, moved_dm2=2, worked_dm2=20, finished_dm2=30, metal="steel", finish="smooth")


def past(moved_dm2: float, gathering_hours: float) -> PastPanel:
    drivers = replace(PANEL, moved_dm2=moved_dm2)
    return PastPanel("past", date(2026, 4, 1), drivers, gathering_hours=gathering_hours)


def test_hours_on_a_hairs_breadth_of_moved_metal_leave_the_rate_alone():
    before = learn([], on=ON).estimate(PANEL).stages["gathering"]
    after = learn([past(0.01, 2.5)], on=ON).estimate(PANEL).stages["gathering"]

    assert (after.p50, after.p80, after.n_past) == (before.p50, before.p80, 0)


def test_hours_on_a_fair_amount_do_teach():
    before = learn([], on=ON).estimate(PANEL).stages["gathering"]
    after = learn([past(0.5, 2.5)], on=ON).estimate(PANEL).stages["gathering"]

    assert after.p50 > before.p50 * 1.2
    assert after.n_past == 1


def test_a_new_shop_stores_the_first_rates_the_model_assumes():
    stored = {slug: hours for slug, _, _, hours in FOUR_STAGES}
    assert stored == {rate.stage: rate.hours_per_unit for rate in FIRST_RATES}
