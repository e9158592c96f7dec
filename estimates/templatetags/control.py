"""Filters and tags of the control, dates and past-panel pages."""

from django import template
from django.utils import timezone

from estimates import outcome
from estimates.hours import DRIVERS
from estimates.today.needs import near_day
from estimates.work import date_words
from shop.driver_units import driver_unit
from shop.figures import figure
from shop.lengths import NO_BREAK
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
    return outcome.ends_at(middle, low, high)


@register.filter
def rate_moved(move):
    """How a rate moved, in words: 6 % slower, 8 times as long."""
    return outcome.rate_moved(move)


@register.simple_tag(takes_context=True)
def stage_rate(context, stage, hours_per_unit):
    """A rate of one of the four stages, in the shop's unit: 0.116 h/in²."""
    unit = driver_unit(DRIVERS[stage].name, str(context["shop"].units))
    return f"{figure(unit.rate(hours_per_unit), 3)}{NO_BREAK}h/{unit.name}"


@register.filter
def of_the_price(margin_share):
    """What is left of the price: 25.8 % of the price stays."""
    return outcome.of_the_price(margin_share)


@register.filter
def off_by(error):
    """How far the middle lay from what it took: 12 %, a factor of 8."""
    return outcome.off_by(error)


@register.filter
def words(text):
    """The words of a text, to go through."""
    return text.split()


@register.filter
def near(moment):
    """The day of a moment as it is said: today, yesterday, Fri 15 May."""
    return near_day(timezone.localtime(moment).date(), timezone.localdate()).split(",")[0]
