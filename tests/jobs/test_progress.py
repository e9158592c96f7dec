"""Progress on the shaper's word, done and reopened."""

from decimal import Decimal

import pytest

from jobs.passes import tick_pass
from jobs.progress import ProgressRefused, finish_stage, goes_by_passes, reopen_stage, set_progress
from shop.models import AuditEntry


def test_the_shapers_word_moves_a_stage_on(stages, shaper):
    stage = set_progress(stages["blending"], shaper, Decimal("0.5"))
    assert (stage.progress, stage.done_at) == (Decimal("0.5"), None)
    assert stage.started_at is not None
    trail = AuditEntry.objects.get(what="moved on stage").changes["progress"]
    assert [Decimal(value) for value in trail] == [0, Decimal("0.5")]


def test_the_whole_is_done_and_less_reopens(stages, shaper):
    stage = finish_stage(stages["blending"], shaper)
    assert (stage.progress, stage.done_at is not None) == (1, True)
    first = stage.done_at
    assert finish_stage(stage, shaper).done_at == first
    stage = set_progress(stage, shaper, Decimal("0.9"))
    assert (stage.progress, stage.done_at) == (Decimal("0.9"), None)


def test_gathering_goes_by_its_passes(stages, shaper):
    gathering = stages["gathering"]
    assert goes_by_passes(gathering)
    with pytest.raises(ProgressRefused, match="Tick the passes"):
        set_progress(gathering, shaper, Decimal("0.5"))
    tick_pass(gathering.panel, 1, shaper)
    gathering.refresh_from_db()
    by_passes = gathering.progress
    finish_stage(gathering, shaper)
    reopened = reopen_stage(gathering, shaper)
    assert (reopened.progress, reopened.done_at) == (by_passes, None)


def test_reopening_stands_at_three_quarters_until_the_shaper_says(stages, shaper):
    with pytest.raises(ProgressRefused, match="open already"):
        reopen_stage(stages["smoothing"], shaper)
    finish_stage(stages["smoothing"], shaper)
    assert reopen_stage(stages["smoothing"], shaper).progress == Decimal("0.75")


@pytest.mark.parametrize("share", [Decimal("-0.1"), Decimal("1.001")])
def test_a_share_outside_is_refused(stages, shaper, share):
    with pytest.raises(ProgressRefused, match="0 to 100"):
        set_progress(stages["layout"], shaper, share)
