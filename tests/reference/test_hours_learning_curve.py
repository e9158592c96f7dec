"""The unit learning curve against a published table and exercise.

Sources: the 80 % unit table of an operations management textbook (supplement 4A, Exhibits 4A.2 to 4A.4), to the
four decimals printed; the same book's large-number check at 100,000 h to the hour.
"""

import csv
from pathlib import Path

import pytest

from estimates.hours import cumulative_factor, unit_factor
from estimates.hours.learning_curve import doublings, exponent

TABLE = Path(__file__).parent / "data" / "learning_curve_80pct_published.csv"


def rows():
    with open(TABLE, newline="") as file:
        return [
            (int(r["unit"]), float(r["unit_time"]), float(r["cumulative_time"])) for r in csv.DictReader(file)
        ]


@pytest.mark.parametrize(("unit", "unit_time", "cumulative_time"), rows())
def test_80_per_cent_table(unit, unit_time, cumulative_time):
    assert 10 * unit_factor(unit, 0.8) == pytest.approx(unit_time, abs=0.5001e-4)
    assert 10 * cumulative_factor(unit, 0.8) == pytest.approx(cumulative_time, abs=0.5001e-4)


@pytest.mark.parametrize(
    ("n", "unit", "cumulative"), [(4, 64_000, 314_210), (16, 40_960, 892_014), (256, 16_777, 6_247_572)]
)
def test_100_000_hour_table(n, unit, cumulative):
    assert 100_000 * unit_factor(n, 0.8) == pytest.approx(unit, abs=0.5)
    assert 100_000 * cumulative_factor(n, 0.8) == pytest.approx(cumulative, abs=0.5)


def test_it_is_the_unit_model_not_the_cumulative_average():
    """At 80 % the second unit takes 0.80 of the first; the cumulative average model would say 0.60."""
    assert unit_factor(2, 0.8) == pytest.approx(0.8)
    assert cumulative_factor(2, 0.8) == pytest.approx(1.8)
    assert doublings(2) == 1.0
    assert exponent(0.85) == pytest.approx(-0.234465, abs=5e-7)


@pytest.mark.parametrize("rate", [0.0, -0.8, float("nan"), float("inf")])
def test_impossible_rate_is_refused(rate):
    with pytest.raises(ValueError, match="more than 0"):
        exponent(rate)


def test_units_are_counted_from_one():
    with pytest.raises(ValueError, match="from 1"):
        unit_factor(0, 0.8)
