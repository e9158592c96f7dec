"""Readings at the bench, and what the second hand learns from the first."""

import math

import pytest

from jobs.forming import (
    FORMS,
    ImpossibleShape,
    Marking,
    Reading,
    Sheet,
    Work,
    build,
    correction_from,
    mirror,
    readings_for,
    replan,
    work_out,
)
from jobs.forming.readings import target_of


def worked(name: str, **changes: object) -> Work:
    values = {dimension.name: dimension.example for dimension in FORMS[name].dimensions} | changes
    return work_out(build(name, values), Sheet(1.2), Marking())


ARCH = worked("arch")


@pytest.mark.parametrize("name", ["arch", "sweep", "tray", "dome", "crown"])
def test_a_reading_that_is_on_plan_leaves_the_plan_as_it_is(name):
    work = worked(name)
    for done in range(len(work.passes) + 1):
        for kind in readings_for(work):
            plan = replan(work, done, Reading(kind, target_of(work, done, kind)))
            assert plan.behind_mm == pytest.approx(0.0, abs=1e-6)
            assert plan.left_mm == pytest.approx(
                math.fsum(p.take_up_mm for p in work.passes[done:]), abs=1e-6
            )
            assert not plan.is_past or abs(plan.left_mm) < 1e-6
            assert [p.gathers for p in plan.passes] == [p.gathers for p in work.passes[done:]]


def test_an_edge_still_too_long_is_shared_over_the_passes_to_come():
    plan = replan(ARCH, 1, Reading("edge", ARCH.passes[0].edge_length_mm + 10))
    assert plan.behind_mm == pytest.approx(10)
    assert plan.left_mm == pytest.approx(
        ARCH.passes[0].edge_length_mm + 10 - ARCH.edges[0].finished_length_mm
    )
    assert plan.line == "centre"
    assert [each.line for each in plan.passes] == ["centre", "stop"]
    assert sum(each.take_up_mm for each in plan.passes) == pytest.approx(plan.left_mm)
    assert plan.gathers == math.ceil(plan.passes[0].take_up_mm / 5)
    assert plan.passes[-1].edge_length_mm == pytest.approx(ARCH.edges[0].finished_length_mm)
    assert not plan.is_past


def test_after_the_last_pass_what_is_left_falls_to_the_last_line():
    plan = replan(ARCH, 3, Reading("edge", ARCH.edges[0].finished_length_mm + 12))
    assert (plan.line, plan.gathers, plan.gathers_left) == ("stop", 3, 3)
    assert plan.left_mm == pytest.approx(12)
    assert not plan.is_past


def test_gone_past_asks_for_no_gathers_but_says_so():
    plan = replan(ARCH, 2, Reading("edge", ARCH.edges[0].finished_length_mm - 4))
    assert plan.is_past
    assert plan.left_mm == pytest.approx(-4)
    assert plan.gathers == plan.gathers_left == 0
    assert plan.gathers_over == 1
    assert replan(ARCH, 2, Reading("edge", ARCH.edges[0].finished_length_mm - 14)).gathers_over == 3
    assert replan(ARCH, 2, Reading("edge", ARCH.edges[0].finished_length_mm - 2)).gathers_over == 0


@pytest.mark.parametrize("stretch", [False, True])
def test_what_has_gone_past_is_undone_before_the_passes_to_come_which_keep_the_finished_edge(stretch):
    work = worked("arch", stretch=stretch)
    finished = work.edges[0].finished_length_mm
    plan = replan(work, 1, Reading("edge", finished + (9 if stretch else -9)))
    assert plan.is_past
    assert [(each.gathers, each.take_up_mm, each.edge_length_mm) for each in plan.passes] == [
        (0, 0, finished)
    ] * 2


@pytest.mark.parametrize("step_mm", [0.1, 25.4 / 32])
def test_an_edge_that_reads_as_the_finished_one_has_its_length(step_mm):
    finished = ARCH.edges[0].finished_length_mm
    read = math.floor(finished / step_mm + 0.5) * step_mm
    assert abs(read - finished) > 1e-3
    for done in (2, 3):
        plan = replan(ARCH, done, Reading("edge", read), step_mm)
        assert (plan.left_mm, plan.gathers_left, plan.is_past) == (0, 0, False)
    over = replan(ARCH, 3, Reading("edge", read + step_mm), step_mm)
    assert (over.gathers_left, over.is_past) == (1, False)
    assert replan(ARCH, 3, Reading("edge", read - step_mm), step_mm).is_past


def test_gone_past_when_stretching_is_too_long():
    work = worked("arch", stretch=True)
    finished = work.edges[0].finished_length_mm
    assert replan(work, 3, Reading("edge", finished + 1)).is_past
    short = replan(work, 3, Reading("edge", finished - 11))
    assert not short.is_past
    assert short.left_mm == pytest.approx(-11)
    assert short.gathers == 3


def test_angle_height_and_thickness_are_read_back_to_the_edge():
    dome = worked("dome")
    edge = dome.edges[0]
    middle = (dome.passes[0].section_angle_rad + dome.passes[1].section_angle_rad) / 2
    plan = replan(dome, 2, Reading("angle", middle))
    assert plan.edge_length_mm == pytest.approx(
        (dome.passes[0].edge_length_mm + dome.passes[1].edge_length_mm) / 2
    )
    assert plan.left_to_read == pytest.approx(dome.passes[-1].section_angle_rad - middle)
    swollen = replan(dome, 3, Reading("thickness", edge.thickness_mm))
    assert swollen.left_mm == pytest.approx(0.0, abs=1e-9)
    low = replan(dome, 3, Reading("height", 55.0))
    assert low.left_to_read == pytest.approx(5.0)
    assert low.left_mm > 0


def test_a_stretched_dome_is_read_by_height_alone():
    dome = worked("dome", method="stretch")
    assert readings_for(dome) == ("angle", "height")
    assert replan(dome, 1, Reading("height", 70.0)).is_past
    first, second = (each.height_mm for each in dome.passes[:2])
    assert replan(dome, 1, Reading("height", first - 1)).line == "ring 1"
    assert replan(dome, 1, Reading("height", first)).line == "ring 2"
    assert replan(dome, 2, Reading("height", second + 1)).line == "ring 3"
    short = replan(dome, 3, Reading("height", 50.0))
    assert not short.is_past
    assert short.left_to_read == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("done", "kind", "value", "words"),
    [
        (4, "edge", 500.0, "passes 1 to 3"),
        (-1, "edge", 500.0, "passes 1 to 3"),
        (1, "height", 5.0, "no crown height to read"),
        (1, "weight", 5.0, "no such thing to read"),
        (1, "edge", math.nan, "finite number"),
        (1, "edge", -3.0, "more than 0"),
        (1, "angle", -0.1, "0 or more"),
        (1, "thickness", 0.0, "more than 0"),
    ],
)
def test_readings_that_make_no_sense_are_refused(done, kind, value, words):
    with pytest.raises(ImpossibleShape, match=words):
        replan(ARCH, done, Reading(kind, value))


def test_a_shape_without_passes_has_nothing_to_read():
    roll = worked("roll")
    assert readings_for(roll) == ()
    with pytest.raises(ImpossibleShape, match="no passes"):
        replan(roll, 0, Reading("edge", 100.0))


def test_second_hand_starts_with_what_the_first_hand_took():
    """The first took 9 gathers where the plan said 7."""
    seven = worked("arch", depth_mm=80.0, turn_rad=1.0)
    number, planned = next((each.number, each.gathers) for each in seven.passes if each.gathers > 3)
    learned = correction_from(seven, {number: planned + 2})
    second = mirror(work_out(seven.form, seven.sheet, seven.marking, learned))
    assert second.passes[number - 1].gathers == planned + 2
    assert second.passes[number - 1].take_up_mm == seven.passes[number - 1].take_up_mm
    drawn = [gather for gather in second.gathers if gather.pass_number == number]
    assert len(drawn) == planned + 2
    others = [each.gathers for each in second.passes if each.number != number]
    assert others == [each.gathers for each in seven.passes if each.number != number]


def test_a_corrected_plan_stays_corrected_when_it_is_replanned():
    learned = correction_from(ARCH, {2: ARCH.passes[1].gathers + 3})
    second = work_out(ARCH.form, ARCH.sheet, ARCH.marking, learned)
    plan = replan(second, 1, Reading("edge", second.passes[0].edge_length_mm))
    assert plan.gathers == ARCH.passes[1].gathers + 3


@pytest.mark.parametrize("taken", [{4: 3}, {1: -1}, {1: 2.5}, {1: True}])
def test_gathers_that_cannot_have_been_made_are_refused(taken):
    with pytest.raises(ImpossibleShape):
        correction_from(ARCH, taken)
