"""Tags and filters of the jobs' pages: pieces, angles, dates gone by."""

import datetime as dt
import re

from django import template
from django.utils import timezone
from django.utils.html import format_html, format_html_join

from jobs.customers import IN_HAND
from jobs.drawings.rule import DayMark, days_rule
from jobs.pieces import piece_of
from jobs.reading_words import difference, written
from jobs.templatetags.measures import RULE_DAYS, rule
from shop.lengths import format_angle

register = template.Library()


@register.filter
def piece(panel, solid=True):
    """The panel's small piece: solid kraft, or dashed where work on it has not begun."""
    return piece_of(panel, ghost=not solid)


@register.filter
def angle(angle_rad):
    """An angle in degrees."""
    return format_angle(angle_rad)


@register.simple_tag(takes_context=True)
def reading_value(context, reading, which="value"):
    """A reading, or its target, in the shop's units."""
    value = getattr(reading, which)
    return "" if value is None else written(reading.kind, value, context["shop"])


@register.simple_tag(takes_context=True)
def reading_against(context, reading):
    """How far a reading is from its target, in words."""
    if reading.target is None:
        return ""
    return difference(reading.kind, reading.value, reading.target, context["shop"])


@register.filter
def formula(text: str):
    """A formula with what follows a low line set low: r_in."""
    parts = re.split(r"_(\w+)", text)
    return format_html_join(
        "", "{}{}", ((part, format_html("<sub>{}</sub>", low) if low else "") for part, low in _pairs(parts))
    )


def _pairs(parts: list[str]):
    """Text and the low part after it, by turns."""
    return zip(parts[::2], [*parts[1::2], ""], strict=True)


@register.simple_tag(takes_context=True)
def job_rule(context, job):
    """The rule of days with the job's own dates hung below it, where they fall on it."""
    today = timezone.localdate()
    days = [today + dt.timedelta(days=count) for count in range(RULE_DAYS)]
    marks = [
        DayMark(on, words, job.title[:24] if words == "promised" else "", tight=False)
        for on, words in ((job.promised_on, "promised"), (job.due_on, "wanted"))
        if on in days and job.state in IN_HAND
    ]
    shut = {day for day in days if day.isoweekday() > 5}
    return rule(context, days_rule(today, RULE_DAYS, marks, shut))


@register.filter
def is_late(job) -> bool:
    """Whether the date that counts has gone by while the job is still in hand."""
    return bool(job.state in IN_HAND and job.deadline and job.deadline < timezone.localdate())


@register.filter
def phone_digits(number: str) -> str:
    """A telephone number as a link dials it."""
    return "".join(character for character in number if character in "+0123456789")
