"""What an hour costs, by stage and by date."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimates.pricing.money import Unpriceable, check_money


@dataclass(frozen=True, slots=True)
class Rate:
    """What one hour of a stage costs the shop from a day on, until a later rate of the same stage."""

    stage: str
    per_hour: Decimal
    holds_from: date

    def __post_init__(self) -> None:
        check_money("per_hour", self.per_hour)


def rate_on(rates: Iterable[Rate], stage: str, day: date) -> Rate:
    """Return the rate of a stage that held on a day: the latest that began on or before it.

    Raises :class:`Unpriceable` where none had begun.
    """
    begun = [rate for rate in rates if rate.stage == stage and rate.holds_from <= day]
    if not begun:
        raise Unpriceable("rate", f"There is no hourly rate for {stage} on {day:%Y-%m-%d}. Enter one first.")
    return max(begun, key=lambda rate: rate.holds_from)
