"""Student's t against scipy.stats.t and printed tables."""

import math

import pytest
from scipy import special, stats

from estimates.hours import student

DFS = (1, 2, 3, 3.7, 5, 9, 20, 123.4, 5000, 1e6)


@pytest.mark.parametrize("df", DFS)
@pytest.mark.parametrize("p", [1e-80, 1e-12, 0.01, 0.2, 0.4999, 0.5, 0.6, 0.8, 0.975, 1 - 1e-9])
def test_quantile_is_scipys(p, df):
    assert student.quantile(p, df) == pytest.approx(stats.t.ppf(p, df), rel=1e-8, abs=1e-12)


@pytest.mark.parametrize("df", DFS)
@pytest.mark.parametrize("t", [-40.0, -2.0, -1e-6, 0.0, 1e-300, 1e-6, 0.3, 1.0, 2.5, 12.0, 400.0])
def test_tail_is_scipys(t, df):
    assert student.upper_tail(t, df) == pytest.approx(stats.t.sf(t, df), rel=1e-8, abs=1e-250)


@pytest.mark.parametrize(
    ("df", "p", "printed"),
    [
        (3, 0.9, 1.637744),
        (3, 0.975, 3.182446),
        (5, 0.9, 1.475884),
        (10, 0.975, 2.228139),
        (20, 0.9, 1.325341),
    ],
)
def test_quantile_is_the_tables(df, p, printed):
    """Six-figure values of the usual t table, recomputed with scipy."""
    assert student.quantile(p, df) == pytest.approx(printed, abs=5e-7)


def test_endless_degrees_of_freedom_are_the_normal():
    assert student.quantile(0.8, math.inf) == pytest.approx(special.ndtri(0.8), rel=1e-12)
    assert student.upper_tail(3.0, math.inf) == pytest.approx(special.ndtr(-3.0), rel=1e-12)


@pytest.mark.parametrize("df", [3, 20, 500])
@pytest.mark.parametrize("cut", [-5.0, -0.5, 0.0, 2.0, 9.0])
def test_beyond_a_cut_is_the_conditional_quantile(cut, df):
    expected = stats.t.isf(0.2 * stats.t.sf(cut, df), df)
    assert student.beyond(cut, 0.2, df) == pytest.approx(expected, rel=1e-8, abs=1e-10)


def test_beyond_a_cut_further_than_floats_reach_goes_on_smoothly():
    """At df 2000 the tail leaves the floats near t = 46; the leading power has to meet the exact value there."""
    inside, outside = student.beyond(22.0, 0.5, 2000), student.beyond(23.5, 0.5, 2000)
    assert student.upper_tail(22.0, 2000) > 1e-100 > student.upper_tail(23.5, 2000)
    assert outside - 23.5 == pytest.approx(inside - 22.0, rel=0.1)
    assert student.beyond(1e6, 0.5, 2000) > 1e6


@pytest.mark.parametrize("p", [0.0, 1.0, -0.1, math.nan])
def test_impossible_probability_is_refused(p):
    with pytest.raises(ValueError, match="between 0 and 1"):
        student.quantile(p, 5)


def test_no_degrees_of_freedom_are_refused():
    with pytest.raises(ValueError, match="more than 0"):
        student.quantile(0.5, 0)
