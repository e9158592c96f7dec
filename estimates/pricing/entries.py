"""What a price is made from: hours, metal, purchases and discounts, each with its figures."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar, Literal

from estimates.pricing.money import Currency, Unpriceable, check_money, check_percent, format_money
from shop.figures import POUND_KG, mass
from shop.lengths import Units

Level = Literal["p50", "priced", "p80"]
LEVELS: tuple[Level, ...] = ("p50", "priced", "p80")

MOST_HOURS = Decimal(10_000)  # five years of one person: more is a slip of the finger


@dataclass(frozen=True, slots=True, kw_only=True)
class Override:
    """The owner's own figure for a line, with the reason: its price as the customer sees it, or its hours."""

    reason: str
    price: Decimal | None = None
    hours: Decimal | None = None

    def __post_init__(self) -> None:
        if not self.reason.strip():
            raise Unpriceable("reason", "Say why this line is changed.")
        if (self.price is None) == (self.hours is None):
            raise Unpriceable("override", "Change either the price or the hours of a line.")
        if self.price is not None:
            check_money("price", self.price)
        if self.hours is not None:
            _check_hours("hours", self.hours)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing to be paid for.

    ``part`` is what the customer reads it under, such as the panel's name. ``option`` names the choice it belongs
    to; empty means it always counts.
    """

    kind: ClassVar[str]
    key: str
    name: str
    part: str = ""
    option: str = ""
    override: Override | None = None

    def cost(self, level: Level) -> Decimal:
        """Return the direct cost, not rounded."""
        raise NotImplementedError

    def figures(self, currency: Currency) -> str:
        """Say in one phrase what the cost is made of."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True, kw_only=True)
class Labour(Entry):
    """Hours of one stage at the rate that held on the quote's date.

    The three hours are the stage's share of the job's middle (P50), of the shop's confidence and of P80; see
    :func:`estimates.pricing.shares.share_hours`, because stages' own high ends do not add up to the job's.
    """

    kind: ClassVar[str] = "labour"
    stage: str
    hours_p50: Decimal
    hours_priced: Decimal
    hours_p80: Decimal
    per_hour: Decimal

    def __post_init__(self) -> None:
        for field in ("hours_p50", "hours_priced", "hours_p80"):
            _check_hours(field, getattr(self, field))
        check_money("per_hour", self.per_hour)

    def hours(self, level: Level) -> Decimal:
        """Return the hours at a level; the owner's own hours hold at every level."""
        if self.override and self.override.hours is not None:
            return self.override.hours
        return {"p50": self.hours_p50, "priced": self.hours_priced, "p80": self.hours_p80}[level]

    def cost(self, level: Level) -> Decimal:
        return self.hours(level) * self.per_hour

    def figures(self, currency: Currency) -> str:
        return f"{self.hours('priced'):f} h at {format_money(self.per_hour, currency)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeSheets(Entry):
    """Metal bought for the job by the sheet; what is left over is the customer's cost too."""

    kind: ClassVar[str] = "whole_sheets"
    count: int
    cost_each: Decimal

    def __post_init__(self) -> None:
        if not 1 <= self.count <= 1000:
            raise Unpriceable("count", f"{self.count} sheets do not fit. Write 1 to 1000.")
        check_money("cost_each", self.cost_each)

    def cost(self, level: Level) -> Decimal:
        return self.count * self.cost_each

    def figures(self, currency: Currency) -> str:
        sheets = "1 sheet" if self.count == 1 else f"{self.count} sheets"
        return f"{sheets} at {format_money(self.cost_each, currency)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class PartOfSheet(Entry):
    """Metal out of one sheet, by the share of its area that the blanks take."""

    kind: ClassVar[str] = "part_of_sheet"
    used_mm2: Decimal
    sheet_mm2: Decimal
    sheet_cost: Decimal

    def __post_init__(self) -> None:
        check_money("sheet_cost", self.sheet_cost)
        if not (self.used_mm2.is_finite() and self.sheet_mm2.is_finite() and self.used_mm2 > 0):
            raise Unpriceable("used_mm2", "A part of a sheet needs an area above nought.")
        if self.used_mm2 > self.sheet_mm2:
            raise Unpriceable(
                "used_mm2", "The blanks are larger than the sheet. Take more sheets or a larger one."
            )

    def cost(self, level: Level) -> Decimal:
        return self.sheet_cost * self.used_mm2 / self.sheet_mm2

    def figures(self, currency: Currency) -> str:
        share = self.used_mm2 / self.sheet_mm2 * 100
        return f"{share:.0f} % of a sheet at {format_money(self.sheet_cost, currency)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class ByMass(Entry):
    """Metal by the kilogram, or by the pound."""

    kind: ClassVar[str] = "by_mass"
    mass_kg: Decimal
    price_per_kg: Decimal
    units: Units = "mm"

    def __post_init__(self) -> None:
        check_money("mass_kg", self.mass_kg)
        check_money("price_per_kg", self.price_per_kg)

    def cost(self, level: Level) -> Decimal:
        return self.mass_kg * self.price_per_kg

    def figures(self, currency: Currency) -> str:
        """In pounds where the shop works in inches: what a pound costs is rounded for reading only."""
        price = self.price_per_kg * POUND_KG if self.units == "in" else self.price_per_kg
        return f"{mass(self.mass_kg, self.units)} at {format_money(price, currency)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase(Entry):
    """Something bought for the job, by number and price."""

    quantity: Decimal = Decimal(1)
    cost_each: Decimal

    def __post_init__(self) -> None:
        check_money("quantity", self.quantity)
        check_money("cost_each", self.cost_each)

    def cost(self, level: Level) -> Decimal:
        return self.quantity * self.cost_each

    def figures(self, currency: Currency) -> str:
        return f"{self.quantity:f} at {format_money(self.cost_each, currency)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumable(Purchase):
    """Rod, gas, discs, paint for lines: used up at the bench.

    Where it grows with the hours, ``quantity_p50`` and ``quantity_p80`` are what it comes to at those; without them
    ``quantity`` holds at every level.
    """

    kind: ClassVar[str] = "consumable"
    quantity_p50: Decimal | None = None
    quantity_p80: Decimal | None = None

    def __post_init__(self) -> None:
        Purchase.__post_init__(self)  # a class with slots is made twice: super() would mean the first one
        for field in ("quantity_p50", "quantity_p80"):
            if (quantity := getattr(self, field)) is not None:
                check_money(field, quantity)

    def cost(self, level: Level) -> Decimal:
        at = {"p50": self.quantity_p50, "priced": self.quantity, "p80": self.quantity_p80}[level]
        return (self.quantity if at is None else at) * self.cost_each


@dataclass(frozen=True, slots=True, kw_only=True)
class BoughtIn(Purchase):
    """Work or parts from outside: plating, laser cutting, hinges."""

    kind: ClassVar[str] = "bought_in"


@dataclass(frozen=True, slots=True, kw_only=True)
class Discount:
    """Something taken off, with the reason: a percentage of what stands before it, or an amount.

    An amount is in the customer's terms: with tax where prices include it, without where it goes on top.
    """

    kind: ClassVar[str] = "discount"
    key: str
    reason: str
    percent: Decimal | None = None
    amount: Decimal | None = None

    def __post_init__(self) -> None:
        if not self.reason.strip():
            raise Unpriceable("reason", "Say what the discount is for.")
        if (self.percent is None) == (self.amount is None):
            raise Unpriceable("discount", "Write a discount as a percentage or as an amount.")
        if self.amount is not None:
            check_money("amount", self.amount)
        if self.percent is not None:
            check_percent("percent", self.percent)
            if self.percent > 100:
                raise Unpriceable("percent", f"{self.percent} % is more than the whole. Write 0 to 100.")


def _check_hours(field: str, hours: Decimal) -> None:
    if not isinstance(hours, Decimal):
        raise TypeError(f"{field} must be a Decimal, not {type(hours).__name__}.")
    if not hours.is_finite() or not 0 <= hours <= MOST_HOURS:
        raise Unpriceable(field, f"{hours} h does not fit. Write 0 to {MOST_HOURS} hours.")
