"""Simulated shops whose truth is known to the tests alone, and the best that can be known of one from its panels.

Each shop draws its own true rates, up to a factor of 2.5 from the first rates, its own factors of metal, method,
stage and second hand, and works with a spread of a quarter, stages of one panel going over together.
"""

import math
import random
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from estimates.hours import FIRST_RATES, STAGES, Drivers, HoursRange, PastPanel
from estimates.hours.totals import alike, total

SPREAD, CORRELATION = 0.25, 0.3
METALS = ("steel", "aluminium", "stainless")


@dataclass
class TrueShop:
    """A shop whose rates are known to the test alone."""

    seed: int
    metals: tuple[str, ...] = METALS

    def __post_init__(self):
        self.chance = random.Random(self.seed)
        draw = self.chance.gauss
        self.rate = {
            f.stage: f.hours_per_unit * math.exp(self.chance.uniform(-0.9, 0.9)) for f in FIRST_RATES
        }
        metal = {name: draw(0, 0.3) for name in METALS}
        self.metal = {(stage, name): metal[name] + draw(0, 0.1) for stage in STAGES for name in METALS}
        self.power = draw(-0.4, 0.2)
        self.second = math.log(self.chance.uniform(0.75, 0.95))

    def drivers(self):
        draw = self.chance
        return Drivers(
            layout_m=draw.uniform(2, 10),
            moved_dm2=draw.lognormvariate(1.0, 0.8),
            worked_dm2=draw.lognormvariate(3.0, 0.6),
            finished_dm2=draw.lognormvariate(3.5, 0.6),
            metal=draw.choice(self.metals),
            method=draw.choice(("hand", "power")),
            hand_order=draw.choice((1, 1, 1, 2)),
        )

    def true_logs(self, drivers):
        return {
            stage: math.log(drivers.amount(stage) * self.rate[stage])
            + (self.metal[stage, drivers.metal] if stage != "layout" else 0)
            + (self.power if drivers.method == "power" and stage != "layout" else 0)
            + (self.second if drivers.hand_order == 2 else 0)
            for stage in STAGES
        }

    def panel(self, number):
        drivers = self.drivers()
        common = self.chance.gauss(0, math.sqrt(CORRELATION))
        hours = {
            f"{stage}_hours": math.exp(
                log + SPREAD * (common + self.chance.gauss(0, math.sqrt(1 - CORRELATION)))
            )
            for stage, log in self.true_logs(drivers).items()
        }
        return PastPanel(f"panel {number}", date(2024, 1, 1) + timedelta(days=3 * number), drivers, **hours)

    def knowing_estimate(self, drivers):
        """The middle of the total, by someone who knows every true rate."""
        parts = [HoursRange(log, SPREAD, math.inf) for log in self.true_logs(drivers).values()]
        return total(parts, alike(len(parts), CORRELATION)).p50


class BestEstimate:
    """The best that can be made of the same past: it knows how such shops are drawn, but not this shop's draw.

    Every figure the draw has (how far rates, metals, method and hand differ from shop to shop, the spread, how stages
    go over together) is known to it, so that it is the posterior mean of the truth: no estimator that has only the
    past panels comes nearer on the whole. A uniform draw counts as a normal one of the same variance.
    """

    def __init__(self, past, metals):
        self.metals = metals
        spread = [0.9 / math.sqrt(3)] * 4 + [0.3] * len(metals) + [0.1] * 3 * len(metals)
        spread += [0.2, math.log(0.95 / 0.75) / math.sqrt(12)]
        start = np.zeros(len(spread))
        start[:4] = [math.log(first.hours_per_unit) for first in FIRST_RATES]
        start[-2:] = -0.4, math.log(0.95 * 0.75) / 2
        self.noise = SPREAD**2 * (CORRELATION + (1 - CORRELATION) * np.eye(4))
        sure = np.linalg.inv(self.noise)
        precision = np.diag(np.array(spread) ** -2.0)
        sums = precision @ start
        for panel in past:
            rows = self.rows(panel.drivers)
            precision = precision + rows.T @ sure @ rows
            sums = sums + rows.T @ sure @ [math.log(panel.hours_per_unit(stage)) for stage in STAGES]
        self.known = np.linalg.inv(precision)
        self.mean = self.known @ sums

    def rows(self, drivers):
        """One row a stage: its rate, the metal for all stages and for it alone, power, second hand."""
        count, metal = len(self.metals), self.metals.index(drivers.metal)
        rows = np.zeros((4, 4 + 4 * count + 2))
        rows[:, :4] = np.eye(4)
        for stage in (1, 2, 3):
            rows[stage, [4 + metal, 4 + stage * count + metal]] = 1
        rows[1:, -2] = drivers.method == "power"
        rows[:, -1] = drivers.hand_order == 2
        return rows

    def middle(self, drivers):
        """The middle of the total."""
        rows = self.rows(drivers)
        covariance = rows @ self.known @ rows.T + self.noise
        scales = np.sqrt(np.diag(covariance))
        middles = rows @ self.mean + [math.log(drivers.amount(stage)) for stage in STAGES]
        parts = [HoursRange(float(m), float(s), math.inf) for m, s in zip(middles, scales, strict=True)]
        together = covariance / np.outer(scales, scales)
        return total(parts, alike(4, round(float(together[np.triu_indices(4, 1)].mean()), 2))).p50
