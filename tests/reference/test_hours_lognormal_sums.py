"""Totals against simulation of their own, drawn here with other draws, and against moment matching.

Sources: L. F. Fenton, IRE Trans. Communications Systems 8 (1960) 57, for moments of sums of lognormals; the figures
of the three sums are two-million-draw simulations. Tolerances are those that estimates/hours/totals.py states.
"""

import math

import numpy as np
import pytest

from estimates.hours import HoursRange
from estimates.hours.totals import alike, total

DRAWS = 400_000


def simulated(parts, correlation, shares):
    chance = np.random.default_rng(99)
    common, df = chance.standard_normal(DRAWS), parts[0].df
    wide = 1.0 if math.isinf(df) else np.sqrt(df / chance.chisquare(df, DRAWS))
    hours = np.zeros(DRAWS)
    for part in parts:
        own = chance.standard_normal(DRAWS)
        normal = math.sqrt(correlation) * common + math.sqrt(1 - correlation) * own
        hours += np.exp(part.mean_log + part.scale * wide * normal)
    return np.quantile(hours, shares)


def lognormals(*medians_and_sigmas):
    return [HoursRange(math.log(median), sigma, math.inf) for median, sigma in medians_and_sigmas]


@pytest.mark.parametrize(
    ("parts", "p50", "p80"),
    [
        (lognormals((110, 0.25), (100, 0.15)), 211.70, 240.44),
        (lognormals((4, 0.3), (10, 0.4), (6, 0.5)), 20.97, 26.22),
        (lognormals(*[(1, 0.5)] * 5), 5.504, 6.703),
    ],
)
def test_independent_lognormals(parts, p50, p80):
    whole = total(parts, alike(len(parts), 0.0))
    assert whole.p50 == pytest.approx(p50, rel=0.01)
    assert whole.p80 == pytest.approx(p80, rel=0.01)


def test_correlated_pair_agrees_with_fenton():
    """Medians 110 and 100, sigmas .25 and .15, correlation .5: Fenton's sigma of the sum is .178889.

    A scale is read off P80 over P50, so that 0.5 % in hours is some 3 % in a scale as small as this.
    """
    pair = total(lognormals((110, 0.25), (100, 0.15)), alike(2, 0.5))
    assert pair.scale == pytest.approx(0.178889, rel=0.03)


@pytest.mark.parametrize("correlation", [0.0, 0.3, 0.7])
@pytest.mark.parametrize(("df", "scale"), [(3, 0.5), (8, 0.3), (23, 0.15), (23, 0.5), (math.inf, 0.3)])
def test_student_sums(df, scale, correlation):
    parts = [HoursRange(math.log(median), scale, df) for median in (1, 2, 10, 3)]
    whole = total(parts, alike(4, correlation))
    p20, p50, p80, p95 = simulated(parts, correlation, (0.2, 0.5, 0.8, 0.95))
    assert whole.p50 == pytest.approx(p50, rel=0.01)
    assert whole.p80 == pytest.approx(p80, rel=0.01 if df >= 8 else 0.02)
    if df >= 8:
        assert whole.quantile(0.2) == pytest.approx(p20, rel=0.03)
        assert whole.quantile(0.95) == pytest.approx(p95, rel=0.05)
