"""Plots of readings and of past panels tell what was read and what was planned."""

import pytest

from jobs.drawings.axes import INCH_STEPS_MM
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


def test_what_is_to_come_is_drawn_where_it_is_no_longer_the_plan():
    plan = edge_plan(panel("arch"))
    off = [PassValue(1, plan[1].value + 15), PassValue(2, plan[2].value + 9), plan[3]]
    scene = readings_plot(plan, off[:1], coming=off)
    assert (len(paths(scene, "pass")), "now" in words(scene)) == (1, True)
    assert f"now planned after pass 2: {plan[2].value + 9:.1f} mm" in scene.description
    same = readings_plot(plan, [plan[1]], coming=plan[1:])
    assert (paths(same, "pass"), "now" in words(same)) == ([], False)


@pytest.mark.parametrize("off_mm", [0.0, 4.0, 40.0])
def test_the_axis_of_an_inch_shop_has_whole_inches_or_fractions_of_a_rule(off_mm):
    plan = edge_plan(panel("arch"))[2:]
    scene = readings_plot(
        plan,
        [PassValue(1, plan[0].value + off_mm)],
        write_value=lambda mm: f"<{mm / 25.4:g}>",
        steps=INCH_STEPS_MM,
    )
    figures = [float(text.text.strip("<>")) for text in scene.texts() if text.text.startswith("<")]
    assert len(figures) >= 3
    assert all(figure * 32 == int(figure * 32) for figure in figures)


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
