"""Filters and tags of the control, dates and past-panel pages."""

from decimal import Decimal

from django import template
from django.utils import timezone

from estimates.today.needs import near_day
from estimates.work import date_words
from shop.figures import hours
from shop.outside import address_for

register = template.Library()


@register.filter
def of_key(mapping, key):
    """What a mapping holds under a key, or nothing."""
    return mapping.get(key)


@register.simple_tag(takes_context=True)
def public_address(context, path):
    """The address of a page as a customer opens it, for somebody to hand on."""
    return address_for(context["request"], path)


@register.filter
def chance_words(one):
    """How likely the date that counts is kept, and what is wrong with one at risk."""
    return date_words.chance_words(one, timezone.localdate())


@register.filter
def wait_words(one):
    """What a job waits for before it can go on."""
    return date_words.wait_words(one, timezone.localdate())


@register.filter
def so_often(share):
    """How often a promise at a share is kept: four times in five."""
    return date_words.so_often(float(share))


@register.filter
def as_percent(share):
    """A share as a whole percentage: 74 %."""
    return "" if share is None else f"{float(share) * 100:.0f} %"


@register.simple_tag
def against_words(middle, low, high):
    """Where the middle at completion lies in the range estimated, in words."""
    middle, low, high = float(middle), float(low), float(high)
    if middle > high:
        return f"its middle is {hours(Decimal(str(middle - high)))} h past the range estimated"
    if middle < low:
        return f"its middle is {hours(Decimal(str(low - middle)))} h under the range estimated"
    return "its middle is inside the range estimated"


@register.simple_tag
def rate_change(change):
    """How a rate moved, in words: 6 % slower."""
    if abs(change) < 0.005:
        return "as before"
    return f"{abs(change) * 100:.0f} % {'slower' if change > 0 else 'quicker'}"


@register.filter
def words(text):
    """The words of a text, to go through."""
    return text.split()


@register.filter
def outcome(said):
    """How a stage that is over came out, from how its hours lay in the range: drops the words about a middle."""
    return said.removeprefix("its middle is ").replace(" estimated", "")


@register.filter
def unsigned(number):
    """A number without its sign; the words beside it say which way."""
    return abs(number)


@register.filter
def near(moment):
    """The day of a moment as it is said: today, yesterday, Fri 15 May."""
    return near_day(timezone.localtime(moment).date(), timezone.localdate()).split(",")[0]
