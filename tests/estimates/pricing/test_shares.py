"""Shares that add up to their whole, and rates by date."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.pricing.money import Unpriceable
from estimates.pricing.rates import Rate, rate_on
from estimates.pricing.shares import as_hours, share_hours, share_out

CENT = Decimal("0.01")


@given(
    st.decimals(0, 10**6, places=2),
    st.lists(st.decimals(0, 10**4, places=3), min_size=1, max_size=12),
)
def test_shares_add_up_and_are_within_a_step_of_fair(total: Decimal, weights: list[Decimal]) -> None:
    shares = share_out(total, weights, CENT)
    assert sum(shares) == total
    whole = sum(weights)
    for share, weight in zip(shares, weights, strict=True):
        fair = total * weight / whole if whole else total / len(weights)
        assert abs(share - fair) < CENT


@pytest.mark.parametrize(("total", "weights"), [("1.005", [1]), ("-1", [1]), ("1", [1, -1]), ("1", [])])
def test_what_cannot_be_shared_is_refused(total: str, weights: list[int]) -> None:
    with pytest.raises(ValueError, match="share"):
        share_out(Decimal(total), [Decimal(weight) for weight in weights], CENT)


def test_the_stages_share_the_jobs_hours_not_their_own_sum() -> None:
    own = [Decimal("2.5"), Decimal("12.0"), Decimal("8.0"), Decimal("6.0")]  # 28.5 h when added
    shares = share_hours(Decimal("25.3"), own)
    assert sum(shares) == Decimal("25.30")
    assert [str(share) for share in shares] == ["2.22", "10.65", "7.10", "5.33"]


@pytest.mark.parametrize("hours", [float("nan"), float("inf"), -0.01])
def test_hours_that_are_no_number_never_reach_money(hours: float) -> None:
    with pytest.raises(ValueError, match="no number of hours"):
        as_hours(hours)


RATES = [
    Rate("gathering", Decimal(60), date(2026, 1, 1)),
    Rate("gathering", Decimal(66), date(2026, 7, 1)),
    Rate("layout", Decimal(45), date(2026, 1, 1)),
]


@pytest.mark.parametrize(
    ("day", "per_hour"), [(date(2026, 1, 1), 60), (date(2026, 6, 30), 60), (date(2026, 7, 1), 66), (date(2030, 1, 1), 66)]
)  # fmt: skip
def test_the_rate_is_that_of_the_day(day: date, per_hour: int) -> None:
    assert rate_on(RATES, "gathering", day).per_hour == per_hour
    assert rate_on(reversed(RATES), "gathering", day).per_hour == per_hour


@pytest.mark.parametrize(("stage", "day"), [("gathering", date(2025, 12, 31)), ("welding", date(2026, 5, 1))])
def test_without_a_rate_there_is_no_price(stage: str, day: date) -> None:
    with pytest.raises(Unpriceable, match="no hourly rate"):
        rate_on(RATES, stage, day)
