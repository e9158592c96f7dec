"""What one panel, or a pair, adds to a quote: hours and money by the quote's own rules, before anything is saved."""

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimates import hours
from estimates.learning import hours_of
from estimates.models import Quote
from estimates.pricing.inputs import Inputs
from estimates.pricing.money import ZERO
from estimates.pricing.price import Amounts, Level, Line, Priced, price
from estimates.quoting.entries import (
    HIGH,
    PanelFigures,
    SharedHours,
    StageFigures,
    entries_of,
    panel_key,
    terms_of,
)
from jobs.models import Panel
from shop.models import LabourRate, SheetStock, Shop, StageKind


@dataclass(frozen=True, slots=True)
class StageRange:
    """Hours of one stage over all hands, and the panels they were learned from.

    ``by_owner`` are hours that only the owner's word stands behind; ``unsaid`` that not even that does.
    """

    kind: StageKind
    low: float
    high: float
    n_past: int
    by_owner: bool
    unsaid: bool = False


@dataclass(frozen=True, slots=True)
class PanelRange:
    """Hours of a panel or a pair: each stage and the whole, which is less than the stages' high ends together."""

    hands: tuple[Panel, ...]
    hours: tuple[hours.PanelHours, ...]
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
    without_hours: tuple[str, ...] = ()


def panel_hours(panel: Panel, count: int, model: hours.Model, kinds: list[StageKind]) -> PanelRange:
    """The hours of ``count`` hands of a panel whose figures are worked out, saved or not.

    Raises ``hours.UnusableDrivers`` where the panel is past anything that hours can be told for.
    """
    hands = tuple(_hands(panel, count))
    each = tuple(hours_of(hand, model, kinds) for hand in hands)
    stages = tuple(_stage(kind, each, model) for kind in kinds if kind.slug in each[0].stages)
    return PanelRange(hands, each, stages, hours.job_total(each))


def _hands(panel: Panel, count: int) -> list[Panel]:
    """The panel, and as its second hand a copy; both under keys of their own, since neither may be stored yet."""
    hands = [copy(panel) for _ in range(count)]
    for number, hand in enumerate(hands, start=1):
        hand.pk = -number
    if count > 1:
        hands[1].mirrors_id = hands[0].pk
    return hands


def _stage(kind: StageKind, hands: Sequence[hours.PanelHours], model: hours.Model) -> StageRange:
    each = [hand.stages[kind.slug] for hand in hands]
    whole = hours.job_total([hours.PanelHours({kind.slug: one}, one, model.correlation) for one in each])
    own = kind.driver == StageKind.Driver.FIXED
    first = each[0]
    by_owner = own and not first.n_past and not first.unsaid
    return StageRange(kind, whole.p50, whole.p80, first.n_past, by_owner, first.unsaid)


def panel_price(
    work: PanelRange,
    sheet: SheetStock | None,
    rates: Mapping[int, LabourRate],
    shop: Shop,
    on: date,
) -> PanelPrice:
    """What these hands add to a quote made on a day. Raises ``Unpriceable`` where no shop's price holds it."""
    figures = tuple(_figures(number, hand, sheet, work, rates) for number, hand in enumerate(work.hands))
    shares = SharedHours(figures, work.total)
    entries = entries_of(figures, (), {}, shares, HIGH, shop)
    priced = price(Inputs(terms=terms_of(Quote(confidence=HIGH), shop, on), entries=tuple(entries)))
    low, high = (_shown(amounts, shop) for amounts in (priced.low, priced.high))
    unrated = tuple(s.kind.name for s in work.stages if s.kind.pk not in rates and s.high > 0)
    unsaid = tuple(s.kind.name for s in work.stages if s.unsaid)
    return PanelPrice(_rows(priced, shop), low, high, shop.prices_include_tax, shop.tax_name, unrated, unsaid)


def _figures(
    number: int, hand: Panel, sheet: SheetStock | None, work: PanelRange, rates: Mapping[int, LabourRate]
) -> PanelFigures:
    """One hand as a quote knows its panels, without anything of the owner's own."""
    worked_out = work.hours[number]
    stages = tuple(
        StageFigures(panel_key(hand, kind.slug), kind, own, own, None, rates.get(kind.pk))
        for kind in (stage.kind for stage in work.stages)
        if (own := worked_out.stages.get(kind.slug)) is not None
    )
    return PanelFigures(hand, str(number), stages, worked_out, sheet)


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
