"""Learning and estimating: what moves an estimate, what must not, and what is refused."""

import math
import pickle
import subprocess
import sys
import time
from dataclasses import replace
from datetime import date, timedelta
from statistics import median

import numpy as np
import pytest

from estimates.hours import (
    FIRST_RATES,
    STAGES,
    HoursRange,
    StageHours,
    job_total,
    learn,
    panel_hours,
)

from .cast import RATES, TODAY, a_history, a_panel, a_past_panel, is_sane


def test_without_a_past_the_first_rates_speak():
    panel = learn([], on=TODAY).estimate(a_panel())
    for first in FIRST_RATES:
        stage = panel.stages[first.stage]
        assert stage.p50 == pytest.approx(first.hours_per_unit * a_panel().amount(first.stage))
        assert stage.n_past == 0
        assert stage.nearest == ()
        assert "first rates" in stage.note
    assert all(first.assumed for first in FIRST_RATES)


def test_first_rates_bring_their_factors():
    model = learn([], on=TODAY)
    steel = model.estimate(a_panel()).stages
    stainless = model.estimate(a_panel(metal=" Stainless ")).stages
    bright = model.estimate(a_panel(finish="bright")).stages
    power = model.estimate(a_panel(method="power")).stages
    second = model.estimate(a_panel(hand_order=2)).stages
    assert stainless["gathering"].p50 == pytest.approx(1.6 * steel["gathering"].p50)
    assert stainless["layout"].p50 == pytest.approx(steel["layout"].p50)
    assert bright["smoothing"].p50 == pytest.approx(1.8 * steel["smoothing"].p50)
    assert bright["blending"].p50 == pytest.approx(steel["blending"].p50)
    assert power["gathering"].p50 == pytest.approx(0.5 * steel["gathering"].p50)
    assert second["blending"].p50 == pytest.approx(0.85 * steel["blending"].p50)


def test_a_surer_owner_gets_a_narrower_range():
    unsure = learn([], on=TODAY).estimate(a_panel()).total
    sure = learn([], [replace(f, rate_spread=0.2) for f in FIRST_RATES], on=TODAY).estimate(a_panel()).total
    assert sure.p80 / sure.p50 < unsure.p80 / unsure.p50


def test_past_panels_outweigh_the_first_rates_and_narrow_the_range():
    first = learn([], on=TODAY).estimate(a_panel())
    learned = learn(a_history(40), on=TODAY).estimate(a_panel())
    for stage in STAGES:
        assert learned.stages[stage].p50 == pytest.approx(RATES[stage] * a_panel().amount(stage), rel=0.2)
        assert learned.stages[stage].scale < first.stages[stage].scale
        assert learned.stages[stage].n_past == 40
    assert learned.total.p80 / learned.total.p50 < first.total.p80 / first.total.p50


def test_predictive_distribution_is_the_conjugate_one():
    """Layout pools nothing, so its predictive is one normal-inverse-gamma update, worked out here by hand."""
    first = next(f for f in FIRST_RATES if f.stage == "layout")
    past = [a_past_panel(hours={"layout": hours}) for hours in (1.0, 1.2, 0.8, 1.1)]
    values = np.log([panel.hours("layout") / 6.0 for panel in past])
    prior_variance = (
        first.rate_spread**2 + first.factor_spread**2
    )  # rate and metal stand in every row together
    ratio = prior_variance / first.spread**2
    shrunk = ratio * len(values) / (1 + ratio * len(values))
    start = math.log(first.hours_per_unit)
    centre = start + shrunk * (values.mean() - start)
    df = first.worth_panels + len(values)
    squares = first.worth_panels * first.spread**2 + ((values - values.mean()) ** 2).sum()
    squares += (values.mean() - start) ** 2 * len(values) / (1 + ratio * len(values))
    leverage = ratio / (1 + ratio * len(values))
    stage = learn(past, on=TODAY).estimate(a_panel()).stages["layout"]
    assert stage.mean_log == pytest.approx(centre + math.log(6.0))
    assert stage.scale == pytest.approx(math.sqrt(squares / df * (1 + leverage)))
    assert stage.df == pytest.approx(df)


def test_hammer_stages_tell_each_other_about_a_metal():
    """Titanium was only ever gathered; its blending is known better than by the first rates, and no worse."""
    known = a_history(30)
    slow = [
        a_past_panel(
            f"t{i}", metal="titanium", hours={"gathering": 4.0 * 3, "blending": None, "smoothing": None}
        )
        for i in range(6)
    ]
    before = learn(known, on=TODAY).estimate(a_panel(metal="titanium")).stages["blending"]
    after = learn(known + slow, on=TODAY).estimate(a_panel(metal="titanium")).stages["blending"]
    assert after.p50 > 1.1 * before.p50
    assert after.n_past == before.n_past


def test_unseen_metal_is_estimated_wider():
    model = learn(a_history(40), on=TODAY)
    seen, unseen = model.estimate(a_panel()).total, model.estimate(a_panel(metal="nickel silver")).total
    assert is_sane(unseen)
    assert unseen.p80 / unseen.p50 > seen.p80 / seen.p50


def test_a_stage_without_driver_has_no_hours_and_says_so():
    panel = learn(a_history(10), on=TODAY).estimate(a_panel(moved_dm2=0))
    gathering = panel.stages["gathering"]
    assert (gathering.p50, gathering.p80, gathering.quantile(0.99)) == (0.0, 0.0, 0.0)
    assert gathering.is_zero
    assert "nothing to do" in gathering.note
    assert panel.total.p50 > 0


def test_what_rounding_leaves_of_a_driver_is_no_work():
    dust = a_past_panel(moved_dm2=3e-13, hours={"gathering": 0.5})
    assert dust.hours_per_unit("gathering") is None
    assert learn([dust], on=TODAY).estimate(a_panel(moved_dm2=3e-13)).stages["gathering"].is_zero


def test_a_panel_without_any_driver_takes_no_hours():
    nothing = a_panel(layout_m=0, moved_dm2=0, worked_dm2=0, finished_dm2=0)
    panel = learn([], on=TODAY).estimate(nothing)
    assert panel.total == HoursRange.none()
    assert job_total([panel, panel]) == HoursRange.none()


def test_left_out_panels_teach_nothing_and_are_counted():
    dropped = a_past_panel("dropped", left_out_reason="fell off the bench", hours={"gathering": 900.0})
    with_it, without = learn([*a_history(10), dropped], on=TODAY), learn(a_history(10), on=TODAY)
    assert with_it.estimate(a_panel()) == without.estimate(a_panel())
    assert with_it.left_out == (("dropped", "fell off the bench"),)
    assert with_it.n_past == 10


def test_hours_booked_without_a_driver_say_nothing_about_the_rate():
    odd = a_past_panel(moved_dm2=0, hours={"gathering": 0.5})
    model = learn([odd], on=TODAY)
    assert model.rates["gathering"].n_past == 0
    assert model.rates["layout"].n_past == 1


def test_old_panels_count_less_where_the_owner_wants():
    old = [a_past_panel(f"o{i}", date(2016, 1, 1), hours={"layout": 3.0}) for i in range(20)]
    new = [a_past_panel(f"n{i}", date(2026, 2, 1), hours={"layout": 1.0}) for i in range(5)]
    level = learn(old + new, on=TODAY).estimate(a_panel()).stages["layout"]
    fading = learn(old + new, on=TODAY, half_life_days=365).estimate(a_panel()).stages["layout"]
    assert level.p50 > 2.0
    assert fading.p50 == pytest.approx(1.0, rel=0.1)
    assert fading.df < level.df


def test_a_half_life_of_a_panels_age_halves_its_weight():
    past = [a_past_panel(finished_on=TODAY - timedelta(days=100))]
    first = learn([], on=TODAY).rates["layout"].df
    assert learn(past, on=TODAY, half_life_days=100).rates["layout"].df == pytest.approx(first + 0.5)
    assert learn(past, on=TODAY).rates["layout"].df == pytest.approx(first + 1)


def test_second_hand_is_quicker_and_learned():
    model = learn(a_history(200), on=TODAY)
    for stage in STAGES:
        factor = model.rates[stage].second_hand_factor()
        assert factor.p50 == pytest.approx(0.8, abs=0.06)
        first, second = (model.estimate(a_panel(hand_order=n)).stages[stage].p50 for n in (1, 2))
        assert second / first == pytest.approx(factor.p50)


def test_nearest_are_of_the_same_metal_and_size():
    model = learn(
        [
            a_past_panel("steel, same size"),
            a_past_panel("steel, much larger", moved_dm2=80.0),
            a_past_panel("steel, by power", method="power"),
            a_past_panel("aluminium, same size", metal="aluminium"),
        ],
        on=TODAY,
    )
    nearest = model.estimate(a_panel(moved_dm2=4.1)).stages["gathering"].nearest
    assert [past.panel for past in nearest] == ["steel, same size", "steel, much larger", "steel, by power"]
    assert nearest[0].hours_per_unit == pytest.approx(RATES["gathering"])


def test_own_stages_join_the_total():
    model = learn(a_history(20), on=TODAY)
    plain = model.estimate(a_panel())
    welded = model.estimate(a_panel(), own_stages=[StageHours.by_owner("welding", 2.0, 3.0)])
    assert welded.stages["welding"].p50 == pytest.approx(2.0)
    assert welded.stages["welding"].p80 == pytest.approx(3.0)
    assert welded.total.p50 == pytest.approx(plain.total.p50 + 2.0, rel=0.03)


def test_an_overridden_stage_changes_the_total_with_it():
    panel = learn(a_history(20), on=TODAY).estimate(a_panel())
    stages = panel.stages | {"smoothing": StageHours.by_owner("smoothing", 40.0, 50.0)}
    assert panel_hours(stages, panel.correlation).total.p50 > 40


def test_any_confidence_on_request():
    panel = learn(a_history(20), on=TODAY).estimate(a_panel(), confidence=(0.1, 0.5, 0.9))
    low, middle, high = panel.total.at(panel.confidence)
    assert low < middle == panel.total.p50 < panel.total.p80 < high


def test_panels_of_a_job_are_wrong_together():
    """On first rates alone twelve panels share one doubt; adding ranges as if independent would hide it."""
    panels = [learn([], on=TODAY).estimate(a_panel()) for _ in range(12)]
    job = job_total(panels)
    one = panels[0].total
    assert job.p50 == pytest.approx(12 * one.p50, rel=0.25)
    assert one.scale / math.sqrt(12) < 0.6 * job.scale < one.scale


def test_panels_of_a_job_even_out_when_the_rates_are_known():
    panels = [learn(a_history(400), on=TODAY).estimate(a_panel()) for _ in range(12)]
    assert job_total(panels).scale < 0.5 * panels[0].total.scale


def test_stages_that_ran_over_together_widen_the_total():
    apart, together = [], []
    for number, (a, b) in enumerate([(0.3, -0.3), (-0.3, 0.3), (0.25, -0.2), (-0.2, 0.25)] * 10):
        up, down = math.exp(a), math.exp(b)
        base = {stage: a_panel().amount(stage) * rate for stage, rate in RATES.items()}
        together.append(a_past_panel(f"t{number}", hours={stage: h * up for stage, h in base.items()}))
        mixed = dict(zip(STAGES, (up, down, up, down), strict=True))
        apart.append(a_past_panel(f"a{number}", hours={stage: h * mixed[stage] for stage, h in base.items()}))
    assert learn(together, on=TODAY).correlation > 0.8
    assert learn(apart, on=TODAY).correlation < 0.1
    wide, narrow = (learn(past, on=TODAY).estimate(a_panel()).total for past in (together, apart))
    assert wide.scale > 1.3 * narrow.scale


def test_a_model_survives_pickling():
    model = learn(a_history(20), on=TODAY)
    assert pickle.loads(pickle.dumps(model)).estimate(a_panel()) == model.estimate(a_panel())


def test_same_past_same_answer_in_any_order():
    history = a_history(30)
    there, back = learn(history, on=TODAY), learn(history[::-1], on=TODAY)
    assert there.estimate(a_panel()).total.p80 == pytest.approx(back.estimate(a_panel()).total.p80, rel=1e-9)


def test_importing_hours_does_not_import_numpy():
    probe = "import sys, estimates.hours; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", probe], check=False).returncode == 0


def test_a_thousand_past_panels_are_learned_in_50_ms():
    history = a_history(1000)
    learn(history, on=TODAY)
    assert median(_seconds(lambda: learn(history, on=TODAY)) for _ in range(7)) < 0.050


def test_a_twelve_panel_requote_takes_under_a_millisecond_a_panel():
    model = learn(a_history(1000), on=TODAY)
    panels = [past.drivers for past in a_history(12, seed=2)]
    job_total([model.estimate(panel) for panel in panels])
    took = median(_seconds(lambda: job_total([model.estimate(panel) for panel in panels])) for _ in range(7))
    assert took < 0.012


def _seconds(work):
    start = time.process_time()
    work()
    return time.process_time() - start
