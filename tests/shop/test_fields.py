"""Hours and amounts as people type them, and the words for what cannot be read."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from shop.figures import MONEY_STYLES, money
from shop.forms import HoursField, MoneyField


@pytest.mark.parametrize(
    ("typed", "hours"),
    [
        ("1.5", "1.5"), ("1,5", "1.5"), ("1:30", "1.5"), ("1h30", "1.5"), ("1 h 30 min", "1.5"), ("45 min", "0.75"),
        ("1 1/2", "1.5"), ("3/4", "0.75"), ("1 1/2 h", "1.5"), ("8h", "8"),
    ],
)  # fmt: skip
def test_hours_are_read_as_people_write_them(typed, hours):
    assert HoursField().clean(typed) == Decimal(hours)


@pytest.mark.parametrize(
    "typed", ["", "x", "-1", "25", "1:75", "1 020", "1_0", "٧", "1e3", "nan", "1/3", "9" * 50, "0", "1:"]
)
def test_hours_that_cannot_be_are_refused_in_words(typed):
    with pytest.raises(ValidationError):
        HoursField().clean(typed)


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        ("125", "125"), ("125.50", "125.50"), ("125,50", "125.50"), ("1,250.00", "1250.00"), ("3,606.76", "3606.76"),
        ("$ 1,234,567.8", "1234567.8"), ("1 250", "1250"), ("0,125", "0.125"),
        ("1\u2009250,50", "1250.50"), ("1\u00a0250", "1250"), ("2 345 678.9", "2345678.9"), ("$ 12", "12"),
    ],
)  # fmt: skip
def test_amounts_are_read_as_people_write_them(typed, amount):
    assert MoneyField(symbol="$").clean(typed) == Decimal(amount)


def test_an_amount_that_reads_two_ways_is_given_back_with_both():
    with pytest.raises(ValidationError, match=r"Write 1250 or 1\.250"):
        MoneyField().clean("1,250")


def test_hours_may_have_their_thousands_parted_where_there_are_so_many():
    assert HoursField(most=Decimal(2000)).clean("1 020,5") == Decimal("1020.5")
    with pytest.raises(ValidationError, match="at most 24 hours"):
        HoursField().clean("1 020")
    with pytest.raises(ValidationError, match="cannot be read as hours"):
        HoursField(most=Decimal(2000)).clean("10 20")


@pytest.mark.parametrize("typed", ["12 5", "1 25", "1 2500", "0 125", "1020 300"])
def test_an_amount_with_a_space_that_parts_no_thousands_is_given_back(typed):
    """Closed up it would be another amount, ten times as much and more."""
    with pytest.raises(ValidationError, match="does not part thousands"):
        MoneyField().clean(typed)


@pytest.mark.parametrize(
    "typed", ["1_000", "€ 12", "٧", ".", "12 x", "-5", "ten", "1e9", "inf", "12.3.4", "10000000", "1,25,0.00"]
)
def test_amounts_that_cannot_be_are_refused_in_words(typed):
    with pytest.raises(ValidationError):
        MoneyField().clean(typed)


@given(
    st.decimals(min_value=0, max_value=9_999_999, places=2),
    st.sampled_from(sorted(MONEY_STYLES)),
    st.sampled_from(["$", "€", "CHF", "zł", "A$"]),
)
def test_what_the_shop_writes_of_money_it_reads_back_whichever_way_it_writes(amount, style, symbol):
    field = MoneyField(symbol=symbol, style=style)
    assert field.clean(money(amount, symbol, 2, style)) == amount
    assert field.clean(field.prepare_value(amount)) == amount


@pytest.mark.parametrize(
    ("style", "typed", "amount"),
    [
        ("sign-comma", "$1,049", "1049"), ("sign-comma", "1,049,000", "1049000"), ("sign-comma", "1049.29", "1049.29"),
        ("dot-sign", "1.049", "1049"), ("dot-sign", "1.049,29 $", "1049.29"), ("dot-sign", "1049.29", "1049.29"),
        ("space-comma-sign", "1,049", "1.049"), ("sign-apostrophe", "1'049.29", "1049.29"),
    ],
)  # fmt: skip
def test_a_mark_is_read_as_the_shop_writes_it(style, typed, amount):
    assert MoneyField(symbol="$", style=style).clean(typed) == Decimal(amount)


@pytest.mark.parametrize(("style", "typed"), [("sign-apostrophe", "1,049"), ("space-comma-sign", "1.049")])
def test_a_mark_that_the_shop_does_not_write_is_asked_about(style, typed):
    with pytest.raises(ValidationError, match="two ways"):
        MoneyField(style=style).clean(typed)
