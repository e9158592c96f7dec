"""What a job has cost so far, line by line, so that an owner can follow every figure.

Labour counts each hour at the rate of its stage that held on the day it was worked. Hours from before the first
rate count at that first rate: a shop had its costs before it had this book. A stage without any rate costs nothing
and is named. Metal is what was cut. Consumables, overhead and bought-in work are those of the accepted
quotes, so that a rate changed later does not change what a job cost; without a quote they are the shop's of today.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.utils import timezone

from estimates.models import Quote
from estimates.pricing.entries import BoughtIn
from estimates.pricing.money import round_money
from estimates.pricing.price import Priced
from estimates.quoting.figures import currency_of, read_price
from estimates.work.standing import NOTHING
from jobs.models import Job, TimeEntry
from jobs.standing_of_stage import metal_cost
from jobs.time_entries import hours_between
from shop.models import LabourRate, Shop

HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True)
class Agreed:
    """An accepted quote with the options taken."""

    quote: Quote
    priced: Priced


@dataclass(frozen=True, slots=True)
class JobCost:
    """Cost so far: labour by stage, and all that comes to it."""

    labour_by_stage: dict[int, Decimal]
    metal_by_panel: dict[int, Decimal]
    hours: Decimal
    consumables: Decimal
    bought_in: Decimal
    overhead: Decimal
    overhead_percent: Decimal
    consumables_per_hour: Decimal
    unrated: tuple[str, ...]

    @property
    def labour(self) -> Decimal:
        return sum(self.labour_by_stage.values(), NOTHING)

    @property
    def metal(self) -> Decimal:
        return sum(self.metal_by_panel.values(), NOTHING)

    @property
    def total(self) -> Decimal:
        return self.labour + self.metal + self.consumables + self.bought_in + self.overhead


class Rates:
    """Labour rates by stage kind and day, asked of the book once."""

    def __init__(self) -> None:
        self._held: dict[int, list[tuple[date, Decimal]]] = {}
        for rate in LabourRate.objects.order_by("stage_kind", "holds_from"):
            self._held.setdefault(rate.stage_kind_id, []).append((rate.holds_from, rate.per_hour))

    def on(self, kind_id: int, day: date) -> Decimal | None:
        """The rate of a stage on a day, its first one before that, or nothing where it has none at all."""
        rates = self._held.get(kind_id)
        if not rates:
            return None
        held = [per_hour for since, per_hour in rates if since <= day]
        return held[-1] if held else rates[0][1]


def agreed_quotes(job: Job) -> list[Agreed]:
    """The accepted quotes of a job, first one first, in one query."""
    quotes = job.quotes.filter(state=Quote.State.ACCEPTED).select_related("answer").order_by("revision")
    return [Agreed(quote, read_price(quote.frozen, quote.answer.options_taken)) for quote in quotes]


def cost_of(job: Job, agreed: Iterable[Agreed], shop: Shop, rates: Rates | None = None) -> JobCost:
    """Add up what a job has cost, clocks that run counted up to now."""
    agreed, rates, currency = list(agreed), rates or Rates(), currency_of(shop)
    labour, hours, unrated = _labour(job, rates)
    labour = {stage: round_money(amount, currency) for stage, amount in labour.items()}
    per_hour, percent = _terms(agreed, shop)
    metal = metal_cost(job.panels.all())
    consumables = round_money(hours * per_hour, currency)
    bought_in = sum((_bought_in(each.priced) for each in agreed), NOTHING)
    direct = sum(labour.values(), NOTHING) + sum(metal.values(), NOTHING) + consumables + bought_in
    return JobCost(
        labour_by_stage=labour, metal_by_panel=metal, hours=hours, consumables=consumables, bought_in=bought_in,
        overhead=round_money(direct * percent / HUNDRED, currency), overhead_percent=percent,
        consumables_per_hour=per_hour, unrated=tuple(sorted(unrated)),
    )  # fmt: skip


def net_price(agreed: Iterable[Agreed]) -> Decimal:
    """What the customer has agreed to pay without tax: every accepted quote with the options taken."""
    return sum((each.priced.total.net for each in agreed), NOTHING)


def _labour(job: Job, rates: Rates) -> tuple[dict[int, Decimal], Decimal, set[str]]:
    entries = TimeEntry.objects.filter(stage__panel__job=job).order_by("pk")
    rows = entries.values_list("stage", "stage__kind", "stage__kind__name", "started_at", "hours")
    labour: dict[int, Decimal] = {}
    total, unrated, now = NOTHING, set(), timezone.now()
    for stage, kind, name, started_at, booked in rows:
        hours = max(hours_between(started_at, now), NOTHING) if booked is None else booked
        per_hour = rates.on(kind, _day(started_at))
        if per_hour is None and hours:
            unrated.add(name)
        labour[stage] = labour.get(stage, NOTHING) + hours * (per_hour or NOTHING)
        total += hours
    return labour, total, unrated


def _day(moment: datetime) -> date:
    return timezone.localtime(moment).date()


def _terms(agreed: list[Agreed], shop: Shop) -> tuple[Decimal, Decimal]:
    """Consumables an hour and overhead in per cent: those of the first accepted quote, or the shop's of today."""
    if not agreed:
        return shop.consumables_per_hour, shop.overhead_percent
    held = agreed[0].quote.frozen["shop"]
    return Decimal(held["consumables_per_hour"]), Decimal(held["overhead_percent"])


def _bought_in(priced: Priced) -> Decimal:
    """Bought-in work as it was quoted: the book does not hold the bills for it."""
    return sum((line.priced.cost for line in priced.counted if line.kind == BoughtIn.kind), NOTHING)
