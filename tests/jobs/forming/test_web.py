"""A flange on a curved edge with the flat web it grows out of: the blank carries both, the work is the flange's."""

import math

import pytest

from jobs.forming import ImpossibleShape, Marking, Sheet, Work, build, work_out
from jobs.forming.outline import circle
from tests.jobs.forming.strategies import steps_of

close = pytest.approx
SHEET = Sheet(1.0)


def worked(web_mm: float = 0.0, trim_mm: float = 0.0, **changed: object) -> Work:
    """R₀ = 200 - 0.5 - 25.5 = 174 mm where gathered, 200 + 0.5 + 25.5 = 226 mm where stretched."""
    given = {"outside_radius_mm": 200.0, "turn_rad": math.pi / 2, "bend_radius_mm": 25.0, "depth_mm": 60.0}
    return work_out(build("arch", {**given, "web_mm": web_mm, **changed}), SHEET, Marking(trim_mm))


def test_a_web_adds_its_own_ring_to_every_area_and_moves_nothing():
    alone, whole = worked(), worked(100.0)
    ring_mm2 = math.pi / 4 * (174**2 - 74**2)
    for area in ("finished_area_mm2", "flat_area_by_length_mm2", "flat_area_by_area_mm2"):
        assert getattr(whole, area) == close(getattr(alone, area) + ring_mm2, rel=1e-12)
    assert whole.mass_kg == close(alone.mass_kg + ring_mm2 * 7850e-9, rel=1e-12)
    assert whole.moved_area_mm2 == alone.moved_area_mm2
    assert whole.worked_area_mm2 == alone.worked_area_mm2
    assert (whole.passes, whole.edges) == (alone.passes, alone.edges)
    assert [line.from_edge_mm for line in whole.lines] == [line.from_edge_mm for line in alone.lines]


def test_a_web_round_an_opening_lies_outside_the_start_line():
    alone, whole = worked(stretch=True), worked(40.0, stretch=True)
    ring_mm2 = math.pi / 4 * (266**2 - 226**2)
    assert whole.finished_area_mm2 == close(alone.finished_area_mm2 + ring_mm2, rel=1e-12)
    # A quarter ring astride the y axis is as wide as the chord of its outer radius.
    assert whole.blank_length_mm == close(2 * 266 * math.sin(math.pi / 4), rel=1e-12)


def test_a_whole_turn_with_its_web_to_the_middle_is_a_disc_without_a_seam():
    pan = worked(174.0, turn_rad=math.tau)
    # 174 + 25.5 π/2 + (60 - 0.5 - 25.5)
    edge_mm = 174 + 25.5 * math.pi / 2 + 34
    assert pan.by_length == circle(pan.edges[0].flat_radius_by_length_mm)
    assert pan.blank_width_mm == pan.blank_length_mm == close(2 * edge_mm, rel=1e-12)
    assert pan.flat_area_by_length_mm2 == close(math.pi * edge_mm**2, rel=1e-12)


def test_a_web_past_the_middle_of_its_curve_is_refused_with_what_fits():
    with pytest.raises(
        ImpossibleShape, match=r"web of 180 mm reaches past the middle.*at most 174 mm"
    ) as refusal:
        worked(180.0)
    assert refusal.value.field == "web_mm"
    assert worked(180.0, stretch=True).finished_area_mm2 > 0


def test_the_web_is_told_among_the_figures_only_where_there_is_one():
    assert "Flat web" not in [step.name for step in steps_of(worked())]
    web = next(step for step in steps_of(worked(100.0)) if step.name == "Flat web")
    assert web.value == close(math.pi / 4 * (174**2 - 74**2), rel=1e-12)
    assert web.figures == "1.5708 rad × 100 × (174 − 100 / 2)"
