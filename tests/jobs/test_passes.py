"""Passes ticked, and how far that brings the gathering stage."""

from decimal import Decimal

import pytest

from jobs.models import PassDone
from jobs.panels import work_of
from jobs.passes import PassRefused, share_of, tick_pass, untick_pass


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
