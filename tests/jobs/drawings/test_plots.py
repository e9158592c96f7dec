"""Plots of readings and of past panels tell what was read and what was planned."""

import pytest

from jobs.drawings.plot import PassValue, PastPoint, ThisOne, edge_plan, past_panels_plot, readings_plot
from jobs.drawings.scene import Circle
from tests.jobs.drawings.panels import panel, paths, words


def test_plan_begins_flat_and_ends_finished():
    work = panel("arch")
    plan = edge_plan(work)
    assert plan[0].value == pytest.approx(work.edges[0].flat_length_mm)
    assert plan[-1].value == pytest.approx(work.edges[0].finished_length_mm)
    assert edge_plan(panel("fold")) == ()


def test_readings_are_told_beside_the_plan():
    plan = edge_plan(panel("arch"))
    scene = readings_plot(plan, [PassValue(1, 560.0)])
    assert "after pass 1: 560 mm where the plan says" in scene.description
    assert readings_plot(plan, []).description == "Nothing read yet."
    with pytest.raises(ValueError, match="no plan"):
        readings_plot([], [])


def test_past_panels_that_cannot_be_drawn_are_counted():
    scene = past_panels_plot([PastPoint(2, 3), PastPoint(0, 3), PastPoint(2, 0)], ThisOne(3, 4, 5))
    assert "2 without hours or driver cannot be drawn here." in words(scene)
    assert "half by 4 h, four in five by 5 h" in scene.description
    with pytest.raises(ValueError, match="no hours to draw"):
        past_panels_plot([PastPoint(0, 0)])


def test_kinds_of_past_panel_differ_in_shape():
    scene = past_panels_plot(
        [PastPoint(2, 3), PastPoint(3, 4, second_hand=True), PastPoint(4, 4, left_out=True)]
    )
    assert len(paths(scene, "past")) == 1
    circles = [leaf.role for leaf in scene.leaves() if isinstance(leaf, Circle)]
    assert circles == ["past", "past-out"]
