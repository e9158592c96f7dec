"""Regression against the certified values of the NIST Statistical Reference Datasets, linear least squares.

Source: NIST StRD, Norris (lower difficulty, 36 points) and Longley (higher difficulty, 16 points, 6 predictors),
itl.nist.gov/div898/strd/lls. The certified values have 15 digits; a good double precision solver reaches 9 to 13
of them on Longley. The prior is flat here, where Bayesian and ordinary least squares have to agree.
"""

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from estimates.hours import student
from estimates.hours.regression import Belief

DATA = Path(__file__).parent / "data"
NAMES = {"Norris": "nist_strd_norris.csv", "Longley": "nist_strd_longley.csv"}


def dataset(name):
    with open(DATA / NAMES[name], newline="") as file:
        table = np.array([[float(cell) for cell in row] for row in list(csv.reader(file))[1:]])
    return np.column_stack([np.ones(len(table)), table[:, 1:]]), table[:, 0]


def certified(name):
    with open(DATA / "nist_strd_certified.csv", newline="") as file:
        return {
            row["quantity"]: (float(row["estimate"]), float(row["sd_of_estimate"] or "nan"))
            for row in csv.DictReader(file)
            if row["dataset"] == name
        }


@pytest.mark.parametrize(("name", "digits"), [("Norris", 12), ("Longley", 10)])
def test_flat_prior_gives_the_certified_regression(name, digits):
    rows, values = dataset(name)
    expected = certified(name)
    belief = Belief.flat(rows.shape[1]).learn(rows, values)
    sds = belief.spread * np.linalg.norm(belief.covariance_root(), axis=1)
    for i, (mean, sd) in enumerate(zip(belief.mean, sds, strict=True)):
        assert mean == pytest.approx(expected[f"B{i}"][0], rel=10**-digits)
        assert sd == pytest.approx(expected[f"B{i}"][1], rel=10**-digits)
    assert belief.spread == pytest.approx(expected["residual_sd"][0], rel=1e-12)
    assert belief.df == expected["residual_df"][0]
    assert belief.sum_sq == pytest.approx(expected["residual_ss"][0], rel=1e-12)


def test_predictive_interval_is_that_of_ordinary_least_squares():
    """Norris at x = 500; the interval is the textbook one, worked out here from sums, with scipy's quantile."""
    rows, values = dataset("Norris")
    x, n = rows[:, 1], len(values)
    centre, scale, df = Belief.flat(2).learn(rows, values).predict(np.array([1.0, 500.0]))
    line = stats.linregress(x, values)
    residual = math.sqrt(((values - line.intercept - line.slope * x) ** 2).sum() / (n - 2))
    expected = residual * math.sqrt(1 + 1 / n + (500 - x.mean()) ** 2 / ((x - x.mean()) ** 2).sum())
    assert centre == pytest.approx(line.intercept + line.slope * 500, rel=1e-11)
    assert scale == pytest.approx(expected, rel=1e-11)
    assert df == n - 2
    high = centre + scale * student.quantile(0.975, df)
    assert high == pytest.approx(centre + expected * stats.t.ppf(0.975, n - 2), rel=1e-12)


def test_learning_panel_by_panel_is_learning_all_at_once():
    """The conjugate update is associative (Gelman et al., Bayesian Data Analysis, ch. 14; from memory)."""
    rows, values = dataset("Norris")
    first = Belief.independent([0.0, 1.0], [5.0, 0.5], 3.0, 1.0)
    at_once, one_by_one = first.learn(rows, values), first
    for row, value in zip(rows, values, strict=True):
        one_by_one = one_by_one.learn(row[None, :], np.array([value]))
    assert one_by_one.mean == pytest.approx(at_once.mean, rel=1e-9)
    assert one_by_one.sum_sq == pytest.approx(at_once.sum_sq, rel=1e-9)
    assert abs(one_by_one.root) == pytest.approx(abs(at_once.root), rel=1e-9)


def test_conjugate_update_agrees_with_the_normal_equations():
    """V = (X'X + V0^-1)^-1, m = V (X'y + V0^-1 m0), b = b0 + (y'y + m0'V0^-1 m0 - m'V^-1 m) / 2.

    Source: H. Ogden, APTS preliminary notes on statistical modelling, section 1.8.
    """
    chance = np.random.default_rng(5)
    rows, values, weights = chance.normal(size=(12, 3)), chance.normal(size=12), chance.uniform(0.2, 1, 12)
    m0, sd, df, spread = np.array([0.5, -1.0, 0.2]), np.array([0.7, 0.4, 0.3]), 3.0, 0.25
    precision0 = np.diag((spread / sd) ** 2)
    precision = rows.T @ (rows * weights[:, None]) + precision0
    mean = np.linalg.solve(precision, rows.T @ (weights * values) + precision0 @ m0)
    squares = weights @ values**2 + m0 @ precision0 @ m0 - mean @ precision @ mean
    belief = Belief.independent(m0, sd, df, spread).learn(rows, values, weights)
    assert belief.mean == pytest.approx(mean, rel=1e-10)
    assert belief.root.T @ belief.root == pytest.approx(precision, rel=1e-10, abs=1e-12)
    assert belief.sum_sq == pytest.approx(df * spread**2 + squares, rel=1e-10)
    assert belief.df == pytest.approx(df + weights.sum())


def test_rows_that_settle_nothing_are_refused():
    with pytest.raises(ValueError, match="undetermined"):
        Belief.flat(2).learn(np.array([[1.0, 2.0]]), np.array([1.0]))
    with pytest.raises(ValueError, match="undetermined"):
        Belief.flat(2).learn(np.ones((5, 2)), np.arange(5.0))
