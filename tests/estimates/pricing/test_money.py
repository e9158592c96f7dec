"""One rounding rule and one way to write money."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.pricing.money import (
    CURRENCIES,
    Currency,
    Unpriceable,
    check_money,
    check_percent,
    format_money,
    round_money,
)

EUR, JPY, KWD = CURRENCIES["EUR"], CURRENCIES["JPY"], CURRENCIES["KWD"]


@pytest.mark.parametrize(
    ("amount", "currency", "rounded"),
    [
        ("2.345", EUR, "2.35"),
        ("2.335", EUR, "2.34"),
        ("2.3449999", EUR, "2.34"),
        ("-2.345", EUR, "-2.35"),
        ("0.5", JPY, "1"),
        ("1.5", JPY, "2"),
        ("2.5", JPY, "3"),
        ("1.0005", KWD, "1.001"),
        ("-0.001", EUR, "0.00"),
    ],
)
def test_halves_go_away_from_nought(amount: str, currency: Currency, rounded: str) -> None:
    assert str(round_money(Decimal(amount), currency)) == rounded


@pytest.mark.parametrize(
    ("amount", "currency", "written", "in_a_column"),
    [
        ("2545", EUR, "€ 2 545", "€ 2 545.00"),
        ("2545.5", EUR, "€ 2 545.50", "€ 2 545.50"),
        ("1234567.891", EUR, "€ 1 234 567.89", "€ 1 234 567.89"),
        ("0", EUR, "€ 0", "€ 0.00"),
        ("-12", EUR, "−€ 12", "−€ 12.00"),
        ("-0.004", EUR, "€ 0", "€ 0.00"),
        ("2545.5", JPY, "¥2,546", "¥2,546"),
        ("1.5", KWD, "KWD 1.500", "KWD 1.500"),
    ],
)
def test_money_is_written_with_its_sign_and_thin_spaces(
    amount: str, currency: Currency, written: str, in_a_column: str
) -> None:
    def plain(text: str) -> str:
        return text.replace("\u00a0", " ").replace("\u2009", " ")

    assert plain(format_money(Decimal(amount), currency)) == written
    assert plain(format_money(Decimal(amount), currency, decimals=True)) == in_a_column


def test_the_sign_stays_with_its_figure_and_thousands_are_thin() -> None:
    assert format_money(Decimal(2545), EUR) == "€\u00a02\u2009545"


@given(st.decimals(-(10**9), 10**9, places=6), st.sampled_from([EUR, JPY, KWD]))
def test_rounding_moves_by_half_a_unit_at_most_and_only_once(amount: Decimal, currency: Currency) -> None:
    rounded = round_money(amount, currency)
    assert abs(rounded - amount) <= currency.unit / 2
    assert round_money(rounded, currency) == rounded
    assert round_money(-amount, currency) == -rounded


@pytest.mark.parametrize("amount", ["NaN", "Infinity", "-0.01", "1000000001", "1e400"])
def test_an_amount_that_cannot_be_meant_is_refused(amount: str) -> None:
    with pytest.raises(Unpriceable, match="Write an amount") as refusal:
        check_money("cost_each", Decimal(amount))
    assert refusal.value.field == "cost_each"


@pytest.mark.parametrize("percent", ["NaN", "-1", "1001", "100"])
def test_a_percentage_that_cannot_be_meant_is_refused(percent: str) -> None:
    with pytest.raises(Unpriceable, match="Write a percentage"):
        check_percent("margin_percent", Decimal(percent), below=Decimal(100))


def test_floats_are_no_money() -> None:
    with pytest.raises(TypeError):
        check_money("cost_each", 1.5)  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        check_percent("margin_percent", 1.5)  # type: ignore[arg-type]


def test_a_currency_has_a_sane_minor_unit() -> None:
    assert [EUR.unit, JPY.unit, KWD.unit] == [Decimal("0.01"), Decimal(1), Decimal("0.001")]
    with pytest.raises(Unpriceable):
        Currency("XXX", "X", 9)
