"""A small cast of panels for the tests of hours."""

import math
import random
from datetime import date, timedelta

from estimates.hours import STAGES, Drivers, PastPanel

TODAY = date(2026, 3, 2)
RATES = {"layout": 0.15, "gathering": 0.8, "blending": 0.15, "smoothing": 0.05}


def a_panel(**changes):
    usual = {
        "layout_m": 6.0,
        "moved_dm2": 4.0,
        "worked_dm2": 30.0,
        "finished_dm2": 45.0,
        "metal": "steel",
        "method": "hand",
    }
    return Drivers(**usual | changes)


def a_past_panel(name="dome", finished_on=date(2025, 6, 1), left_out_reason="", hours=None, **changes):
    """A past panel at the true rates exactly, unless ``hours`` says otherwise by stage."""
    drivers = a_panel(**changes)
    taken = {stage: drivers.amount(stage) * RATES[stage] for stage in STAGES} | (hours or {})
    return PastPanel(
        name,
        finished_on,
        drivers,
        **{f"{stage}_hours": taken[stage] for stage in STAGES},
        left_out_reason=left_out_reason,
    )


def a_history(count, spread=0.2, seed=1):
    """Past panels of two metals, both methods and both hands about the true rates."""
    chance = random.Random(seed)
    history = []
    for number in range(count):
        drivers = a_panel(
            layout_m=chance.uniform(2, 10),
            moved_dm2=chance.uniform(1, 10),
            worked_dm2=chance.uniform(10, 60),
            finished_dm2=chance.uniform(10, 90),
            metal=chance.choice(("steel", "aluminium")),
            method=chance.choice(("hand", "power")),
            hand_order=chance.choice((1, 1, 2)),
        )
        ease = (0.7 if drivers.metal == "aluminium" else 1) * (0.8 if drivers.hand_order == 2 else 1)
        ease *= 0.6 if drivers.method == "power" else 1
        hours = {
            f"{stage}_hours": drivers.amount(stage) * rate * ease * math.exp(chance.gauss(0, spread))
            for stage, rate in RATES.items()
        }
        history.append(
            PastPanel(f"panel {number}", date(2024, 1, 1) + timedelta(days=number % 700), drivers, **hours)
        )
    return history


def is_sane(hours):
    return (
        math.isfinite(hours.p50)
        and math.isfinite(hours.p80)
        and 0 <= hours.p50 <= hours.p80
        and not math.isnan(hours.scale)
    )


def all_sane(panel):
    return all(is_sane(stage) for stage in panel.stages.values()) and is_sane(panel.total)
