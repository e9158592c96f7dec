"""Tags and filters by which templates write figures and draw the book's small marks.

They are built in (see settings), so a template need not load them. What they write is decided in
:mod:`shop.figures` and :mod:`shop.lengths`, which papers use as well.
"""

from __future__ import annotations

import datetime as dt
from functools import partial

from django import template
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import mark_safe

from shop import driver_units, figures, gauges, lengths, trail

register = template.Library()

# The five words, the address each leads to, and how the names of the addresses under it begin.
WORDS = (
    ("Today", "today", ("today", "dates")),
    (
        "Jobs",
        "job-list",
        (
            "job", "panel", "stage", "customer", "bench", "photo", "reading", "work-order", "pattern", "gauges",
            "payment", "paper", "progress", "material", "time", "pass-", "note",
        ),
    ),
    ("Quotes", "quote-list", ("quote",)),
    ("Sheets", "sheet-list", ("sheet",)),
    ("Past panels", "past-panels", ("past",)),
)  # fmt: skip
OWNERS_WORDS = {"quote-list"}  # what speaks of prices only
TALLY_MOST = 60  # past twelve bundles the words beside it count better


@register.inclusion_tag("components/_nav.html", takes_context=True)
def navigation(context):
    """The words of navigation that lead somewhere for this person, the one for this page underlined in pencil."""
    request = context.get("request")
    match = getattr(request, "resolver_match", None)
    here = (match.url_name if match else "") or ""
    owner = getattr(getattr(request, "user", None), "is_owner", False)
    words = [word for word in WORDS if owner or word[1] not in OWNERS_WORDS]
    return {"words": [_word(name, url_name, starts, here) for name, url_name, starts in words]}


def _word(name, url_name, starts, here):
    return {"name": name, "url": reverse(url_name), "here": here.startswith(starts)}


@register.filter
def hours(value):
    """Measured hours: 14.3."""
    return "" if value is None else figures.hours(value)


@register.simple_tag
def hours_between(low, high):
    """An estimate: 32–38 h."""
    return figures.hours_between(low, high)


@register.simple_tag(takes_context=True)
def money(context, amount):
    """An amount in the shop's currency, to its own decimals."""
    symbol, style = _sign_and_style(context)
    return figures.money(amount, symbol, getattr(context.get("shop"), "currency_decimals", 2), style)


@register.simple_tag(takes_context=True)
def money_between(context, low, high):
    """A range of money in whole units of the shop's currency."""
    return figures.money_between(low, high, *_sign_and_style(context))


def _sign_and_style(context) -> tuple[str, str]:
    shop = context.get("shop")
    return getattr(shop, "currency_symbol", "€"), str(getattr(shop, "money_style", figures.FIRST_STYLE))


@register.simple_tag(takes_context=True)
def measure(context, length_mm, with_unit=True):
    """A length in millimetres, written in the shop's units."""
    return lengths.format_length(float(length_mm), _units(context), with_unit)


@register.simple_tag(takes_context=True)
def mass(context, mass_kg):
    """A mass in kilograms, written in what goes with the shop's units: 2.50 kg, 5.51 lb."""
    return figures.mass(mass_kg, _units(context))


@register.simple_tag(takes_context=True)
def density(context, density_kg_m3):
    """A density in the shop's units: 2 710 kg/m³, 0.0979 lb/in³."""
    return figures.density(density_kg_m3, _units(context))


@register.simple_tag(takes_context=True)
def price_by_mass(context, price_per_kg):
    """What a kilogram costs, or a pound of it in an inch shop."""
    return money(context, price_per_kg * figures.POUND_KG if _units(context) == "in" else price_per_kg)


@register.simple_tag(takes_context=True)
def driver(context, name, amount=None):
    """What a stage's hours grow with, in the shop's unit: area moved, in²; with an amount, how much: 12.4 in²."""
    if amount is None:
        return driver_units.driver_words(name, _units(context))
    unit = driver_units.driver_unit(name, _units(context))
    return f"{figures.figure(unit.shown(amount), 1)}{lengths.NO_BREAK}{unit.name}"


@register.simple_tag(takes_context=True)
def first_rate(context, kind):
    """The first rate of one of the four stages: 0.116 h/in²."""
    unit = driver_units.driver_unit(kind.driver, _units(context))
    return f"{figures.figure(unit.rate(kind.hours_per_unit), 3)}{lengths.NO_BREAK}h/{unit.name}"


def _units(context) -> str:
    return str(getattr(context.get("shop"), "units", "mm"))


@register.simple_tag(takes_context=True)
def blank(context, length_mm, width_mm):
    """What a blank measures in the shop's units, rounded up: 737.7 × 388 mm."""
    units = str(getattr(context.get("shop"), "units", "mm"))
    return lengths.format_blank(float(length_mm), float(width_mm), units)


@register.filter
def figure(value, decimals=0):
    """A number with thin spaces between thousands."""
    return "" if value is None else figures.figure(value, int(decimals))


@register.filter
def day(value):
    """A date or moment as Fri 15 May, with the year where it is another than this."""
    return figures.day(_local_date(value), timezone.localdate()) if value else ""


@register.filter
def full_day(value):
    """A date or moment as Fri 15 May 2026, as what binds people carries it."""
    return figures.full_day(_local_date(value)) if value else ""


@register.simple_tag
def days_between(first, last):
    """A span of days: Wed 27 May – Mon 1 June."""
    return figures.days_between(_local_date(first), _local_date(last), timezone.localdate())


@register.filter
def clock_time(value):
    """A moment as the shop's clock shows it: 07:42."""
    return timezone.localtime(value).strftime("%H:%M") if value else ""


@register.filter
def elapsed(since):
    """Hours and minutes since a moment: 1:42."""
    return figures.elapsed(since, timezone.now()) if since else ""


@register.filter
def counted(count, nouns):
    """A count with its noun, ``one,many``: 10 days."""
    one, _, many = nouns.partition(",")
    return figures.counted(count, one, many)


def _local_date(value) -> dt.date:
    return timezone.localtime(value).date() if isinstance(value, dt.datetime) else value


@register.simple_tag
def tally(days):
    """Days gone by as tally marks in bundles of five. Decoration: the count stands in words beside it."""
    count = min(max(int(days), 0), TALLY_MOST)
    width = (count // 5) * 22 + (count % 5) * 4 + 1
    return format_html(
        '<svg class="tally" width="{w}" height="14" viewBox="0 0 {w} 14" aria-hidden="true">'
        '<path d="{d}"/></svg>',
        w=width,
        d=mark_safe("".join(_tally_stroke(mark) for mark in range(count))),  # noqa: S308 - numbers of our own
    )


def _tally_stroke(mark: int) -> str:
    """One stroke: four upright, a little uneven as a hand leaves them, and the fifth across."""
    bundle, stroke = divmod(mark, 5)
    x = bundle * 22
    if stroke == 4:
        return f"M{x - 0.5} 10.5L{x + 16.5} 2.5"
    lean = (0.4, -0.3, 0.2, -0.5)[stroke]
    return f"M{x + 1.5 + 4 * stroke + lean} 1.5L{x + 1.5 + 4 * stroke - lean} 12.5"


@register.filter
def kind_of_field(bound_field) -> str:
    """Which of the book's fields a form field is drawn as: line, text, choice, choices, tick or file."""
    widget = bound_field.field.widget
    kinds = {
        "textarea": "text", "select": "choice", "selectmultiple": "choice", "radioselect": "choices",
        "checkboxselectmultiple": "choices", "checkbox": "tick", "clearablefile": "file", "file": "file",
    }  # fmt: skip
    return kinds.get(_widget_name(widget), "line")


def _widget_name(widget) -> str:
    name = type(widget).__name__.lower()
    return name if name in {"radioselect", "checkboxselectmultiple"} else name.removesuffix("input")


@register.simple_tag(takes_context=True)
def thickness(context, thickness_mm, family=""):
    """A sheet's thickness in the shop's units: 1.6 mm, or 18 ga (0.048 in) where its metal's family is known."""
    return gauges.sold_as(float(thickness_mm), family, _units(context))


@register.filter
def percent(share):
    """A share as a percentage: 17.4 %."""
    return "" if share is None else f"{float(share) * 100:.1f}".removesuffix(".0") + " %"


@register.filter
def weekdays(digits):
    """ISO weekday digits as words: Mon, Tue, Wed."""
    names = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    return ", ".join(names[int(digit) - 1] for digit in digits) or "no day"


@register.filter
def field_words(name):
    """A column's name as the trail shows it: bench hours per day."""
    return trail.field_words(name)


@register.simple_tag(takes_context=True)
def trail_value(context, value, name):
    """A kept value as the trail shows it: shares as percentages, lengths and masses in the shop's units."""
    amount = trail.amount_in_words(value, name, _units(context), partial(money, context))
    return trail.value_in_words(value, name, _units(context)) if amount is None else amount
