"""What a quote says where its job is charged by time and material: at which rates, and that its total is an estimate."""

from collections.abc import Callable
from decimal import Decimal

from estimates.pricing.inputs import Terms
from estimates.pricing.price import shown_price

CONSUMABLES = "Gas, rod, discs and dye"


def hourly_charges(frozen: dict, terms: Terms) -> dict[str, Decimal]:
    """What the customer is charged for an hour of each stage, by the stage's name, in the order of the stages."""
    found: dict[str, Decimal] = {}
    for panel in frozen["panels"]:
        for stage in panel["stages"]:
            if stage["per_hour"] is not None:
                found.setdefault(stage["name"], shown_price(Decimal(stage["per_hour"]), terms))
    return found


def by_hours_words(frozen: dict, terms: Terms, money: Callable[[Decimal], str]) -> str:
    """The sentences under the total; nothing where the price is agreed. A quote sent before these were kept has none."""
    if not frozen.get("time_and_material"):
        return ""
    said = ["Charged by time and material: the total is an estimate, and what you pay follows from the work."]
    if rates := _rates(hourly_charges(frozen, terms), money):
        consumables = Decimal(frozen["shop"]["consumables_per_hour"])
        with_it = f", with {money(shown_price(consumables, terms))} an hour for {CONSUMABLES.lower()}"
        tax = f", {'with' if terms.tax_included else 'without'} {terms.tax_name}" if terms.tax_percent else ""
        said.append(f"Hours count at {rates}{with_it if consumables else ''}{tax}.")
    said.append("Metal counts by what is cut of it.")
    return " ".join(said)


def _rates(charges: dict[str, Decimal], money: Callable[[Decimal], str]) -> str:
    """One rate where all stages have the same, else each stage with its own."""
    if len(set(charges.values())) == 1:
        return money(next(iter(charges.values())))
    return ", ".join(f"{money(amount)} for {name.lower()}" for name, amount in charges.items())
