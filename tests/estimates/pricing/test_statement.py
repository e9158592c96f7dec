"""Deposit asked, received, balance; and plans that add up."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimates.pricing.money import CURRENCIES, Unpriceable
from estimates.pricing.statement import Agreed, Payment, payment_plan, statement

D = Decimal
EUR = CURRENCIES["EUR"]
FIRST = Agreed("Quote 2026-014, revision 2", D("990.00"), D("396.00"))
FURTHER = Agreed("Further quote 2026-014 A", D("120.00"), D("48.00"))


def test_a_new_job_owes_its_deposit() -> None:
    account = statement([FIRST], [])
    assert (account.price, account.deposit_asked, account.deposit_open) == (D(990), D(396), D(396))
    assert (account.received, account.balance) == (0, D(990))


def test_a_further_quote_joins_the_account() -> None:
    account = statement([FIRST, FURTHER], [Payment(date(2026, 3, 9), D(396))])
    assert (account.price, account.deposit_open, account.balance) == (D(1110), D(48), D(714))


def test_paying_too_much_leaves_a_credit_and_paying_back_clears_it() -> None:
    paid = [Payment(date(2026, 4, 1), D(1000)), Payment(date(2026, 3, 1), D(100))]
    account = statement([FIRST], paid)
    assert (account.balance, account.deposit_open) == (D(-110), 0)
    assert [payment.on.month for payment in account.payments] == [3, 4]
    assert statement([FIRST], [*paid, Payment(date(2026, 4, 9), D(-110), "paid back")]).balance == 0


def test_a_deposit_above_the_price_is_refused() -> None:
    with pytest.raises(Unpriceable, match="more than the price"):
        Agreed("Quote", D(100), D(101))
    with pytest.raises(Unpriceable):
        Payment(date(2026, 1, 1), D("NaN"))


def test_a_plan_in_three_parts() -> None:
    plan = payment_plan(
        D("1000.01"), [("on acceptance", D("33.3")), ("when formed", D("33.3"))], "on collection", EUR
    )
    assert [(part.when, part.amount) for part in plan] == [
        ("on acceptance", D("333.00")),
        ("when formed", D("333.00")),
        ("on collection", D("334.01")),
    ]


@given(st.decimals(0, 10**6, places=2), st.lists(st.decimals(0, 50, places=1), max_size=6))
def test_a_plan_adds_up_or_is_refused(gross: Decimal, percents: list[Decimal]) -> None:
    parts = [(f"part {n}", percent) for n, percent in enumerate(percents)]
    if sum(percents) > 100:
        with pytest.raises(Unpriceable):
            payment_plan(gross, parts, "at the end", EUR)
        return
    plan = payment_plan(gross, parts, "at the end", EUR)
    assert sum(part.amount for part in plan) == gross
    assert all(part.amount >= 0 for part in plan)


def test_a_plan_never_asks_for_more_than_is_open() -> None:
    plan = payment_plan(D("0.01"), [("now", D(50)), ("later", D(50))], "at the end", EUR)
    assert [part.amount for part in plan] == [D("0.01"), 0, 0]
