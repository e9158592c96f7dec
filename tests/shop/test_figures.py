"""Figures as the shop writes them, and the tags that put them on a page."""

import datetime as dt
import doctest
from decimal import Decimal
from types import SimpleNamespace

import pytest
from django import forms
from django.template import engines
from django.utils import timezone

from shop import figures

THIN, DASH, HARD = "\u2009", "\u2013", "\u00a0"


def render(markup: str, **context) -> str:
    return engines["django"].from_string(markup).render(context)


def test_examples_in_the_words_hold():
    assert doctest.testmod(figures).failed == 0
    assert doctest.testmod(figures).attempted >= 10


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (0, "0"),
        (0.04, "0"),
        (14.25, "14.3"),
        (Decimal("14.35"), "14.4"),
        (40.0, "40"),
        (1057.5, f"1{THIN}057.5"),
    ],
)
def test_hours_are_written_to_a_tenth(value, said):
    assert figures.hours(value) == said


def test_a_half_rounds_away_from_nought_also_in_binary():
    """0.25 is exact in binary and 14.35 is not: both are read as they are written."""
    assert (figures.hours(0.25), figures.hours(14.35)) == ("0.3", "14.4")


def test_a_range_of_one_value_is_written_once():
    assert figures.hours_between(3, 3.1) == f"3{HARD}h"


@pytest.mark.parametrize("exact", [0.5472, 1.2461, 0.9962])
def test_a_quote_and_the_budget_kept_of_it_read_alike(exact):
    """A budget keeps a hundredth of an hour; rounding that once more must not come out elsewhere."""
    kept = Decimal(repr(exact)).quantize(Decimal("0.01"))
    assert figures.hours_between(exact, 20.0) == figures.hours_between(kept, Decimal(20))
    assert figures.money_between(640, 640) == f"€{HARD}640"


def test_a_date_of_another_year_names_it():
    today = dt.date(2026, 5, 14)
    assert figures.day(dt.date(2026, 9, 1), today) == "Tue 1 Sept"
    assert figures.day(dt.date(2027, 9, 1), today) == "Wed 1 Sept 2027"


def test_a_clock_that_is_ahead_shows_nought():
    start = dt.datetime(2026, 5, 14, 8, tzinfo=dt.UTC)
    assert figures.elapsed(start, start - dt.timedelta(minutes=3)) == "0:00"


def test_tags_follow_the_shop():
    shop = SimpleNamespace(units="in", currency_symbol="$", currency_decimals=0)
    assert render("{% measure 44.45 %}", shop=shop) == f"1{HARD}3/4 in"
    assert render("{% money amount %}", shop=shop, amount=Decimal("2544.50")) == f"${HARD}2{THIN}545"
    assert render("{% money_between 640 780 %}", shop=shop) == f"${HARD}640{DASH}780"
    assert render("{% hours_between 32 38 %}") == f"32{DASH}38{HARD}h"


def test_filters_write_nothing_for_nothing():
    assert render("{{ x|hours }}{{ x|day }}{{ x|elapsed }}{{ x|clock_time }}{{ x|figure }}", x=None) == ""


def test_moments_are_written_in_the_shops_own_time():
    moment = dt.datetime(2026, 5, 14, 23, 30, tzinfo=dt.UTC)
    with timezone.override(dt.timezone(dt.timedelta(hours=1))):
        assert render("{{ moment|clock_time }}", moment=moment) == "00:30"
        assert render("{{ moment|day }}", moment=moment).startswith("Fri 15 May")


@pytest.mark.parametrize("days", [0, 1, 4, 5, 6, 10, 23])
def test_a_tally_has_a_stroke_for_every_day(days):
    assert render("{% tally days %}", days=days).count("M") == days


def test_a_tally_stops_where_nobody_counts_any_more():
    assert render("{% tally 400 %}").count("M") == 60


@pytest.mark.parametrize(
    ("url_name", "word"),
    [
        ("today", "Today"), ("job-list", "Jobs"), ("bench", "Jobs"), ("work-order", "Jobs"), ("quote", "Quotes"),
        ("sheet-new", "Sheets"), ("past-panel", "Past panels"),
    ],
)  # fmt: skip
def test_the_word_of_a_page_is_underlined(url_name, word):
    owner = SimpleNamespace(is_owner=True)
    request = SimpleNamespace(resolver_match=SimpleNamespace(url_name=url_name), user=owner)
    markup = render("{% navigation %}", request=request)
    assert markup.count("aria-current") == 1
    assert f'aria-current="page">{word}<' in markup


def test_no_word_is_underlined_on_the_shops_own_pages():
    request = SimpleNamespace(resolver_match=SimpleNamespace(url_name="shop-settings"))
    assert "aria-current" not in render("{% navigation %}", request=request)
    assert "aria-current" not in render("{% navigation %}", request=SimpleNamespace(resolver_match=None))


class Drop(forms.Form):
    """A form with one of every kind of field."""

    drop = forms.CharField(help_text="Measured at the edge.")
    metal = forms.ChoiceField(choices=[("a", "Aluminium")])
    crown = forms.ChoiceField(choices=[("r", "round"), ("f", "full")], widget=forms.RadioSelect)
    shown = forms.BooleanField(required=False)
    note = forms.CharField(widget=forms.Textarea, required=False)
    photo = forms.FileField(required=False)


FIELD = '{% include "components/_field.html" with field=form.drop unit="mm" %}'


def test_a_field_keeps_what_was_typed_and_says_what_fits_beside_it():
    form = Drop({"drop": "62 <b>"})
    form.add_error("drop", "The edge is 120.3 from centre; use less.")
    markup = render(FIELD, form=form)
    assert 'value="62 &lt;b&gt;"' in markup
    assert 'aria-invalid="true"' in markup
    assert 'aria-describedby="id_drop_helptext id_drop_error"' in markup
    assert 'id="id_drop_helptext"' in markup
    assert 'id="id_drop_error"' in markup
    assert "use less." in markup
    assert "hatch-square" in markup


def test_a_field_without_a_fault_has_no_fault_in_it():
    markup = render(FIELD, form=Drop())
    assert "hatch-square" not in markup
    assert "id_drop_error" not in markup
    assert ">mm</span>" in markup


@pytest.mark.parametrize(
    ("name", "part"),
    [("metal", "choice-in"), ("crown", "<fieldset"), ("shown", 'class="tick"'), ("note", "<textarea"),
     ("photo", 'type="file"')],
)  # fmt: skip
def test_every_kind_of_field_has_its_own_drawing(name, part):
    markup = render('{% include "components/_field.html" with field=field %}', field=Drop()[name])
    assert part in markup
    assert "line-box figures-in" not in markup
