"""What was agreed, what was asked for, what came in, and what is still open.

Where a job is charged by time and material, the agreed price is an estimate, and what is owed is its bills so far.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimates.pricing.billing import Bill
from estimates.pricing.money import MOST, ZERO, Currency, Unpriceable, check_money, check_percent, round_money


@dataclass(frozen=True, slots=True)
class Agreed:
    """An accepted quote: its name, its gross price and the deposit it asks for."""

    name: str
    gross: Decimal
    deposit: Decimal = ZERO

    def __post_init__(self) -> None:
        check_money("gross", self.gross)
        check_money("deposit", self.deposit)
        if self.deposit > self.gross:
            raise Unpriceable("deposit", "The deposit is more than the price.")


@dataclass(frozen=True, slots=True)
class Payment:
    """Money that came in; a negative amount was paid back."""

    on: date
    amount: Decimal
    note: str = ""

    def __post_init__(self) -> None:
        check_money("amount", self.amount, least=-MOST)


@dataclass(frozen=True, slots=True)
class Statement:
    """The account of one job. Amounts are gross; a negative balance is the customer's credit.

    ``bills`` are those of a job charged by time and material, one a quote; nothing where its price was agreed.
    """

    agreed: tuple[Agreed, ...]
    payments: tuple[Payment, ...]
    bills: tuple[Bill, ...] | None = None

    @property
    def price(self) -> Decimal:
        """The sum of all accepted quotes."""
        return sum((quote.gross for quote in self.agreed), ZERO)

    @property
    def owed(self) -> Decimal:
        """What there is to pay: the price agreed, or by time and material what has come together so far."""
        return self.price if self.bills is None else sum((each.total.gross for each in self.bills), ZERO)

    @property
    def charged(self) -> Decimal | None:
        """What the bills come to without tax; nothing where the price was agreed."""
        return None if self.bills is None else sum((each.total.net for each in self.bills), ZERO)

    @property
    def deposit_asked(self) -> Decimal:
        """The sum of the deposits they ask for."""
        return sum((quote.deposit for quote in self.agreed), ZERO)

    @property
    def received(self) -> Decimal:
        """What came in, less what was paid back."""
        return sum((payment.amount for payment in self.payments), ZERO)

    @property
    def deposit_open(self) -> Decimal:
        """What is still missing from the deposits asked for; nought once they are in."""
        return max(ZERO, self.deposit_asked - self.received)

    @property
    def balance(self) -> Decimal:
        """What is still to be paid."""
        return self.owed - self.received


@dataclass(frozen=True, slots=True)
class Instalment:
    """One part of a payment plan: when it falls due, in words, and how much."""

    when: str
    amount: Decimal


def statement(
    agreed: Sequence[Agreed], payments: Sequence[Payment], bills: Sequence[Bill] | None = None
) -> Statement:
    """Draw up the account of a job; payments in order of their dates."""
    in_order = sorted(payments, key=lambda payment: payment.on)
    return Statement(tuple(agreed), tuple(in_order), None if bills is None else tuple(bills))


def payment_plan(
    gross: Decimal, parts: Sequence[tuple[str, Decimal]], last: str, currency: Currency
) -> tuple[Instalment, ...]:
    """Split a price into parts that add up to it.

    Parameters
    ----------
    gross
        The price.
    parts
        When and how many per cent, such as ``("on acceptance", Decimal(30))``.
    last
        When the rest is due; it takes whatever rounding leaves.

    Raises :class:`Unpriceable` where the parts come to more than the whole.
    """
    check_money("gross", gross)
    for _when, percent in parts:
        check_percent("percent", percent)
    if sum((percent for _when, percent in parts), ZERO) > 100:
        raise Unpriceable("percent", "The parts come to more than 100 % of the price.")
    plan, open_amount = [], gross
    for when, percent in parts:
        # Halves of several parts may all round up: never ask for more than is still open.
        amount = min(round_money(gross * percent / 100, currency), open_amount)
        plan.append(Instalment(when, amount))
        open_amount -= amount
    return (*plan, Instalment(last, open_amount))
