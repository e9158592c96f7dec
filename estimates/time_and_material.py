"""Jobs charged by time and material: hours worked and metal cut, at the rates of the quotes that were accepted.

What a panel's hours and metal come to follows the first accepted quote that has the panel on it, and the first quote of
all where none has. A stage that the quote did not have counts at the shop's rate of the day the quote was made. Gas, rod
and discs go by the hour, bought-in work stands as it was quoted (the book does not hold the bills for it), and a clock
that still runs is not in yet.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Sum

from estimates.models import Quote
from estimates.pricing.billing import Bill, Charge, bill, cost_charged, hours_charged
from estimates.pricing.entries import BoughtIn
from estimates.pricing.inputs import Terms
from estimates.pricing.money import ZERO
from estimates.pricing.price import Priced
from estimates.quoting.by_hours import CONSUMABLES
from estimates.quoting.figures import read_price
from estimates.work.cost import Rates
from jobs.models import Job, MaterialUse, TimeEntry
from shop.figures import mass
from shop.gauges import sold_as
from shop.lengths import format_length

NO_RATE = "no rate was agreed"


@dataclass(frozen=True, slots=True)
class Worked:
    """Hours of one stage of one panel."""

    panel: int
    position: int
    panel_name: str
    kind: int
    kind_name: str
    hours: Decimal


def bills_of(job: Job, quotes: Sequence[Quote]) -> tuple[Bill, ...]:
    """What is owed so far, a bill for each of the accepted ``quotes``; none without a quote, for want of rates.

    Two queries, and one more where a quote did not have a stage that was worked on.
    """
    if not quotes:
        return ()
    worked, pieces = list(_worked(job)), list(_pieces(job))
    by_quote = _quotes_of_panels(quotes)
    first = quotes[0].pk
    return tuple(
        _bill(
            quote,
            [one for one in worked if by_quote.get(one.panel, first) == quote.pk],
            [one for one in pieces if by_quote.get(one.panel_id, first) == quote.pk],
        )
        for quote in quotes
    )


def unpriced_hours(job: Job) -> list[Worked]:
    """The hours of a job whose quote is not accepted yet: they can be listed, not charged."""
    return list(_worked(job))


def pieces_of(job: Job) -> list[MaterialUse]:
    """The metal cut for a job, in the order in which it was."""
    return list(_pieces(job))


def metal_words(use: MaterialUse, units) -> tuple[str, str]:
    """What a piece of metal is, and how large for which panel."""
    size = f"{format_length(use.length_mm, units, False)} × {format_length(use.width_mm, units)}"
    name = f"{use.sheet.metal} {sold_as(use.sheet.thickness_mm, use.sheet.metal.family, units)}"
    return name, f"{size}, {mass(use.mass_kg, units)}, for {use.panel.name}"


def _worked(job: Job) -> Iterator[Worked]:
    entries = TimeEntry.objects.filter(stage__panel__job=job, hours__gt=0)
    rows = entries.values_list(
        "stage__panel", "stage__panel__position", "stage__panel__name", "stage__kind", "stage__kind__name"
    )
    for row in rows.annotate(sum=Sum("hours")).order_by("stage__panel__position", "stage__kind__position"):
        yield Worked(*row)


def _pieces(job: Job):
    return (
        MaterialUse.objects.filter(panel__job=job)
        .select_related("sheet__metal", "panel")
        .order_by("at", "pk")
    )


def _quotes_of_panels(quotes: Sequence[Quote]) -> dict[int, int]:
    """The quote by whose rates each panel goes: the first that has it."""
    found: dict[int, int] = {}
    for quote in quotes:
        for panel in quote.frozen["panels"]:
            found.setdefault(panel["pk"], quote.pk)
    return found


def _bill(quote: Quote, worked: Sequence[Worked], pieces: Sequence[MaterialUse]) -> Bill:
    priced = read_price(quote.frozen, quote.answer.options_taken)
    terms, units = priced.inputs.terms, quote.frozen["shop"]["units"]
    rates = AgreedRates(quote)
    hours = [_hours(one, rates, terms) for one in worked]
    metal = [cost_charged(*metal_words(use, units), use.cost, terms) for use in pieces]
    return bill(terms, hours, metal, list(_others(quote, priced, hours, terms)), priced.inputs.discounts)


def _hours(one: Worked, rates: "AgreedRates", terms: Terms) -> Charge:
    name = f"{one.position}. {one.panel_name}"
    per_hour = rates.of(one.panel, one.kind)
    if per_hour is None:
        return Charge(name, f"{one.kind_name}, {NO_RATE}", ZERO, one.hours)
    return hours_charged(name, one.kind_name, one.hours, per_hour, terms)


def _others(quote: Quote, priced: Priced, hours: Sequence[Charge], terms: Terms) -> Iterator[Charge]:
    """What goes by the hour beside the work, and what was bought in."""
    per_hour = Decimal(quote.frozen["shop"]["consumables_per_hour"])
    whole = sum((row.quantity or ZERO for row in hours), ZERO)
    if per_hour and whole:
        yield hours_charged(CONSUMABLES, "", whole, per_hour, terms)
    for line in priced.counted:
        if line.kind == BoughtIn.kind:
            shown = line.priced.gross if terms.tax_included else line.priced.net
            yield Charge(line.name, "as quoted", shown)


class AgreedRates:
    """What an hour of each stage costs the shop, as a sent quote keeps it."""

    def __init__(self, quote: Quote) -> None:
        self._quote = quote
        self._by_panel: dict[tuple[int, int], Decimal] = {}
        self._by_kind: dict[int, Decimal] = {}
        self._shops: Rates | None = None
        for panel in quote.frozen["panels"]:
            for stage in panel["stages"]:
                if stage["per_hour"] is not None:
                    per_hour = Decimal(stage["per_hour"])
                    self._by_panel[panel["pk"], stage["kind"]] = per_hour
                    self._by_kind.setdefault(stage["kind"], per_hour)

    def of(self, panel: int, kind: int) -> Decimal | None:
        """The rate of a stage of a panel; nothing where the shop has none for such a stage at all."""
        held = self._by_panel.get((panel, kind), self._by_kind.get(kind))
        if held is not None:
            return held
        self._shops = self._shops or Rates()
        return self._shops.on(kind, self._quote.made_on)
