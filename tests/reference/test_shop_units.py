"""Masses, areas, densities and prices as an inch shop writes them.

Source: NIST Special Publication 811 (2008 edition), appendix B.8 and B.9, factors printed in bold, which are exact:
1 lb = 0.453 592 37 kg, 1 in = 25.4 mm, 1 in² = 6.4516 E-04 m², 1 ft² = 9.290 304 E-02 m². Its pound per cubic
inch, 2.767 990 E+04 kg/m³, is rounded to seven digits there.
"""

from decimal import Decimal

import pytest

from shop import driver_units, figures
from shop.forms.unit_fields import DensityField, PriceByMassField, ScaledField

NBSP = "\u00a0"


def test_the_pound_and_the_areas_are_the_exact_ones():
    assert Decimal("0.45359237") == figures.POUND_KG
    assert pytest.approx(6.4516e-4, rel=1e-14) == figures.IN2_MM2 * 1e-6
    assert pytest.approx(9.290304e-2, rel=1e-14) == figures.FT2_MM2 * 1e-6


def test_the_pound_per_cubic_inch_agrees_to_the_seven_digits_printed():
    assert pytest.approx(2.767990e4, abs=0.005) == figures.LB_IN3_KG_M3


@pytest.mark.parametrize(
    ("kg", "written"),
    [
        (0.45359237, "1.00 lb"),
        (4.5, "9.92 lb"),
        (4.5359237, "10.0 lb"),
        (45.359237, "100.0 lb"),
        (0.0, "0.00 lb"),
    ],
)
def test_kilograms_in_pounds(kg: float, written: str):
    assert figures.mass(kg, "in").replace(NBSP, " ") == written


@pytest.mark.parametrize(
    ("mm2", "written"),
    [
        (645.16, "1.0 in²"), (64_516.0, "100.0 in²"), (92_903.04, "1.00 ft²"), (929_030.4, "10.00 ft²"),
        (92_900.0, "144.0 in²"),
    ],
)  # fmt: skip
def test_areas_in_square_inches_and_feet(mm2: float, written: str):
    assert figures.area(mm2, "in").replace(NBSP, " ") == written


def test_drivers_are_counted_in_feet_square_inches_and_square_feet():
    one = {
        name: driver_units.driver_unit(name, "in").kept
        for name in ("layout_m", "moved_dm2", "worked_dm2", "finished_dm2")
    }
    assert one == pytest.approx(
        {"layout_m": 0.3048, "moved_dm2": 0.064516, "worked_dm2": 9.290304, "finished_dm2": 9.290304},
        rel=1e-14,
    )


def test_a_price_for_a_pound_is_kept_as_that_of_a_kilogram_to_six_decimals():
    field = PriceByMassField()
    field.use("in")
    kept = field.clean("3.49")
    assert abs(kept - Decimal("3.49") / Decimal("0.45359237")) <= Decimal("0.0000005")
    assert field.prepare_value(kept) == "3.49"


def test_a_density_in_pounds_per_cubic_inch_is_kept_in_kilograms_per_cubic_metre():
    field = DensityField()
    field.use("in")
    assert field.clean("0.1") == pytest.approx(2767.990, abs=0.0005)


def test_hours_for_a_square_inch_are_kept_as_hours_for_a_square_decimetre():
    """1 dm² is 15.5000 in² (1 / 0.064516), so 0.1 h for each is 1.55000 h."""
    unit = driver_units.driver_unit("moved_dm2", "in")
    assert ScaledField(scale=1 / unit.kept).clean("0.1") == pytest.approx(1.550003, abs=5e-7)
