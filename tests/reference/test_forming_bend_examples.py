"""Bends against handbooks, a workbook and a federal training handbook.

Sources:
- Machinery's Handbook, p. 1374, equations 32 to 34 for 90° bends, through a public digest: soft brass and copper
  L = 0.55 T + 1.57 R; half-hard copper and brass, soft steel, aluminium L = 0.64 T + 1.57 R; bronze, hard copper,
  cold-rolled steel L = 0.71 T + 1.57 R. 1.57 is π/2 to two decimals: tolerance 0.1 %.
- "The Sheet Metal Workbook", 6th ed. 2012, "90 Degree Bends": BA = (0.01743 R + 0.0078 T) N; four legs of .740,
  .420, 1.050 and 1.000 in, T .050, R .032, lie flat at 2.973 in (bend deduction rounded to .079 three times).
- FAA, Aviation Maintenance Technician Handbook - Airframe, ch. 4: U-channel of 0.040 in sheet, R 0.16, mold lines
  1.00, 2.00 and 1.00 in: flats of 0.8, 1.6 and 0.8 in.
All in inches here; the formulas do not mind. 0.01743 is a rounded π/180, 0.13 % low: figures that rest on it agree
to 0.2 %.
"""

import math

import pytest

from jobs.forming import Marking, Sheet, Work, build, work_out
from jobs.forming.bend import bend_allowance, setback
from jobs.forming.fold import Fold

AIRCRAFT_K = 0.0078 / (math.pi / 180)
INCH = 25.4


def fold(legs: tuple[float, ...], radius: float, thickness: float, k: float) -> Work:
    form = build(
        "fold",
        {
            "width_mm": INCH,
            "leg_mm": tuple(leg * INCH for leg in legs),
            "bend_radius_mm": radius * INCH,
            "k": k,
        },
    )
    return work_out(form, Sheet(thickness * INCH), Marking())


@pytest.mark.parametrize(
    ("share", "allowance"),
    [(0.55, 0.23063), (0.64, 0.23625), (0.71, 0.24063)],
    ids=["soft brass, copper", "soft steel, aluminium", "cold-rolled steel"],
)
def test_machinerys_handbook_right_angle_rules(share, allowance):
    """T .0625 and R .125; the rule's share of T over π/2 is the place of the neutral line."""
    work = fold((1.0, 1.0), 0.125, 0.0625, share / (math.pi / 2))
    assert work.bend_allowance_mm / INCH == pytest.approx(allowance, rel=1e-3)


def test_handbook_rule_for_soft_steel_agrees_with_din_at_its_own_ratio():
    """The two sources lie within 1.5 % of one another for R = 2 T."""
    handbook = 0.64 * 1.0 + 1.57 * 2.0
    form = build("fold", {"width_mm": 50.0, "leg_mm": (30.0, 30.0), "bend_radius_mm": 2.0})
    din = work_out(form, Sheet(1.0), Marking()).bend_allowance_mm
    assert din == pytest.approx(handbook, rel=0.015)


def test_workbook_allowance_and_deduction():
    """R .032, T .050: BA .0853, printed .085; BD .0787, printed .079."""
    allowance = bend_allowance(0.032, 0.050, math.pi / 2, AIRCRAFT_K)
    assert allowance == pytest.approx(0.0853, rel=2e-3)
    assert 2 * setback(0.032, 0.050, math.pi / 2) - allowance == pytest.approx(0.0787, rel=2e-3)


def test_workbook_part_with_three_bends():
    """2.973 in printed; 2.9739 without rounding each of three deductions to .079: within .0015 in."""
    work = fold((0.740, 0.420, 1.050, 1.000), 0.032, 0.050, AIRCRAFT_K)
    assert work.flat_length_mm / INCH == pytest.approx(2.973, abs=1.5e-3)
    assert work.flat_length_mm / INCH == pytest.approx(2.9739, abs=3e-4)


def test_faa_u_channel():
    """Setback 0.20 in; flats 0.8, 1.6, 0.8 in; developed 3.2 + 2 × 0.279 = 3.758 in."""
    work = fold((1.0, 2.0, 1.0), 0.16, 0.040, AIRCRAFT_K)
    assert isinstance(work.form, Fold)
    assert setback(0.16, 0.040, math.pi / 2) == pytest.approx(0.20)
    assert [flat / INCH for flat in work.form.straights(work.sheet)] == pytest.approx([0.8, 1.6, 0.8])
    assert work.flat_length_mm / INCH == pytest.approx(3.758, abs=1e-3)


def test_outside_fibre_strain_warns_where_the_metal_ends():
    """Outer fibre strain t/(2R + t): R = 2t is 20 % (identity), so 19 % elongation is warned of, 21 % not."""

    def codes(elongation: float) -> list[str]:
        form = build("fold", {"width_mm": 50.0, "leg_mm": (30.0, 30.0), "bend_radius_mm": 2.0})
        work = work_out(form, Sheet(1.0, elongation=elongation), Marking())
        return [caution.code for caution in work.warnings]

    assert codes(0.19) == ["bend"]
    assert codes(0.21) == []
