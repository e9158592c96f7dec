"""Bills by time and material: what is read can be multiplied and added up."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.pricing.billing import bill, cost_charged, hours_charged
from estimates.pricing.entries import Discount
from estimates.pricing.inputs import Terms
from estimates.pricing.money import CURRENCIES, Unpriceable

D = Decimal
TERMS = Terms(
    currency=CURRENCIES["EUR"], on=date(2026, 5, 1), overhead_percent=D(8), margin_percent=D(15), tax_name="VAT",
    tax_percent=D(23),
)  # fmt: skip


def test_an_hour_is_charged_with_overhead_and_margin_and_rounded_once():
    """54 x 1.08 / 0.85 = 68.6117...; 2.5 of 68.61 are 171.525, halves away from nought."""
    row = hours_charged("1. Fairing", "Layout", D("2.5"), D(54), TERMS)
    assert (row.quantity, row.each, row.amount) == (D("2.50"), D("68.61"), D("171.53"))


def test_hours_are_charged_as_they_are_read():
    row = hours_charged("Fairing", "Layout", D("2.472"), D(54), TERMS)
    assert (row.quantity, row.amount) == (D("2.47"), D("169.47"))


def test_tax_is_taken_on_the_sum_or_out_of_it():
    rows = [cost_charged("Sheet", "", D(100), TERMS), cost_charged("Sheet", "", D(50), TERMS)]
    assert [row.amount for row in rows] == [D("127.06"), D("63.53")]
    total = bill(TERMS, metal=rows).total
    assert (total.net, total.tax, total.gross) == (D("190.59"), D("43.84"), D("234.43"))
    included = replace(TERMS, tax_included=True)
    row = cost_charged("Sheet", "", D(100), included)
    total = bill(included, metal=[row]).total
    assert row.amount == total.gross == D("156.28")  # 127.0588 x 1.23
    assert (total.net, total.tax) == (D("127.06"), D("29.22"))


def test_discounts_follow_one_another_and_leave_no_less_than_nothing():
    row = cost_charged("Sheet", "", D(100), replace(TERMS, overhead_percent=D(0), margin_percent=D(0)))
    off = [
        Discount(key="a", reason="old friends", percent=D(10)),
        Discount(key="b", reason="late", amount=D(30)),
    ]
    made = bill(TERMS, metal=[row], discounts=off)
    assert [each.amount for each in made.discounts] == [D("-10.00"), D("-30.00")]
    assert made.total.net == D("60.00")
    nothing = bill(TERMS, discounts=off)
    assert nothing.total.gross == 0
    assert [each.amount for each in nothing.discounts] == [0, 0]


def test_hours_that_cannot_be_are_refused():
    with pytest.raises(Unpriceable):
        hours_charged("Fairing", "Layout", D(-1), D(54), TERMS)


@given(
    st.lists(st.tuples(st.decimals(0, 500, places=3), st.decimals(0, 400, places=2)), max_size=8),
    st.decimals(0, 30, places=1), st.booleans(),
)  # fmt: skip
def test_whoever_adds_up_what_is_read_gets_what_is_read(worked, tax_percent, tax_included):
    terms = replace(TERMS, tax_percent=tax_percent, tax_included=tax_included)
    rows = [hours_charged("a", "b", hours, per_hour, terms) for hours, per_hour in worked]
    made = bill(terms, rows)
    assert all(abs(row.quantity * row.each - row.amount) <= D("0.005") for row in rows)
    shown = made.total.gross if tax_included else made.total.net
    assert shown == sum((row.amount for row in rows), D(0))
    assert made.total.net + made.total.tax == made.total.gross
