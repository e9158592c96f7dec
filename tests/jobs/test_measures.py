"""Drawings on a page: ids of their own, words for whoever cannot see them, nothing the policy would drop."""

import re
from datetime import date

import pytest
from django.template import engines

from jobs.drawings.rule import days_rule
from jobs.drawings.strip import StageHours, stage_strip

STRIP = stage_strip([StageHours("layout", "Layout", 2, 3, 1, 0.5)], 2, 3, 10)


def render(markup: str, **context) -> str:
    return engines["django"].from_string("{% load measures %}" + markup).render(context)


def ids(markup: str) -> list[str]:
    return re.findall(r'\bid="([^"]+)"', markup)


def test_two_drawings_alike_share_no_id():
    markup = render("{% strip scene %}{% for _ in 'ab' %}{% drawing scene %}{% endfor %}", scene=STRIP)
    assert markup.count("<svg") == 3
    assert len(ids(markup)) == len(set(ids(markup))) > 3


def test_a_pattern_is_filled_from_its_own_drawing():
    markup = render("{% strip scene %}{% strip scene %}", scene=STRIP)
    assert set(re.findall(r"url\(#([^)]+)\)", markup)) <= set(ids(markup))


def test_the_rule_can_be_reached_and_pulled_with_the_keyboard():
    markup = render("{% rule scene %}", scene=days_rule(date(2026, 5, 14), 21))
    assert 'tabindex="0" role="region" aria-label="Days from Thu 14 May to Wed 3 June"' in markup


def test_a_page_without_a_measure_has_the_days_from_today():
    markup = render("{% rule_days %}")
    assert 'aria-label="Days from ' in markup
    assert "d-tile-no-work" in markup


@pytest.mark.parametrize("role", ["layout", "range", "trimming"])
def test_samples_are_silent_because_their_word_stands_beside_them(role):
    assert render("{% sample role %}", role=role).startswith(
        '<span class="sample-of" aria-hidden="true"><svg'
    )


def test_words_of_the_shop_cannot_become_markup():
    scene = stage_strip([StageHours("x", "<script>alert(1)</script>", 2, 3, 9, 0.5)], 2, 3, 10)
    markup = render("{% strip scene %}", scene=scene)
    assert "<script" not in markup
    assert "&lt;script" in markup
