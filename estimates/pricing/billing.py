"""What hours and metal come to where a job is charged by them: at the rates of the quote that was accepted.

How an amount comes about::

    an hour     the stage's rate × (1 + overhead) / (1 − margin), rounded: what is charged for an hour
    a row       hours, taken to a hundredth, × what is charged for one, rounded
    metal       its cost × (1 + overhead) / (1 − margin), rounded
    discounts   as agreed, each on what the one before left, and never more than that
    tax         on the sum, by the quote's own terms

Where prices include tax, all of these do. So whoever multiplies and adds up what they read gets what they read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal

from estimates.pricing.entries import Discount
from estimates.pricing.inputs import Terms
from estimates.pricing.money import ZERO, check_money, round_money
from estimates.pricing.price import Amounts, discount_amounts, shown_price, taxed

HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Charge:
    """One row of a bill: what it is, how much of it, what one costs, and the amount in the customer's terms.

    ``each`` is nothing where the row is one thing, such as a piece of metal or work as it was quoted.
    """

    name: str
    words: str
    amount: Decimal
    quantity: Decimal | None = None
    each: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """What is owed by the terms of one quote. Amounts of rows are as the customer reads them."""

    terms: Terms
    hours: tuple[Charge, ...]
    metal: tuple[Charge, ...]
    others: tuple[Charge, ...]
    discounts: tuple[Charge, ...]
    total: Amounts


def hours_charged(name: str, words: str, hours: Decimal, per_hour: Decimal, terms: Terms) -> Charge:
    """Return the row of some hours; ``per_hour`` is what one costs the shop."""
    check_money("hours", hours)
    quantity, each = hours.quantize(HUNDREDTH, ROUND_HALF_UP), shown_price(per_hour, terms)
    return Charge(name, words, round_money(quantity * each, terms.currency), quantity, each)


def cost_charged(name: str, words: str, cost: Decimal, terms: Terms) -> Charge:
    """Return the row of something that cost the shop so much, such as a piece of metal."""
    check_money("cost", cost)
    return Charge(name, words, shown_price(cost, terms))


def bill(
    terms: Terms, hours: Sequence[Charge] = (), metal: Sequence[Charge] = (), others: Sequence[Charge] = (),
    discounts: Sequence[Discount] = (),
) -> Bill:  # fmt: skip
    """Add rows up, take the discounts off, and part the tax.

    >>> from datetime import date
    >>> from estimates.pricing.money import CURRENCIES
    >>> terms = Terms(currency=CURRENCIES["EUR"], on=date(2026, 5, 1), overhead_percent=Decimal(10),
    ...               margin_percent=Decimal(20), tax_percent=Decimal(23))
    >>> row = hours_charged("Fairing", "Layout", Decimal("2.5"), Decimal(40), terms)
    >>> row.each, row.amount, bill(terms, [row]).total.gross
    (Decimal('55.00'), Decimal('137.50'), Decimal('169.13'))
    """
    whole = taxed(sum((row.amount for row in (*hours, *metal, *others)), ZERO), terms)
    off = []
    for discount in discounts:
        taken = discount_amounts(_at_most(discount, whole, terms), whole, terms)
        words = "" if discount.percent is None else f"{discount.percent.normalize():f} %"
        off.append(Charge(discount.reason, words, taken.gross if terms.tax_included else taken.net))
        whole = whole + taken
    return Bill(
        terms=terms, hours=tuple(hours), metal=tuple(metal), others=tuple(others), discounts=tuple(off), total=whole
    )  # fmt: skip


def _at_most(discount: Discount, before: Amounts, terms: Terms) -> Discount:
    """A sum agreed on for the whole job is taken off as far as there is something to take it from."""
    if discount.amount is None:
        return discount
    return replace(discount, amount=min(discount.amount, before.gross if terms.tax_included else before.net))
