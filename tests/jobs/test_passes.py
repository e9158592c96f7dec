"""Passes ticked, and how far that brings the gathering stage."""

from decimal import Decimal

import pytest

from jobs.models import PassDone, Reading
from jobs.panels import work_of
from jobs.passes import FarFromPlan, PassRefused, share_of, tick_pass, untick_pass
from jobs.reading_log import log_reading
from jobs.readings import standing_of
from shop.models import Shop


def test_ticked_passes_move_gathering_on_by_their_take_up(gathering, shaper):
    panel = gathering.panel
    passes = work_of(panel).passes
    tick_pass(panel, 1, shaper, gathers_made=9)
    gathering.refresh_from_db()
    whole = sum(one.take_up_mm for one in passes)
    assert float(gathering.progress) == pytest.approx(passes[0].take_up_mm / whole, abs=0.0006)
    for one in passes[1:]:
        tick_pass(panel, one.number, shaper)
    gathering.refresh_from_db()
    assert (gathering.progress, gathering.done_at) == (1, None)  # done is the shaper's word


def test_a_tick_twice_is_one_and_a_later_count_is_kept(gathering, shaper):
    tick_pass(gathering.panel, 1, shaper)
    tick_pass(gathering.panel, 1, shaper, gathers_made=7)
    tick_pass(gathering.panel, 1, shaper)
    assert PassDone.objects.get().gathers_made == 7


def test_a_tick_can_be_taken_back(gathering, shaper):
    tick_pass(gathering.panel, 1, shaper)
    untick_pass(gathering.panel, 1, shaper)
    gathering.refresh_from_db()
    assert gathering.progress == 0
    with pytest.raises(PassRefused, match="not ticked"):
        untick_pass(gathering.panel, 1, shaper)


@pytest.mark.parametrize("number", [0, 4, 30000])
def test_a_pass_that_is_not_there_is_refused(gathering, shaper, number):
    with pytest.raises(PassRefused, match="has 3 passes"):
        tick_pass(gathering.panel, number, shaper)


def test_shares_add_up(panel):
    passes = work_of(panel).passes
    assert share_of(passes, {1, 2, 3}) == 1
    assert share_of(passes, set()) == 0
    parts = [share_of(passes, {number}) for number in (1, 2, 3)]
    assert abs(sum(parts) - 1) <= Decimal("0.0015")
    assert share_of((), {1}) == 0


@pytest.mark.parametrize("off", [0, 8, -8])
def test_a_count_near_the_plan_is_taken_as_it_is(gathering, shaper, off):
    planned = work_of(gathering.panel).passes[1].gathers
    assert tick_pass(gathering.panel, 2, shaper, planned + off).gathers_made == planned + off


@pytest.mark.parametrize("times", [0, 4])
def test_a_count_far_from_the_plan_is_asked_about(gathering, shaper, times):
    planned = work_of(gathering.panel).passes[1].gathers
    with pytest.raises(FarFromPlan, match=f"far from the {planned} planned for pass 2"):
        tick_pass(gathering.panel, 2, shaper, planned * times)
    assert tick_pass(gathering.panel, 2, shaper, planned * times, sure=True).gathers_made == planned * times


def test_the_plan_that_counts_is_the_one_after_the_readings(gathering, shaper):
    """A first pass that did next to nothing leaves more gathers to the second; so many are not far then."""
    panel = gathering.panel
    first, second = work_of(panel).passes[:2]
    log_reading(panel, shaper, 1, "edge-length", first.edge_length_mm * 1.04, sure=True)
    replanned = standing_of(panel, list(Reading.objects.all()), Shop.standing()).passes[1].gathers
    assert replanned > second.gathers
    with pytest.raises(FarFromPlan, match=f"far from the {replanned} planned"):
        tick_pass(panel, 2, shaper, replanned * 4)
