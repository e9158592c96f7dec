"""The lines of a quote: what its hours, metal and purchases are to pricing."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimates import hours
from estimates.models import LineOverride, Quote, QuoteLine
from estimates.pricing.entries import BoughtIn, Consumable, Discount, Entry, Labour, Override
from estimates.pricing.inputs import Inputs, Terms
from estimates.pricing.money import ZERO, Currency, Unpriceable
from estimates.pricing.price import Priced, price
from estimates.pricing.shares import as_hours, share_hours
from estimates.quoting.by_hours import CONSUMABLES
from estimates.quoting.metal import metal_entry
from jobs.models import Panel
from shop.models import LabourRate, SheetStock, Shop, StageKind

MIDDLE = Decimal("0.50")
HIGH = Decimal("0.80")


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a figure is missing or wrong, in words; a quote with one that ``blocks`` cannot be sent.

    ``unpriceable`` says that the lines as they stand make no price, so that some are left out of it.
    """

    text: str
    blocks: bool = True
    unpriceable: bool = False


@dataclass(frozen=True, slots=True)
class StageFigures:
    """One stage of one panel: the hours in force, and those the model worked out."""

    key: str
    kind: StageKind
    hours: hours.StageHours
    worked_out: hours.StageHours
    override: LineOverride | None
    rate: LabourRate | None


@dataclass(frozen=True, slots=True)
class PanelFigures:
    """One panel on the quote. ``part`` is what the customer reads it under; no two panels of a quote share it."""

    panel: Panel
    part: str
    stages: tuple[StageFigures, ...]
    hours: hours.PanelHours
    sheet: SheetStock | None


def panel_key(panel: Panel, what: str) -> str:
    """The key of a worked-out line: ``panel-12:gathering``, ``panel-12:metal``."""
    return f"panel-{panel.pk}:{what}"


def line_key(line: QuoteLine) -> str:
    """The key of a line the owner added, and the name of the option where it is one."""
    return f"line-{line.pk}"


def entries_of(panels, lines, overrides, shares: "SharedHours", confidence: Decimal, shop) -> list[Entry]:
    """Every line of a quote but the discounts: panel by panel, then what the owner added."""
    levels = shares.at(0.5), shares.at(float(confidence)), shares.at(0.8)
    entries = [entry for figures in panels for entry in _panel_entries(figures, levels, overrides, shop)]
    taken = {figures.part for figures in panels}
    return entries + [_bought_in(line, overrides, taken) for line in lines if line.kind != line.Kind.DISCOUNT]


class SharedHours:
    """The job's hours at a confidence, shared out over its stages so that they add up; each level reckoned once."""

    def __init__(self, panels: Sequence[PanelFigures], total: hours.HoursRange):
        self._stages = [stage for figures in panels for stage in figures.stages if not stage.hours.is_zero]
        self._total = total
        self._found: dict[float, dict[str, Decimal]] = {}

    def at(self, level: float) -> dict[str, Decimal]:
        """Hours by the stage's key; a stage with nothing to do has none."""
        if level not in self._found:
            own = [as_hours(stage.hours.quantile(level)) for stage in self._stages]
            shared = share_hours(as_hours(self._total.quantile(level)), own) if own else ()
            keys = (stage.key for stage in self._stages)
            self._found[level] = dict(zip(keys, shared, strict=True))
        return self._found[level]


def _panel_entries(figures, levels, overrides, shop) -> list[Entry]:
    """A panel's stages, its metal, and what is used up in its hours."""
    priced = levels[1]
    busy = [stage for stage in figures.stages if stage.key in priced]
    entries: list[Entry] = [_labour(figures, stage, [level[stage.key] for level in levels]) for stage in busy]
    middle, hours_priced, high = (sum((level[stage.key] for stage in busy), ZERO) for level in levels)
    key = panel_key(figures.panel, "metal")
    override = _price(overrides.get(key))
    metal = {"key": key, "part": figures.part, "override": override, "units": str(shop.units)}
    entries.append(metal_entry(figures.panel, figures.sheet, **metal))
    if shop.consumables_per_hour and hours_priced:
        key = panel_key(figures.panel, "consumables")
        used_up = Consumable(
            key=key, name=CONSUMABLES, part=figures.part,
            quantity=hours_priced, quantity_p50=middle, quantity_p80=high,
            cost_each=shop.consumables_per_hour, override=_price(overrides.get(key)),
        )  # fmt: skip
        entries.append(used_up)
    return entries


def _labour(figures: PanelFigures, stage: StageFigures, shares: Sequence[Decimal]) -> Labour:
    return Labour(
        key=stage.key, name=stage.kind.name, part=figures.part, stage=stage.kind.slug,
        hours_p50=shares[0], hours_priced=shares[1], hours_p80=shares[2],
        per_hour=stage.rate.per_hour if stage.rate else ZERO,
    )  # fmt: skip


def _bought_in(line: QuoteLine, overrides, taken: set[str]) -> BoughtIn:
    key = line_key(line)
    part = line.label
    while part in taken:
        part += " "  # the customer reads the same words; the sums stay apart
    taken.add(part)
    return BoughtIn(
        key=key, name=line.label, part=part, option=key if line.is_option else "", cost_each=line.amount,
        override=_price(overrides.get(key)),
    )  # fmt: skip


def _price(override: LineOverride | None) -> Override | None:
    if override is None or override.amount is None:
        return None
    return Override(reason=override.reason, price=override.amount)


def discounts_of(lines: Sequence[QuoteLine]) -> list[Discount]:
    return [
        Discount(
            key=line_key(line), reason=line.label or line.reason,
            percent=None if line.percent is None else line.percent.normalize(),
            amount=None if line.percent is not None else line.amount,
        )
        for line in lines
        if line.kind == line.Kind.DISCOUNT
    ]  # fmt: skip


def terms_of(quote: Quote, shop: Shop, on: date) -> Terms:
    return Terms(
        currency=currency_of(shop), on=on,
        overhead_percent=shop.overhead_percent, margin_percent=shop.margin_percent,
        tax_name=shop.tax_name, tax_percent=shop.tax_percent, tax_included=shop.prices_include_tax,
        deposit_percent=quote.deposit_percent, confidence=quote.confidence,
    )  # fmt: skip


def currency_of(shop: Shop) -> Currency:
    return Currency(shop.currency, shop.currency_symbol, shop.currency_decimals, str(shop.money_style))


def price_or_say_why(
    terms: Terms, entries: list[Entry], discounts: list[Discount]
) -> tuple[Priced, list[Problem]]:
    """Price the lines; where they cannot be, say why and price what can be: without discounts, without overrides."""
    problems: list[Problem] = []
    attempts = (
        lambda: (entries, discounts),
        lambda: (entries, []),
        lambda: ([replace(entry, override=None) for entry in entries], []),
        lambda: ([], []),
    )
    for attempt in attempts:
        some, off = attempt()
        try:
            return price(Inputs(terms=terms, entries=tuple(some), discounts=tuple(off))), problems
        except Unpriceable as error:
            if not problems:
                problems.append(Problem(str(error), unpriceable=True))
    raise AssertionError("unreachable: nothing at all can always be priced")
