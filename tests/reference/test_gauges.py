"""Gauge thicknesses against the law and the published tables.

Sources (data/sheet_gauges.csv, gauges 8 to 26):
- 15 U.S.C. 206: thickness as a fraction of an inch, ounces and pounds per square foot. Exact.
- Manufacturers' Standard Gauge: published to 0.0001 in (rows 10, 18 and 20 in a handbook and an engineers'
  archive, the others in trade lists that agree; rows marked "computed" stood in no list and follow the rule).
- Galvanized sheet: published to 0.0001 in.
- American Wire Gauge: ASTM B258 formula with its end points 0000 = 0.460 in and 36 = 0.005 in, published to
  0.0001 in; all 19 rows also stand in an open library of process engineering.
Tolerance: half the last printed digit, which after rounding means equal.
"""

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.gauges import (
    UnknownGauge,
    format_thickness,
    gauge_thickness_mm,
    gauges_of,
    nearest_gauge,
    nominal_weight_lb_ft2,
    parse_thickness_mm,
)
from shop.lengths import UnreadableLength

with (Path(__file__).parent / "data" / "sheet_gauges.csv").open(newline="") as table:
    ROWS = list(csv.DictReader(table))
COLUMN_OF = {"steel": "msg_in", "galvanized": "galvanized_in", "aluminium": "awg_in", "copper": "awg_in",
             "brass": "awg_in"}  # fmt: skip
GAUGED = ["steel", "galvanized", "stainless", "aluminium", "copper", "brass"]


def test_the_reference_table_is_whole() -> None:
    assert [int(row["gauge"]) for row in ROWS] == list(range(8, 27))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["gauge"])
def test_the_laws_columns(row: dict[str, str]) -> None:
    gauge = int(row["gauge"])
    assert nominal_weight_lb_ft2(gauge) == Fraction(row["usc206_lb_per_ft2"])
    assert nominal_weight_lb_ft2(gauge) * 16 == int(row["usc206_oz_per_ft2"])
    assert gauge_thickness_mm(gauge, "stainless") == float(
        Fraction(row["usc206_fraction_in"]) * Fraction("25.4")
    )
    assert gauge_thickness_mm(gauge, "stainless") == float(row["usc206_mm"])


@pytest.mark.parametrize("family", COLUMN_OF)
@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["gauge"])
def test_published_thickness(row: dict[str, str], family: str) -> None:
    published_mm = float(Fraction(row[COLUMN_OF[family]]) * Fraction("25.4"))
    assert gauge_thickness_mm(int(row["gauge"]), family) == published_mm


def test_the_wire_gauge_ends_at_five_thousandths() -> None:
    assert gauge_thickness_mm(36, "brass") == pytest.approx(0.005 * 25.4, rel=1e-12)


def test_one_number_is_three_thicknesses() -> None:
    """The trap of the trade: 18 ga steel, stainless and aluminium differ by a quarter."""
    assert format_thickness(gauge_thickness_mm(18, "steel"), "in") == "0.048 in"
    assert format_thickness(gauge_thickness_mm(18, "stainless"), "in") == "0.050 in"
    assert format_thickness(gauge_thickness_mm(18, "aluminium"), "in") == "0.040 in"


@pytest.mark.parametrize(
    ("text", "family", "thickness_mm"),
    [
        ("18 ga", "steel", 0.0478 * 25.4),
        ("18ga", "steel", 0.0478 * 25.4),
        ("18 GA.", "steel", 0.0478 * 25.4),
        ("#18", "steel", 0.0478 * 25.4),
        ("gauge 18", "steel", 0.0478 * 25.4),
        ("18 gauge", "aluminium", 0.0403 * 25.4),
        ("1.2", "steel", 1.2),
        ("1,2 mm", "steel", 1.2),
        ("0.048 in", "steel", 1.2192),
        ('3/64"', "copper", 1.190625),
        ("2 mm", "titanium", 2.0),
        ("8 mm", "aluminium", 8.0),
    ],
)
def test_a_thickness_is_read_as_gauge_or_length(text: str, family: str, thickness_mm: float) -> None:
    assert parse_thickness_mm(text, family) == pytest.approx(thickness_mm, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "family", "reason"),
    [
        ("27 ga", "steel", "8 to 26"),
        ("0 ga", "aluminium", "1 to 36"),
        ("37 ga", "brass", "1 to 36"),
        ("18 ga", "titanium", "no gauge table for titanium"),
        ("18 ga", "zinc", "no gauge table for zinc"),
        ("18 ga", "", "no gauge table for this metal"),
        ("999 ga", "steel", "8 to 26"),
    ],
)
def test_a_gauge_outside_the_table_is_refused(text: str, family: str, reason: str) -> None:
    with pytest.raises(UnknownGauge, match=reason):
        parse_thickness_mm(text, family)


@pytest.mark.parametrize(
    "text", ["18", "0", "0 mm", "26 mm", "", "-1", "1e3", "thick", "99999 ga", "18 ga 2"]
)
def test_a_thickness_that_cannot_be_meant_is_refused(text: str) -> None:
    with pytest.raises(UnreadableLength):
        parse_thickness_mm(text, "steel")


@pytest.mark.parametrize("family", GAUGED)
def test_every_gauge_is_its_own_nearest_and_reads_back(family: str) -> None:
    for number in gauges_of(family):
        thickness_mm = gauge_thickness_mm(number, family)
        near = nearest_gauge(thickness_mm, family)
        assert near is not None
        assert (near.number, near.off_mm) == (number, 0)
        assert parse_thickness_mm(f"{number} ga", family) == thickness_mm


@pytest.mark.parametrize("family", GAUGED)
def test_a_higher_number_is_thinner(family: str) -> None:
    thicknesses = [gauge_thickness_mm(number, family) for number in gauges_of(family)]
    assert thicknesses == sorted(set(thicknesses), reverse=True)


@given(st.floats(0.5, 4.0), st.sampled_from(GAUGED))
def test_sheet_between_two_gauges_has_a_near_one(thickness_mm: float, family: str) -> None:
    near = nearest_gauge(thickness_mm, family)
    assert near is not None
    assert abs(near.off_mm) <= 0.1 * near.thickness_mm
    assert near.thickness_mm + near.off_mm == pytest.approx(thickness_mm, rel=1e-12)


@pytest.mark.parametrize(("thickness_mm", "family"), [(12.0, "steel"), (0.2, "steel"), (1.2, "titanium")])
def test_no_gauge_is_named_where_none_is_near(thickness_mm: float, family: str) -> None:
    assert nearest_gauge(thickness_mm, family) is None
