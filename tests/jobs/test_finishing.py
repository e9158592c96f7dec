"""A stage said to be done while something is still open there."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from jobs.clock import clock_in, clock_out
from jobs.finishing import NotAskedYet, say_done, still_open_at
from jobs.models import TimeEntry
from jobs.passes import tick_pass
from jobs.progress import finish_stage


def test_with_nothing_open_the_stage_is_done(stages, shaper):
    assert not still_open_at(stages["layout"])
    assert say_done(stages["layout"], shaper).done_at


def test_clocks_earlier_stages_and_passes_are_named_once_each(
    stages, shaper, owner, django_assert_max_num_queries
):
    gathering = stages["gathering"]
    clock_in(gathering, owner, timezone.now() - timedelta(hours=20))
    tick_pass(gathering.panel, 1, shaper)
    with django_assert_max_num_queries(3):
        found = still_open_at(gathering)
    clock, earlier, passes = found.sentences(shaper)
    assert clock.startswith("Osk’s clock still runs here, since")
    assert clock.endswith("and may be forgotten.")
    assert earlier == "Layout is not done."
    left = gathering.panel.pass_count - 1
    assert passes == f"{left} passes have no tick."
    later = still_open_at(stages["smoothing"])
    assert later.sentences(shaper) == ["Layout, gathering and blending are not done."]


def test_yes_counts_only_for_what_was_shown(stages, shaper, owner):
    layout = stages["layout"]
    clock_in(layout, shaper, timezone.now() - timedelta(minutes=30))
    seen = still_open_at(layout).key
    clock_in(layout, owner)
    with pytest.raises(NotAskedYet) as asked:
        say_done(layout, shaper, seen=seen)
    assert len(asked.value.open.clocks) == 2
    clock_out(owner)
    at = timezone.now() - timedelta(minutes=10)
    assert say_done(layout, shaper, seen=seen, stop_clock=True, at=at).done_at
    assert TimeEntry.objects.get(person=shaper).ended_at == at


def test_a_clock_left_running_on_a_done_stage_can_still_be_stopped(stages, shaper):
    layout = stages["layout"]
    clock_in(layout, shaper, timezone.now() - timedelta(hours=1))
    say_done(layout, shaper, seen=still_open_at(layout).key)
    assert clock_out(shaper, stage=layout).hours == pytest.approx(Decimal(1), abs=Decimal("0.01"))


def test_done_twice_asks_nothing(stages, shaper):
    stage = finish_stage(stages["smoothing"], shaper)
    assert say_done(stage, shaper).done_at == stage.done_at
