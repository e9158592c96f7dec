"""Earned value against published worked examples.

Sources
- Four-sided fence, end of day 3: classroom exercise "Earned Value Exercise"; the same numbers in a second
  document. It prints EAC 4479, ETC 1679 and VAC −479 because it rounds CPI to .893 first; exact are 4480, 1680
  and −480, so those three are held exactly to the formula and to the print only as it was reckoned.
- Design, build, test: lecture slides "What is Earned Value?".
- Two examples of the reference pages of the open R package PRA (eac, tcpi, cpi, cv).
Tolerance: half the last printed digit.
"""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.pricing.earned_value import EarnedValue, Work, earned_value, of_work

FENCE = earned_value(pv=3000, ev=2500, ac=2800, bac=4000)
SLIDES = earned_value(pv=300, ev=200, ac=250, bac=500)


def test_the_fence_from_its_four_sides() -> None:
    """Each side budgeted at 1000 and planned for one day; spent 1000, 1200 and 600; the third half done."""
    sides = [
        Work(budget=1000, planned=1, done=1, spent=1000),
        Work(budget=1000, planned=1, done=1, spent=1200),
        Work(budget=1000, planned=1, done=Decimal("0.5"), spent=600),
        Work(budget=1000, planned=0, done=0, spent=0),
    ]
    assert of_work(sides) == FENCE


def test_the_fence() -> None:
    assert (FENCE.cv, FENCE.sv) == (-300, -500)
    assert float(FENCE.cpi or 0) == pytest.approx(0.893, abs=0.0005)
    assert float(FENCE.spi or 0) == pytest.approx(0.833, abs=0.0005)
    assert (FENCE.eac, FENCE.etc, FENCE.vac) == (4480, 1680, -480)
    printed_eac = FENCE.bac / Fraction(round(float(FENCE.cpi or 0), 3)).limit_denominator(1000)
    assert round(printed_eac) == 4479
    assert (FENCE.eac_to_plan, FENCE.eac_in_time) == (4300, 4816)
    assert FENCE.tcpi == Fraction(5, 4)
    assert FENCE.tcpi_for(4480) == FENCE.cpi


def test_the_slides() -> None:
    assert (SLIDES.cv, SLIDES.sv) == (-50, -100)
    assert SLIDES.cpi == Fraction(4, 5)
    assert float(SLIDES.spi or 0) == pytest.approx(0.67, abs=0.005)
    assert (SLIDES.eac, SLIDES.eac_to_plan, SLIDES.eac_in_time) == (625, 550, Fraction("812.5"))
    assert (SLIDES.etc, SLIDES.vac, SLIDES.tcpi) == (375, -125, Fraction("1.2"))


def test_the_packages_pages() -> None:
    first = earned_value(pv=35000, ev=35000, ac=36000, bac=100000)
    assert float(first.cpi or 0) == pytest.approx(0.9722222, abs=5e-8)
    assert first.cv == -1000
    second = earned_value(pv=35000, ev=35000, ac=63000, bac=100000)
    assert second.eac_to_plan == 128000
    assert float(second.tcpi or 0) == pytest.approx(1.76, abs=0.005)
    assert float(second.tcpi_for(120482) or 0) == pytest.approx(1.13, abs=0.005)
    # Their third example takes CPI as 0.83: 100000 / 0.83 = 120481.9.
    rounded = earned_value(pv=83, ev=83, ac=100, bac=100000)
    assert float(rounded.eac or 0) == pytest.approx(120481.9, abs=0.05)


def test_before_anything_is_spent_nothing_is_foretold() -> None:
    fresh = earned_value(pv=0, ev=0, ac=0, bac=4000)
    assert (fresh.cpi, fresh.spi, fresh.eac, fresh.etc, fresh.vac, fresh.eac_in_time) == (None,) * 6
    assert fresh.eac_to_plan == 4000
    assert fresh.tcpi == 1
    assert set(fresh.undefined) == {"cpi", "spi", "eac", "eac_in_time", "etc", "vac"}
    assert fresh.undefined["cpi"] == "nothing has been spent yet"


def test_spent_with_nothing_done_has_no_forecast() -> None:
    stuck = earned_value(pv=100, ev=0, ac=50, bac=400)
    assert (stuck.cpi, stuck.spi) == (0, 0)
    assert (stuck.eac, stuck.eac_in_time) == (None, None)
    assert set(stuck.undefined) == {"eac", "eac_in_time", "etc", "vac"}


@pytest.mark.parametrize("spent", [400, 500])
def test_a_budget_that_is_spent_cannot_be_kept(spent: int) -> None:
    over = earned_value(pv=300, ev=300, ac=spent, bac=400)
    assert over.tcpi is None
    assert over.undefined == {"tcpi": "the budget is spent"}
    assert over.tcpi_for(spent) is None


@pytest.mark.parametrize(
    "amounts",
    [
        {"pv": -1, "ev": 0, "ac": 0, "bac": 1},
        {"pv": 0, "ev": 2, "ac": 0, "bac": 1},
        {"pv": 2, "ev": 0, "ac": 0, "bac": 1},
        {"pv": 0, "ev": 0, "ac": Decimal("NaN"), "bac": 1},
        {"pv": 0, "ev": 0, "ac": Decimal("Infinity"), "bac": 1},
    ],
)
def test_amounts_that_cannot_be_are_refused(amounts: dict[str, int]) -> None:
    with pytest.raises(ValueError, match=r"\.$"):
        earned_value(**amounts)


def test_floats_and_shares_past_one_are_refused() -> None:
    with pytest.raises(TypeError, match="exact"):
        earned_value(pv=0.5, ev=0, ac=0, bac=1)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="shares from 0 to 1"):
        of_work([Work(budget=10, planned=1, done=Decimal("1.01"), spent=0)])


money = st.decimals(0, 10**6, places=2)


@st.composite
def some_state(draw: st.DrawFn) -> EarnedValue:
    bac = draw(money)
    share = st.decimals(0, 1, places=3)
    return earned_value(pv=bac * draw(share), ev=bac * draw(share), ac=draw(money), bac=bac)


@given(some_state())
def test_identities(state: EarnedValue) -> None:
    assert state.eac_to_plan == state.bac - state.cv
    assert {name for name in ("cpi", "spi", "eac", "eac_in_time", "etc", "vac", "tcpi")
            if getattr(state, name) is None} == set(state.undefined)  # fmt: skip
    if state.eac is not None and state.etc is not None and state.vac is not None:
        assert state.ac + state.etc == state.eac
        assert state.bac - state.vac == state.eac
        if state.ev < state.bac:
            assert state.tcpi_for(state.eac) == state.cpi
    if state.cpi is not None and state.ac:
        assert state.cpi * state.ac == state.ev
        assert (state.cpi >= 1) == (state.cv >= 0)
