"""All that a price is made from: the shop's standing terms, the entries, and the options taken."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimates.pricing.entries import Discount, Entry
from estimates.pricing.money import ZERO, Currency, Unpriceable, check_percent


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """The shop's standing figures on the quote's date. Percentages are plain: 20 means 20 %."""

    currency: Currency
    on: date
    overhead_percent: Decimal = ZERO
    margin_percent: Decimal = ZERO
    tax_name: str = "Tax"
    tax_percent: Decimal = ZERO
    tax_included: bool = False
    deposit_percent: Decimal = ZERO
    confidence: Decimal = Decimal("0.80")

    def __post_init__(self) -> None:
        check_percent("overhead_percent", self.overhead_percent)
        check_percent("margin_percent", self.margin_percent, below=Decimal(100))
        check_percent("tax_percent", self.tax_percent)
        check_percent("deposit_percent", self.deposit_percent)
        if self.deposit_percent > 100:
            raise Unpriceable("deposit_percent", "A deposit is at most 100 % of the price.")
        if not (self.confidence.is_finite() and 0 < self.confidence < 1):
            raise Unpriceable("confidence", "A confidence lies between 0 and 1, such as 0.80.")

    @property
    def tax_rate(self) -> Decimal:
        """Tax as a fraction of the net price."""
        return self.tax_percent / 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Inputs:
    """All that a price is made from. ``taken`` names the options that count at present."""

    terms: Terms
    entries: tuple[Entry, ...] = ()
    discounts: tuple[Discount, ...] = ()
    taken: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        keys = [entry.key for entry in self.entries] + [discount.key for discount in self.discounts]
        twice = sorted({key for key in keys if keys.count(key) > 1})
        if twice:
            raise Unpriceable("key", f"Two lines are called {twice[0]}.")
        _check_taken(self.taken, {entry.option for entry in self.entries})


def _check_taken(taken: Collection[str], options: Collection[str]) -> None:
    for name in taken:
        if not name or name not in options:
            raise Unpriceable("taken", f"There is no option “{name}” in this quote.")
