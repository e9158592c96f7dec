"""Tags that put drawings on a page: any scene, the steel rule, a stage strip, a sample for the key."""

from __future__ import annotations

import datetime as dt
import zlib

from django import template
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import mark_safe

from jobs.drawings.rule import days_rule
from jobs.drawings.scene import Scene
from jobs.drawings.strip_scales import key_swatch
from jobs.drawings.svg import inline_svg

register = template.Library()

RULE_DAYS = 21


@register.simple_tag(takes_context=True)
def drawing(context, scene: Scene):
    """A scene as an ``<svg>`` whose ids are its own on this page."""
    return _svg(context, scene)


@register.simple_tag(takes_context=True)
def rule(context, scene: Scene):
    """A steel rule over the full width; where the page is narrower it runs off the edge and can be pulled."""
    return format_html(
        '<div class="rule"><div class="rule-pull" tabindex="0" role="region" aria-label="{}">{}</div></div>',
        scene.title,
        _svg(context, scene),
    )


@register.simple_tag(takes_context=True)
def rule_days(context, days: int = RULE_DAYS):
    """The rule of a page without a measure of its own: the days from today, weekends hatched."""
    today = timezone.localdate()
    ahead = [today + dt.timedelta(days=count) for count in range(days)]
    shut = {day for day in ahead if day.isoweekday() > 5}
    return rule(context, days_rule(today, days, (), shut))


@register.simple_tag(takes_context=True)
def strip(context, scene: Scene):
    """A stage strip; where the page is narrower than its scale it can be pulled."""
    return format_html('<div class="strip">{}</div>', _svg(context, scene))


@register.simple_tag(takes_context=True)
def sample(context, role: str):
    """A sample of a pattern for the key, silent because its word stands beside it."""
    return format_html(
        '<span class="sample-of" aria-hidden="true">{}</span>', _svg(context, key_swatch(role))
    )


def _svg(context, scene: Scene):
    """Number the drawings of a page, so that two alike do not share an id."""
    count = context.render_context.get("drawings", 0) + 1
    context.render_context["drawings"] = count
    sum_of = zlib.crc32(f"{scene.title}{scene.description}{scene.width}".encode())
    return mark_safe(inline_svg(scene, f"d{sum_of:08x}-{count}"))  # noqa: S308 - our own markup, words escaped
