"""What one panel, or a pair, adds to a quote: hours and money by the quote's own rules, before anything is saved."""

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimates import hours
from estimates.learning import hours_of
from estimates.pricing.entries import Consumable, Entry, Labour
from estimates.pricing.inputs import Inputs, Terms
from estimates.pricing.money import ZERO
from estimates.pricing.price import Amounts, Level, Line, Priced, price
from estimates.pricing.shares import as_hours, share_hours
from estimates.quote_metal import metal_entry
from estimates.quoting import currency_of
from jobs.models import Panel
from shop.models import LabourRate, SheetStock, Shop, StageKind

NOT_SAVED_YET = 0  # the key of a first hand that is not in the book yet


@dataclass(frozen=True, slots=True)
class StageRange:
    """Hours of one stage over all hands, and the panels its rate was learned from."""

    kind: StageKind
    low: float
    high: float
    n_past: int
    by_owner: bool


@dataclass(frozen=True, slots=True)
class PanelRange:
    """Hours of a panel or a pair: each stage and the whole, which is less than the stages' high ends together."""

    hands: tuple[hours.PanelHours, ...]
    stages: tuple[StageRange, ...]
    total: hours.HoursRange


@dataclass(frozen=True, slots=True)
class PriceRow:
    """One row of the price: what it is for, at the middle and at the high end of the hours."""

    name: str
    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class PanelPrice:
    """What the panel comes to, with the rows that add up to it."""

    rows: tuple[PriceRow, ...]
    low: Decimal
    high: Decimal
    with_tax: bool
    tax_name: str
    without_rate: tuple[str, ...]


def panel_hours(panel: Panel, count: int, model: hours.Model, kinds: list[StageKind]) -> PanelRange:
    """The hours of ``count`` hands of a panel whose figures are worked out, saved or not.

    Raises ``hours.UnusableDrivers`` where the panel is past anything that hours can be told for.
    """
    hands = tuple(hours_of(hand, model, kinds) for hand in _hands(panel, count))
    stages = tuple(_stage(kind, hands, model) for kind in kinds if kind.slug in hands[0].stages)
    return PanelRange(hands, stages, hours.job_total(hands))


def _hands(panel: Panel, count: int) -> list[Panel]:
    if count == 1:
        return [panel]
    other = copy(panel)
    other.mirrors_id = panel.pk or NOT_SAVED_YET
    return [panel, other]


def _stage(kind: StageKind, hands: Sequence[hours.PanelHours], model: hours.Model) -> StageRange:
    each = [hand.stages[kind.slug] for hand in hands]
    whole = hours.job_total([hours.PanelHours({kind.slug: one}, one, model.correlation) for one in each])
    by_owner = kind.driver == StageKind.Driver.FIXED
    return StageRange(kind, whole.p50, whole.p80, each[0].n_past, by_owner)


def panel_price(
    panel: Panel,
    work: PanelRange,
    sheet: SheetStock | None,
    rates: Mapping[int, LabourRate],
    shop: Shop,
    on: date,
) -> PanelPrice:
    """What these hands add to a quote made on a day. Raises ``Unpriceable`` where no shop's price holds it."""
    entries = _labour(work, rates)
    for number in range(len(work.hands)):
        spent = sum((entry.hours_priced for entry in entries if entry.part == str(number)), ZERO)
        entries.append(metal_entry(panel, sheet, key=f"metal-{number}", part=str(number), override=None))
        if shop.consumables_per_hour and spent:
            entries.append(_consumables(number, spent, shop))
    priced = price(Inputs(terms=_terms(shop, on), entries=tuple(entries)))
    low, high = (_shown(amounts, shop) for amounts in (priced.low, priced.high))
    unrated = tuple(s.kind.name for s in work.stages if s.kind.pk not in rates and s.high > 0)
    return PanelPrice(_rows(priced, shop), low, high, shop.prices_include_tax, shop.tax_name, unrated)


def _labour(work: PanelRange, rates: Mapping[int, LabourRate]) -> list[Entry]:
    """Each stage's share of the whole's hours at each level, as the quote shares them."""
    kinds = {stage.kind.slug: stage.kind for stage in work.stages}
    each = [
        (number, slug, stage)
        for number, hand in enumerate(work.hands)
        for slug, stage in hand.stages.items()
        if slug in kinds and not stage.is_zero
    ]
    if not each:
        return []
    levels = [
        share_hours(as_hours(work.total.quantile(p)), [as_hours(stage.quantile(p)) for *_, stage in each])
        for p in (0.5, 0.8)
    ]
    return [
        _labour_entry(number, kinds[slug], low, high, rates)
        for (number, slug, _), low, high in zip(each, *levels, strict=True)
    ]


def _labour_entry(
    number: int, kind: StageKind, low: Decimal, high: Decimal, rates: Mapping[int, LabourRate]
) -> Labour:
    rate = rates.get(kind.pk)
    return Labour(
        key=f"{kind.slug}-{number}", name=kind.name, part=str(number), stage=kind.slug, hours_p50=low,
        hours_priced=high, hours_p80=high, per_hour=rate.per_hour if rate else ZERO,
    )  # fmt: skip


def _consumables(number: int, spent: Decimal, shop: Shop) -> Consumable:
    return Consumable(
        key=f"consumables-{number}", name="gas, rod, discs", part=str(number), quantity=spent,
        cost_each=shop.consumables_per_hour,
    )  # fmt: skip


def _terms(shop: Shop, on: date) -> Terms:
    return Terms(
        currency=currency_of(shop), on=on, overhead_percent=shop.overhead_percent, margin_percent=shop.margin_percent,
        tax_name=shop.tax_name, tax_percent=shop.tax_percent, tax_included=shop.prices_include_tax,
    )  # fmt: skip


def _shown(amounts: Amounts, shop: Shop) -> Decimal:
    return amounts.gross if shop.prices_include_tax else amounts.net


ROWS = (("labour", "labour"), ("metal", "part_of_sheet by_mass"), ("gas, rod, discs", "consumable"))


def _rows(priced: Priced, shop: Shop) -> tuple[PriceRow, ...]:
    """Direct costs by kind, then what is put on them; the rows add up to the price."""

    def both(name: str, lines: Sequence[Line], what: str) -> PriceRow:
        def at(level: Level) -> Decimal:
            return sum((getattr(line.at(level), what) for line in lines), ZERO)

        return PriceRow(name, at("p50"), at("p80"))

    rows = [
        both(name, [line for line in priced.lines if line.kind in kinds.split()], "cost")
        for name, kinds in ROWS
    ]
    rows.append(both(f"overhead {_percent(shop.overhead_percent)}", priced.lines, "overhead"))
    rows.append(both(f"margin {_percent(shop.margin_percent)}", priced.lines, "margin"))
    if shop.prices_include_tax:
        rows.append(both(f"{shop.tax_name} {_percent(shop.tax_percent)}", priced.lines, "tax"))
    return tuple(row for row in rows if row.high)


def _percent(percent: Decimal) -> str:
    return f"{percent.normalize():f} %"
