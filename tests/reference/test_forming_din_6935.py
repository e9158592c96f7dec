"""Bend allowance by DIN 6935.

Source: DIN 6935 as printed in a German metal-trades table book (correction factor k, compensation v), read in a
reproduction. The book subtracts v from the sum of the outside legs; angles there are opening angles.
Tolerance: printed digits, or 1e-4 mm where the formula is only evaluated.
"""

import math

import pytest

from jobs.forming import ImpossibleShape, Marking, Sheet, Work, build, work_out
from jobs.forming.bend import k_factor


def fold(
    legs: tuple[float, ...], radius: float, thickness: float, opening_deg: float = 90, **more: object
) -> Work:
    form = build(
        "fold",
        {
            "width_mm": 100.0,
            "leg_mm": legs,
            "bend_radius_mm": radius,
            "bend_angle_rad": math.radians(180 - opening_deg),
            **more,
        },
    )
    return work_out(form, Sheet(thickness), Marking())


def compensation(work: Work) -> float:
    """Return v: what each bend takes off the sum of the outside legs."""
    legs = work.form.leg_mm
    return (sum(legs) - work.flat_length_mm) / (len(legs) - 1)


@pytest.mark.parametrize(
    ("ratio", "k"),
    [(1, 0.650), (1.2, 0.6896), (1.5, 0.7380), (2, 0.8005), (2.5, 0.8490), (3, 0.8886), (5, 0.9995)],
)
def test_factor(ratio, k):
    assert 2 * k_factor(ratio * 2.0, 2.0) == pytest.approx(k, abs=5e-5)


def test_factor_stays_at_one_beyond_five_thicknesses():
    assert k_factor(10.1, 2.0) == 0.5
    assert k_factor(1000, 2.0) == 0.5


def test_between_the_formulas_end_and_one_the_difference_is_less_than_a_line_is_wide():
    """At r/s = 5 the standard steps from 0.9995 to 1; going on by the formula is within 0.0005 of it."""
    for ratio in (5.0, 5.005, 5.012):
        assert 2 * k_factor(ratio * 2.0, 2.0) == pytest.approx(1.0, abs=5.2e-4)
    assert 2 * k_factor(5.012 * 2.0, 2.0) == pytest.approx(1.0, abs=1e-5)


def test_table_books_worked_example():
    """Opening 60°, legs 16 and 21 mm, r 6, s 5: v = 5.823 with k by formula, L = 31.177 (printed "about 32")."""
    work = fold((16.0, 21.0), 6.0, 5.0, opening_deg=60)
    assert compensation(work) == pytest.approx(5.823, abs=5e-4)
    assert work.flat_length_mm == pytest.approx(31.177, abs=5e-4)


def test_table_books_worked_example_with_k_from_its_chart():
    """The same with k = 0.7 read from the chart, which is K = 0.35: v = 5.77 mm, L = 31.23."""
    work = fold((16.0, 21.0), 6.0, 5.0, opening_deg=60, k=0.35)
    assert compensation(work) == pytest.approx(5.77, abs=5e-3)
    assert work.flat_length_mm == pytest.approx(31.23, abs=5e-3)


@pytest.mark.parametrize(
    ("radius", "thickness", "v"),
    [
        (1, 1, 1.9187),
        (2, 2, 3.8374),
        (3, 2, 4.1283),
        (4, 2, 4.4594),
        (5, 2, 4.8125),
        (6, 2, 5.1795),
        (10, 2, 6.7220),
    ],
)
def test_right_angles(radius, thickness, v):
    assert compensation(fold((60.0, 60.0), radius, thickness)) == pytest.approx(v, abs=1e-4)


@pytest.mark.parametrize(
    ("opening", "radius", "thickness", "v"), [(135, 4, 2, 1.2002), (120, 3, 1.5, 1.4258)]
)
def test_openings_beyond_90_degrees(opening, radius, thickness, v):
    assert compensation(fold((60.0, 60.0), radius, thickness, opening)) == pytest.approx(v, abs=1e-4)


@pytest.mark.parametrize(("radius", "thickness"), [(1.0, 1.0), (3.0, 1.5), (12.0, 2.0)])
def test_openings_beyond_165_degrees_are_small_as_the_standard_says(radius, thickness):
    """From 165° on the standard neglects v; the formula goes on to give at most a fifth of the thickness."""
    v = compensation(fold((60.0, 60.0), radius, thickness, 165))
    assert 0 < v < thickness / 5
    assert 0 < compensation(fold((60.0, 60.0), radius, thickness, 178)) < v


def test_school_book_rule_of_thumb():
    """Legs 50 + 40 + 30, r = t = 1: 116 mm (Westermann, ISBN 978-3-7100-2443-6, p. 206), to its whole mm."""
    assert fold((50.0, 40.0, 30.0), 1.0, 1.0).flat_length_mm == pytest.approx(116, abs=0.5)
    assert fold((50.0, 40.0, 30.0), 1.0, 1.0).flat_length_mm == pytest.approx(116.16, abs=5e-3)


def test_a_bend_sharper_than_the_formula_bears_is_refused():
    with pytest.raises(ImpossibleShape, match="DIN 6935 has no bend allowance") as refusal:
        fold((50.0, 40.0), 0.0, 2.0)
    assert refusal.value.field == "bend_radius_mm"
    assert fold((50.0, 40.0), 0.0, 2.0, k=0.35).bend_allowance_mm == pytest.approx(math.pi / 2 * 0.7)
