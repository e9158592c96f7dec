"""Writing a quote down: from its figures to the plain values of :mod:`estimates.quoting.frozen`."""

import json
from datetime import date
from decimal import Decimal

from estimates.hours import HoursRange
from estimates.models import LineOverride, Quote
from estimates.pricing.snapshot import to_json
from estimates.quoting.figures import HIGH, MIDDLE, PanelFigures, QuoteFigures, StageFigures
from estimates.quoting.frozen import VERSION, hours_as_plain
from jobs.forming.forms import FORMS
from jobs.models import Customer, Panel
from shop.models import SheetStock, Shop

PANEL_FACTS = [
    "position", "mark", "name", "hand", "hand_order", "thickness_mm", "form", "dimensions", "finish", "method",
    "grain", "trim_mm", "line_count", "gather_mm", "die_width_mm", "finished_area_mm2", "mass_kg", "blank_length_mm",
    "blank_width_mm", "layout_m", "moved_dm2", "worked_dm2", "finished_dm2", "pass_count",
]  # fmt: skip
METAL_FACTS = ["pk", "name", "family", "density_kg_m3", "elongation", "bend_limits"]
SHOP_FACTS = ["name", "address", "phone", "email", "language", "units", "paper", "currency", "currency_symbol",
              "currency_decimals", "money_style", "tax_name", "prices_include_tax"]  # fmt: skip
SHOP_FIGURES = ["overhead_percent", "margin_percent", "consumables_per_hour", "tax_percent"]


def budget_confidence(quote: Quote, shop: Shop) -> Decimal:
    """At which confidence the bench's budgets are cut: a price at the middle still leaves the bench a range."""
    return next(level for level in (quote.confidence, shop.confidence, HIGH) if level > MIDDLE)


def written_down(
    quote: Quote, figures: QuoteFigures, shop: Shop, on: date, *, with_price: bool = True
) -> dict:
    """The quote as plain values; for a draft what it would be if it were sent today.

    ``with_price`` leaves the price's own text out where the caller holds the price already.
    """
    levels = (float(quote.confidence), float(budget_confidence(quote, shop)))
    return {
        "version": VERSION,
        "number": quote.number, "letter": quote.letter, "revision": quote.revision, "is_further": quote.is_further,
        "job": {"number": quote.job.number, "title": quote.job.title},
        "made_on": on.isoformat(),
        "valid_until": quote.valid_until.isoformat() if quote.valid_until else None,
        "time_and_material": quote.job.time_and_material,
        "shop": _shop(shop),
        "customer": _customer(quote.job.customer),
        "intro": quote.intro, "terms": quote.terms,
        "confidence": str(quote.confidence), "budget_confidence": str(budget_confidence(quote, shop)),
        "deposit_percent": str(quote.deposit_percent),
        "panels": [_panel(each, figures, levels) for each in figures.panels],
        "hours": hours_as_plain(figures.total_hours, *levels),
        "stage_hours": {
            slug: hours_as_plain(stage, *levels) for slug, stage in figures.stage_hours.items()
        },
        "model": {
            "on": figures.model.on.isoformat(), "n_past": figures.model.n_past,
            "correlation": figures.model.correlation, "half_life_days": figures.model.half_life_days,
        },
        "lines": [
            {"key": f"line-{line.pk}", "kind": line.kind, "label": line.label, "reason": line.reason,
             "is_option": line.is_option}
            for line in figures.lines
        ],
        "overrides": {
            key: {"amount": str(override.amount), "reason": override.reason, "who": str(override.person or "")}
            for key, override in figures.overrides.items()
            if override.amount is not None
        },
        "priced": json.loads(to_json(figures.priced)) if with_price else None,
    }  # fmt: skip


def _shop(shop: Shop) -> dict:
    return {
        **{name: getattr(shop, name) for name in SHOP_FACTS},
        **{name: str(getattr(shop, name)) for name in SHOP_FIGURES},
        "mark": shop.mark.name if shop.mark else "",
    }


def _customer(customer: Customer) -> dict:
    return {name: getattr(customer, name) for name in ("name", "email", "phone", "address")}


def _panel(figures: PanelFigures, whole: QuoteFigures, levels: tuple[float, float]) -> dict:
    panel: Panel = figures.panel
    return {
        "pk": panel.pk,
        **{name: getattr(panel, name) for name in PANEL_FACTS},
        "form_label": FORMS[panel.form].label if panel.form in FORMS else panel.form,
        "metal": {name: getattr(panel.metal, name) for name in METAL_FACTS},
        "part": figures.part,
        "hours": hours_as_plain(figures.hours.total, *levels),
        "sheet": _sheet(figures.sheet),
        "stages": [_stage(stage, whole.past_names, levels) for stage in figures.stages],
    }


def _sheet(sheet: SheetStock | None) -> dict | None:
    if sheet is None:
        return None
    return {
        "code": sheet.code, "kind": sheet.kind, "length_mm": sheet.length_mm, "width_mm": sheet.width_mm,
        "cost": str(sheet.cost),
    }  # fmt: skip


def _stage(stage: StageFigures, names: dict[str, str], levels: tuple[float, float]) -> dict:
    worked_out = stage.worked_out
    plain: HoursRange = HoursRange(worked_out.mean_log, worked_out.scale, worked_out.df)
    return {
        "key": stage.key, "kind": stage.kind.pk, "slug": stage.kind.slug, "name": stage.kind.name,
        "hours": hours_as_plain(stage.hours, *levels),
        "worked_out": hours_as_plain(plain, *levels),
        "n_past": worked_out.n_past, "note": worked_out.note, "unsaid": stage.hours.unsaid,
        "nearest": [{"name": names.get(near.panel, ""), "hours": near.hours} for near in worked_out.nearest],
        "per_hour": str(stage.rate.per_hour) if stage.rate else None,
        "rate_from": stage.rate.holds_from.isoformat() if stage.rate else None,
        "override": _override(stage.override),
    }  # fmt: skip


def _override(override: LineOverride | None) -> dict | None:
    if override is None or override.low_hours is None:
        return None
    return {
        "low": str(override.low_hours), "high": str(override.high_hours),
        "reason": override.reason, "who": str(override.person or ""),
    }  # fmt: skip
