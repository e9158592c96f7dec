"""What the builder says of hours and price is what the quote will say of the same panels."""

import pytest

from estimates.builder.reckoning import Standing, reckon
from estimates.drafts import new_draft
from estimates.quoting.figures import quote_figures
from jobs.panels import add_mirrored_hand, work_of
from shop.models import SheetStock, StageKind


def reckoned(panel, shop, owner, count=1):
    return reckon(panel, work_of(panel), count, Standing.of(shop, owner))


@pytest.fixture(params=[False, True], ids=["by mass", "from a sheet"])
def metal(request, aluminium):
    if request.param:
        SheetStock.objects.create(metal=aluminium, thickness_mm=1.6, length_mm=2500, width_mm=1250, cost=92)


def test_one_panel_adds_to_a_quote_what_the_builder_says(panel, shop, owner, metal):
    figures = quote_figures(new_draft(panel.job, owner, shop), shop)
    told = reckoned(panel, shop, owner)
    assert (told.price.low, told.price.high) == (figures.priced.low.net, figures.priced.high.net)
    assert told.hours.total.p50 == pytest.approx(figures.total_hours.p50)
    assert told.hours.total.p80 == pytest.approx(figures.total_hours.p80)


def test_so_does_a_pair_before_it_is_saved(panel, shop, owner, metal):
    told = reckoned(panel, shop, owner, count=2)
    add_mirrored_hand(panel, owner)
    figures = quote_figures(new_draft(panel.job, owner, shop), shop)
    assert (told.price.low, told.price.high) == (figures.priced.low.net, figures.priced.high.net)
    for stage in told.hours.stages:
        assert stage.high == pytest.approx(figures.stage_hours[stage.kind.slug].p80)


def test_the_rows_add_up_to_the_price(panel, shop, owner, metal):
    shop.prices_include_tax = True
    told = reckoned(panel, shop, owner, count=2).price
    assert sum(row.low for row in told.rows) == told.low
    assert sum(row.high for row in told.rows) == told.high
    assert told.rows[-1].name == "VAT 23 %"


def test_the_second_hand_takes_less_than_the_first(panel, shop, owner):
    first, second = reckoned(panel, shop, owner, count=2).hours.hours
    assert first.total.p50 * 0.8 < second.total.p50 < first.total.p50


def test_a_stage_of_the_shops_own_counts_by_the_owners_word(panel, shop, owner):
    before = reckoned(panel, shop, owner).hours.total.p50
    StageKind.objects.create(
        name="Trimming", slug="trimming", position=5, driver="fixed", fixed_low_hours=2, fixed_high_hours=3
    )
    assert reckoned(panel, shop, owner).hours.total.p50 == before  # this panel is not trimmed
    panel.own_stages = ["trimming"]
    told = reckoned(panel, shop, owner)
    assert told.hours.total.p50 > before + 1.5
    assert [stage.kind.slug for stage in told.hours.stages if stage.by_owner] == ["trimming"]
    assert told.price.without_rate == ("Trimming",)


def test_a_shaper_is_told_no_price(panel, shop, shaper):
    assert reckoned(panel, shop, shaper).price is None
