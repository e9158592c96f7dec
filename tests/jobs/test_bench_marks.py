"""Small marks of the bench page."""

from datetime import timedelta
from itertools import pairwise
from types import SimpleNamespace

import pytest

from jobs.bench_marks import WIDTH, minute_ticks, stage_marks
from jobs.drawings.scene import Area, Path, bounds, leaves


def stage(slug, low, progress):
    kind = SimpleNamespace(slug=slug, name=slug.title())
    return SimpleNamespace(
        stage=SimpleNamespace(kind=kind, budget_low_hours=low, progress=progress), used=low * progress
    )


@pytest.mark.parametrize(
    ("passed", "gone"),
    [(None, 0), (timedelta(0), 1), (timedelta(minutes=102, seconds=18), 43), (timedelta(hours=1), 1)],
)
def test_minutes_gone_of_the_hour_that_runs(passed, gone):
    assert sum(tick.gone for tick in minute_ticks(passed)) == gone
    assert len(minute_ticks(passed)) == 60


@pytest.mark.parametrize("low", [(1, 12, 7, 5), (0, 0, 0, 0), (0.1, 400, 0.1, 0)])
def test_stages_stand_side_by_side_over_the_whole_width(low):
    names = ("layout", "gathering", "blending", "welding")
    scene = stage_marks([stage(name, one, 0.5) for name, one in zip(names, low, strict=True)])
    parts = list(leaves(scene.items))
    boxes = [bounds(one.runs) for one in parts if isinstance(one, Path)]
    assert boxes[0].left == pytest.approx(0.75)
    assert boxes[-1].right == pytest.approx(WIDTH - 0.75)
    for one, two in pairwise(boxes):
        assert one.right == pytest.approx(two.left)
    filled = [bounds(one.runs) for one in parts if isinstance(one, Area) and one.role != "reached"]
    for box, fill in zip(boxes, filled, strict=True):
        assert fill.right - fill.left == pytest.approx((box.right - box.left) / 2)
    assert "gathering 50%" in scene.description


def test_before_any_work_nothing_is_reached():
    roles = [one.role for one in leaves(stage_marks([stage("layout", 1, 0), stage("own", 2, 0)]).items)]
    assert roles == ["outline", "outline"]
