"""Weight of sheet: what density says, and what mills bill by.

Sources: 15 U.S.C. 206 (weights by gauge); theoretical weight 144 ρ t lb/ft² with the densities of
test_densities.py; 1 lb/in³ = 27679.9047 kg/m³ exactly by the definitions of pound and inch.
"""

import pytest

from shop.gauges import gauge_thickness_mm, nominal_weight_lb_ft2
from shop.metals_table import STANDARD_METALS

METAL = {metal.name: metal for metal in STANDARD_METALS}
FT2_MM2 = 304.8**2
LB_KG = 0.45359237


def lb_per_ft2(name: str, thickness_in: float) -> float:
    return METAL[name].mass_kg(FT2_MM2, thickness_in * 25.4) / LB_KG


@pytest.mark.parametrize(
    ("name", "thickness_in", "lb_ft2"),
    [
        ("Aluminium 3003-H14", 0.040, 0.570),
        ("Aluminium 5052-H32", 0.063, 0.880),
        ("Brass C26000, annealed", 0.0508, 2.253),
        ("Stainless 304, annealed", 0.0375, 1.561),
        ("Steel 1008, hot rolled", 0.0359, 1.468),
    ],
)
def test_theoretical_weight(name: str, thickness_in: float, lb_ft2: float) -> None:
    """Within 0.5 %: handbook densities in lb/in³ carry three digits (3003: 0.099 stands for 0.0986)."""
    assert lb_per_ft2(name, thickness_in) == pytest.approx(lb_ft2, rel=0.005)


def test_a_whole_sheet_by_gauge_weight_and_by_density() -> None:
    """4 × 8 ft of 18 ga steel: 64.0 lb by gauge, 62.6 lb by 0.284 lb/in³ × 0.0478 in (±0.1 %)."""
    assert 32 * nominal_weight_lb_ft2(18) == 64
    thickness_in = gauge_thickness_mm(18, "steel") / 25.4
    assert 32 * lb_per_ft2("Steel 1008, hot rolled", thickness_in) == pytest.approx(62.6, rel=0.001 + 0.0015)


def test_steel_weighs_two_per_cent_less_than_its_gauge_says() -> None:
    """20 ga: 1.500 lb/ft² by gauge, 1.468 by 0.284 lb/in³, 2.1 % less (±0.2 %, the last digit of 0.284)."""
    by_density = lb_per_ft2("Steel 1008, hot rolled", gauge_thickness_mm(20, "steel") / 25.4)
    assert by_density / float(nominal_weight_lb_ft2(20)) == pytest.approx(1 - 0.021, abs=0.002)
