"""Which sheet a blank is cut from: the smallest on the rack that takes it, then one on order, then a new one."""

import pytest

from jobs.models import Panel
from jobs.sheet_choice import cut_for
from jobs.sheets_needed import USUAL_SHEET_MM
from shop.models import SheetStock


@pytest.fixture
def blank(panel) -> Panel:
    panel.blank_length_mm, panel.blank_width_mm = 900, 400
    return panel


@pytest.fixture
def stock(aluminium):
    def add(length_mm: float, width_mm: float, **more) -> SheetStock:
        return SheetStock.objects.create(
            metal=aluminium, length_mm=length_mm, width_mm=width_mm, **{"thickness_mm": 1.6, **more}
        )

    return add


def cut(panel: Panel, count: int = 1, units: str = "mm"):
    return cut_for(panel, count, list(SheetStock.objects.all()), units)


def test_the_smallest_on_the_rack_that_takes_it_serves(blank, stock):
    stock(2500, 1250)
    drop = stock(1000, 450, kind="drop")
    stock(800, 450)
    assert cut(blank).stock == drop
    assert cut(blank).drop.length_mm == pytest.approx(1000)


def test_a_sheet_on_the_rack_goes_before_a_smaller_one_on_order(blank, stock):
    rack = stock(2500, 1250)
    stock(1000, 450, state="ordered")
    assert cut(blank).stock == rack


@pytest.mark.parametrize("other", [{"thickness_mm": 2.0}, {"state": "used"}])
def test_another_thickness_and_a_used_sheet_serve_nothing(blank, stock, other):
    stock(2500, 1250, **other)
    assert cut(blank).stock is None


def test_a_pair_is_laid_out_together(blank, stock):
    stock(1000, 450)
    both = stock(1000, 900)
    assert cut(blank).stock != both
    assert cut(blank, 2).stock == both
    assert len(cut(blank, 2).sheets[0].placed) == 2


def test_a_rolling_direction_forbids_turning_it(blank, stock):
    stock(450, 1000)
    assert cut(blank).stock is not None
    blank.grain = Panel.Grain.ALONG
    assert cut(blank).stock is None
    blank.grain = Panel.Grain.ACROSS  # its length lies across the sheet's rolling direction
    assert cut(blank).stock is not None


def test_new_sheets_are_of_the_size_bought_last(blank, stock):
    assert [(sheet.length_mm, sheet.width_mm) for sheet in cut(blank).sheets] == [USUAL_SHEET_MM["mm"]]
    (new,) = cut(blank, units="in").sheets
    assert (new.length_mm / 25.4, new.width_mm / 25.4) == pytest.approx((96, 48))
    stock(3000, 1500, thickness_mm=2)
    assert cut(blank).sheets[0].length_mm == 3000


def test_a_pair_that_needs_two_new_sheets_gets_two(blank):
    blank.blank_length_mm, blank.blank_width_mm = 1900, 800
    assert len(cut(blank, 2).sheets) == 2


def test_what_fits_on_no_sheet_is_laid_out_on_none(blank):
    blank.blank_length_mm = 5000
    assert cut(blank).too_large
    assert not cut(blank).sheets
    assert cut(blank).drop is None
