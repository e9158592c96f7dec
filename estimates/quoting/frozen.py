"""What a quote says, as plain values: what a sent quote keeps for good, and what every page and paper reads.

The schema, version 1. Amounts and percentages are strings of decimals, dates ISO 8601, lengths millimetres, hours
floats; whatever is not known is ``null``::

    version       1
    number        "2026-014 B"            letter, revision, is_further
    job           {number, title}
    made_on, valid_until
    time_and_material   whether the job was charged by time and material (not kept by the first of this version)
    shop          {name, address, phone, email, language, units, paper, mark,
                   currency, currency_symbol, currency_decimals, money_style (not in the oldest),
                   overhead_percent, margin_percent, consumables_per_hour, tax_name, tax_percent, prices_include_tax}
    customer      {name, email, phone, address}
    intro, terms  text
    confidence, budget_confidence, deposit_percent
    panels        [{pk, position, mark, name, hand, hand_order, part,
                    metal: {pk, name, family, density_kg_m3, elongation, bend_limits}, thickness_mm,
                    form, form_label, dimensions, finish, method, grain, trim_mm, line_count, gather_mm, die_width_mm,
                    finished_area_mm2, mass_kg, blank_length_mm, blank_width_mm,
                    layout_m, moved_dm2, worked_dm2, finished_dm2, pass_count,
                    hours: RANGE, sheet: {code, kind, length_mm, width_mm, cost} or null,
                    stages: [{key, kind, slug, name, hours: RANGE, worked_out: RANGE, n_past, note,
                              nearest: [{name, hours}], per_hour, rate_from,
                              unsaid, override: {low, high, reason, who} or null}]}]
    hours         RANGE of the job         stage_hours  {slug: RANGE}, over all panels
    model         {on, n_past, correlation, half_life_days}
    lines         [{key, kind, label, reason, is_option}], as the owner added them
    overrides     {key: {amount, reason, who}}, of money lines
    priced        the price with all its lines, as ``estimates.pricing.snapshot`` writes it

RANGE is ``{mean_log, scale, df, p50, p80, priced, budget}``: the distribution of :mod:`estimates.hours` and its hours at
one half, at four in five, at ``confidence`` and at ``budget_confidence``. No hours at all are a ``mean_log`` of null.
Floats that are not finite do not occur: JSON has none.

Hours, costs, overhead, margin and contingency are the shop's own. :func:`offer_text` picks out what the customer reads.
"""

import json
import math
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial

from estimates.hours import HoursRange
from estimates.pricing.money import Currency, format_money
from estimates.pricing.price import Amounts, Priced
from estimates.pricing.snapshot import from_json
from estimates.quoting.by_hours import by_hours_words
from jobs.models import Panel
from shop.gauges import sold_as
from shop.lengths import Units, format_blank
from shop.models import Metal

VERSION = 1


@dataclass(frozen=True, slots=True)
class Item:
    """One row the customer reads: a panel or a purchase, what it is in a few words, and its price."""

    key: str
    name: str
    words: str
    amount: Decimal
    taken: bool = True


@dataclass(frozen=True, slots=True)
class OfferText:
    """What the customer may read, on the page and on paper. Amounts are in the terms the rows are shown in:
    with tax where prices include it, without where it goes on top."""

    shop: dict
    customer: dict
    number: str
    title: str
    is_further: bool
    made_on: date
    valid_until: date
    intro: str
    terms: str
    items: tuple[Item, ...]
    options: tuple[Item, ...]
    discounts: tuple[Item, ...]
    net: Decimal
    tax_name: str
    tax_percent: Decimal
    tax_included: bool
    tax: Decimal
    total: Decimal
    deposit: Decimal
    deposit_percent: Decimal
    currency: Currency
    panels: tuple[dict, ...]
    by_hours: str = ""

    def money(self, amount: Decimal) -> str:
        """An amount as this quote writes it, always with the currency's decimals."""
        return format_money(amount, self.currency, decimals=True)


def read_price(frozen: dict, taken: Collection[str] = ()) -> Priced:
    """The price of a sent quote with some options taken; refuses options it does not have (``Unpriceable``)."""
    return from_json(json.dumps(frozen["priced"])).with_options(taken)


def offer_text(frozen: dict, taken: Collection[str] = ()) -> OfferText:
    """What the customer reads, with these options taken: no hours, no cost, no overhead, no margin.

    Only by time and material they read what an hour is charged at, overhead and margin in it.

    Raises :class:`estimates.pricing.money.Unpriceable` for an option that the quote does not have.
    """
    priced = read_price(frozen, taken)
    terms = priced.inputs.terms
    units = frozen["shop"]["units"]
    words = {panel["part"]: _words_for_the_customer(panel, units) for panel in frozen["panels"]}

    def shown(amounts: Amounts) -> Decimal:
        return amounts.gross if terms.tax_included else amounts.net

    names = {line.option: line.name for line in priced.lines if line.option}
    return OfferText(
        shop=frozen["shop"], customer=frozen["customer"], number=frozen["number"], title=frozen["job"]["title"],
        is_further=frozen["is_further"], made_on=date.fromisoformat(frozen["made_on"]),
        valid_until=date.fromisoformat(frozen["valid_until"]), intro=frozen["intro"], terms=frozen["terms"],
        items=tuple(
            Item(part, part.strip(), words.get(part, ""), shown(amounts))
            for part, amounts in priced.parts.items()
        ),
        options=tuple(
            Item(key, names[key], "", shown(amounts), key in priced.inputs.taken)
            for key, amounts in priced.options.items()
        ),
        discounts=tuple(Item(line.key, _discount_words(priced, line.key, line.name), "", shown(line.priced))
            for line in priced.discounts),
        net=priced.total.net, tax_name=terms.tax_name, tax_percent=terms.tax_percent,
        tax_included=terms.tax_included, tax=priced.total.tax, total=priced.total.gross,
        deposit=priced.deposit, deposit_percent=terms.deposit_percent, currency=terms.currency,
        panels=tuple(frozen["panels"]),
        by_hours=by_hours_words(frozen, terms, partial(format_money, currency=terms.currency, decimals=True)),
    )  # fmt: skip


def panel_words(panel: dict, units: Units) -> str:
    """A panel in a few words: its metal, how thick, and how it is finished."""
    thickness = sold_as(panel["thickness_mm"], panel["metal"]["family"], units)
    return f"{panel['metal']['name']} {thickness}, {panel['finish']} finish"


def _words_for_the_customer(panel: dict, units: Units) -> str:
    """Those words with the size that may be argued about later: the blank it is made from."""
    blank = format_blank(panel["blank_length_mm"], panel["blank_width_mm"], units)
    return f"{panel_words(panel, units)}, from a blank of {blank}"


def _discount_words(priced: Priced, key: str, reason: str) -> str:
    """What a discount is, then why: Discount of 5 %: repeat customer."""
    percent = next((each.percent for each in priced.inputs.discounts if each.key == key), None)
    return f"Discount{f' of {percent.normalize():f} %' if percent is not None else ''}: {reason}"


def range_of(held: dict) -> HoursRange:
    """A RANGE of the schema as the distribution it was."""
    if held["mean_log"] is None:
        return HoursRange.none()
    return HoursRange(held["mean_log"], held["scale"], held["df"])


def hours_as_plain(hours: HoursRange, confidence: float, budget_confidence: float) -> dict:
    """A distribution as a RANGE of the schema."""
    whole = not hours.is_zero
    return {
        "mean_log": hours.mean_log if whole else None,
        "scale": hours.scale,
        "df": hours.df if math.isfinite(hours.df) else None,
        "p50": hours.p50,
        "p80": hours.p80,
        "priced": hours.quantile(confidence),
        "budget": hours.quantile(budget_confidence),
    }


def panel_of(held: dict) -> Panel:
    """The panel as it was quoted, unsaved: drawings and ``jobs.panels.work_of`` read it like any other."""
    copied = [
        "position", "name", "hand", "thickness_mm", "form", "dimensions", "finish", "method", "grain", "trim_mm",
        "line_count", "gather_mm", "die_width_mm", "finished_area_mm2", "mass_kg", "blank_length_mm",
        "blank_width_mm", "layout_m", "moved_dm2", "worked_dm2", "finished_dm2", "pass_count",
    ]  # fmt: skip
    mirrors = {"mirrors_id": held["pk"]} if held["hand_order"] == 2 else {}
    return Panel(
        pk=held["pk"], metal=Metal(**held["metal"]), **{name: held[name] for name in copied}, **mirrors
    )
