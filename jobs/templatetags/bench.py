"""Filters of the bench: thicknesses, angles, lines and stopped clocks in words."""

from django import template

from jobs.forgotten import is_forgotten, may_be_forgotten
from jobs.pass_table import columns_of
from jobs.reading_words import line_words as say_line
from shop.figures import elapsed
from shop.gauges import format_thickness
from shop.lengths import format_angle

register = template.Library()


@register.filter
def thickness(value_mm, units="mm"):
    """A sheet's thickness in the shop's units: 1.6 mm, 0.063 in."""
    return format_thickness(float(value_mm), str(units))


@register.filter
def angle(value_rad):
    """An angle in degrees: 67.5°."""
    return format_angle(float(value_rad))


@register.filter
def line_words(name):
    """What a line is called: centre line."""
    return say_line(name)


@register.filter
def pass_columns(work):
    """Which columns a table of the passes needs."""
    return columns_of(work)


@register.filter
def ran_for(entry):
    """How long a stopped clock ran, as the clock showed it: 1:42."""
    return elapsed(entry.started_at, entry.ended_at)


@register.filter
def forgotten(entry):
    """Whether a running clock waits for its true end."""
    return is_forgotten(entry)


@register.filter
def doubted(entry):
    """Whether a running clock counts hours though it may be forgotten."""
    return may_be_forgotten(entry)
