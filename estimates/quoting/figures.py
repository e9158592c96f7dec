"""From a quote to its price: hours per stage, metal, purchases, and what is made of them.

A draft is worked out afresh each time it is looked at, in a constant number of queries. What a stage cannot be
priced for (no rate, a discount larger than the price) comes back in words beside the figures, never as an error page.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from functools import lru_cache

from django.utils import timezone

from estimates import hours
from estimates.learning import drivers_of, hours_of, shop_model, stage_kinds
from estimates.models import LineOverride, PastPanel, Quote, QuoteLine
from estimates.pricing.money import Unpriceable
from estimates.pricing.price import Priced
from estimates.quoting.entries import (
    HIGH,
    MIDDLE,
    PanelFigures,
    Problem,
    SharedHours,
    StageFigures,
    currency_of,
    discounts_of,
    entries_of,
    line_key,
    panel_key,
    price_or_say_why,
    terms_of,
)
from estimates.quoting.frozen import OfferText, offer_text, read_price
from estimates.quoting.metal import sheets_for
from jobs.models import Panel
from shop.models import Shop, StageKind
from shop.rates import rates_on

__all__ = [
    "HIGH",
    "MIDDLE",
    "OfferText",
    "PanelFigures",
    "Problem",
    "QuoteFigures",
    "StageFigures",
    "currency_of",
    "line_key",
    "offer_text",
    "panel_key",
    "quote_figures",
    "read_price",
]


PANELS_KEPT = 512
TOTALS_KEPT = 64  # five a quote: those of the dozen quotes that are being worked on


@dataclass(frozen=True, slots=True)
class QuoteFigures:
    """All that a quote comes to, with what it was made from.

    ``choices`` are the confidences it may be priced at, the middle and the shop's own, each with its gross total.
    """

    panels: tuple[PanelFigures, ...]
    lines: tuple[QuoteLine, ...]
    overrides: dict[str, LineOverride]
    total_hours: hours.HoursRange
    stage_hours: dict[str, hours.HoursRange]
    confidence: Decimal
    model: hours.Model
    past_names: dict[str, str]
    priced: Priced
    choices: tuple[tuple[Decimal, Decimal], ...]
    problems: tuple[Problem, ...]

    @property
    def blocked(self) -> str:
        """Why the quote cannot be sent, in words; empty where it can."""
        return " ".join(problem.text for problem in self.problems if problem.blocks)


def quote_figures(quote: Quote, shop: Shop | None = None, on: date | None = None) -> QuoteFigures:
    """Work a draft out: hours, metal, money. ``on`` is the day whose rates and history hold, today unless said."""
    shop, on = shop or Shop.standing(), on or timezone.localdate()
    kinds = stage_kinds()
    model = shop_model(shop, on, kinds)
    rates = rates_on(on)
    overrides = {override.line: override for override in quote.overrides.select_related("person")}
    lines = tuple(quote.lines.all())
    stored = list(quote.panels.select_related("metal", "job").order_by("position"))
    sheets = sheets_for(stored)
    parts = part_names(stored)
    panels = tuple(
        _panel_figures(panel, parts[panel.pk], kinds, model, rates, overrides, sheets.get(panel.pk))
        for panel in stored
    )
    total = _kept_total(tuple((tuple(each.hours.stages.values()), each.hours.total) for each in panels))
    shares = SharedHours(panels, total)
    terms, discounts = terms_of(quote, shop, on), discounts_of(lines)

    def priced_at(confidence: Decimal) -> tuple[Priced, list[Problem]]:
        try:
            entries = entries_of(panels, lines, overrides, shares, confidence, shop)
        except Unpriceable as error:  # hours or areas past any shop's
            return price_or_say_why(terms, [], [])[0], [Problem(str(error), unpriceable=True)]
        return price_or_say_why(replace(terms, confidence=confidence), entries, discounts)

    priced, refused = priced_at(quote.confidence)
    levels = sorted({MIDDLE, quote.confidence, shop.confidence if shop.confidence > MIDDLE else HIGH})
    return QuoteFigures(
        panels=panels, lines=lines, overrides=overrides, total_hours=total,
        stage_hours=_by_stage(panels, kinds), confidence=quote.confidence, model=model,
        past_names=_names_of_nearest(panels), priced=priced, problems=(*_problems(panels), *refused),
        choices=tuple(
            (level, (priced if level == quote.confidence else priced_at(level)[0]).total.gross) for level in levels
        ),
    )  # fmt: skip


def part_names(panels: Sequence[Panel]) -> dict[int, str]:
    """What the customer reads each panel under: its name and hand, and its number where two would be the same."""
    plain = {panel.pk: ", ".join(filter(None, (panel.name, _hand(panel)))) for panel in panels}
    seen = list(plain.values())
    return {
        panel.pk: f"{plain[panel.pk]} ({panel.position})"
        if seen.count(plain[panel.pk]) > 1
        else plain[panel.pk]
        for panel in panels
    }


def _hand(panel: Panel) -> str:
    return "" if panel.hand == Panel.Hand.NEITHER else f"{panel.get_hand_display().lower()} hand"


def _panel_figures(panel, part, kinds, model, rates, overrides, sheet) -> PanelFigures:
    worked_out = _hours_kept(_Asked(panel, model, kinds))
    stages = tuple(
        _stage_figures(panel, kind, worked_out.stages[kind.slug], rates, overrides)
        for kind in kinds
        if kind.slug in worked_out.stages
    )
    in_force = {stage.kind.slug: stage.hours for stage in stages}
    whole = worked_out
    if any(stage.override for stage in stages) or in_force.keys() != worked_out.stages.keys():
        whole = hours.panel_hours(in_force, model.correlation)
    return PanelFigures(panel, part, stages, whole, sheet)


def _stage_figures(panel, kind, worked_out, rates, overrides) -> StageFigures:
    key = panel_key(panel, kind.slug)
    override = overrides.get(key)
    in_force = worked_out
    if override and override.low_hours is not None:
        in_force = _by_owner(kind.slug, override)
    return StageFigures(key, kind, in_force, worked_out, override, rates.get(kind.pk))


def _by_owner(slug: str, override: LineOverride) -> hours.StageHours:
    """The owner's range. Nought hours that may become some are no range: the high end counts for both."""
    low, high = float(override.low_hours or 0), float(override.high_hours or 0)
    return hours.StageHours.by_owner(slug, low or high, high)


def _problems(panels: Sequence[PanelFigures]) -> list[Problem]:
    found = []
    unrated = {
        stage.kind.name
        for figures in panels
        for stage in figures.stages
        if stage.rate is None and not stage.hours.is_zero
    }
    for part, name in unsaid(panels):
        found.append(
            Problem(
                f"{name} of {part} has no hours yet. Press Change on its line and write them, or give {name} its usual "
                "hours under Stages and rates."
            )
        )
    for name in sorted(unrated):
        found.append(Problem(f"{name} has no hourly rate today. Set one under Stages and rates."))
    unpriced = {
        str(figures.panel.metal)
        for figures in panels
        if figures.sheet is None and not figures.panel.metal.price_per_kg
    }
    for name in sorted(unpriced):
        found.append(Problem(f"{name} has no price: its metal counts for nothing.", blocks=False))
    return found


def unsaid(panels: Sequence[PanelFigures]) -> list[tuple[str, str]]:
    """The parts and stages whose hours nobody has said yet."""
    return [(each.part, stage.kind.name) for each in panels for stage in each.stages if stage.hours.unsaid]


class _Asked:
    """What a panel's hours follow from, so that those of panels that have not changed are not reckoned again."""

    __slots__ = ("key", "kinds", "model", "panel")

    def __init__(self, panel: Panel, model: hours.Model, kinds: Sequence[StageKind]):
        self.panel, self.model, self.kinds = panel, model, kinds
        fixed = tuple((kind.slug, kind.driver, kind.fixed_low_hours, kind.fixed_high_hours) for kind in kinds)
        self.key = (drivers_of(panel), tuple(panel.own_stages), fixed)

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Asked) and other.model is self.model and other.key == self.key


@lru_cache(maxsize=PANELS_KEPT)
def _hours_kept(asked: _Asked) -> hours.PanelHours:
    return hours_of(asked.panel, asked.model, list(asked.kinds))


@lru_cache(maxsize=TOTALS_KEPT)
def _kept_total(
    panels: tuple[tuple[tuple[hours.StageHours, ...], hours.HoursRange], ...],
) -> hours.HoursRange:
    """The hours of several panels together; most changes of a quote leave most of its totals as they were."""
    return hours.job_total(
        [hours.PanelHours({stage.stage: stage for stage in stages}, whole, 0.0) for stages, whole in panels]
    )


def _by_stage(panels, kinds) -> dict[str, hours.HoursRange]:
    """The hours of each stage over all panels: what runs over in one is likely to run over in the next."""
    found = {}
    for kind in kinds:
        each = tuple(
            ((stage.hours,), hours.HoursRange(stage.hours.mean_log, stage.hours.scale, stage.hours.df))
            for figures in panels
            for stage in figures.stages
            if stage.kind.pk == kind.pk and not stage.hours.is_zero
        )
        if each:
            found[kind.slug] = _kept_total(each)
    return found


def _names_of_nearest(panels: Sequence[PanelFigures]) -> dict[str, str]:
    """The names of the past panels that ranges rest on, by the key the model knows them under, in one query."""
    keys = {near.panel for figures in panels for stage in figures.stages for near in stage.worked_out.nearest}
    named = PastPanel.objects.filter(pk__in=keys).values_list("pk", "name")
    return {str(pk): name for pk, name in named}
