"""A tape lies on a face of the sheet, the figures are for its middle: worked out here by circumferences."""

import math

import pytest

from jobs.forming import FORMS, Marking, Sheet, Work, build, work_out
from jobs.forming.taped import at_each, finished_outside_mm, outside_mm

close = pytest.approx


def worked(form: str, thickness_mm: float = 2.0, **given: object) -> Work:
    return work_out(build(form, given), Sheet(thickness_mm), Marking())


def arch(**changed: object) -> Work:
    return worked("arch", **{"outside_radius_mm": 200.0, "turn_rad": math.tau, "bend_radius_mm": 10.0, "depth_mm": 50.0}
                  | changed)  # fmt: skip


def test_a_collar_round_a_disc_reads_its_outer_circumference():
    work = arch()
    # The collar stands square: its outer face is the plan radius itself.
    assert work.edges[0].finished_length_mm + finished_outside_mm(work) == close(math.tau * 200)


def test_a_collar_round_an_opening_reads_less_on_the_face_that_is_the_webs_outside():
    work = arch(stretch=True, bend_radius_mm=3.0, depth_mm=20.0)
    assert work.edges[0].finished_length_mm + finished_outside_mm(work) == close(math.tau * 200)
    assert finished_outside_mm(work) < 0


def test_a_flat_sheet_has_no_outside_that_is_longer():
    assert outside_mm(arch(), 0.0) == 0


def test_a_half_ball_reads_its_outer_circumference():
    work = worked("dome", diameter_mm=200.0, height_mm=100.0)
    assert work.edges[0].finished_length_mm + finished_outside_mm(work) == close(math.pi * 202)


def test_a_corner_of_a_tray_reads_a_quarter_of_its_outer_circle():
    work = worked(
        "tray", width_mm=300.0, length_mm=400.0, corner_radius_mm=60.0, bend_radius_mm=6.0, depth_mm=30.0
    )
    assert work.edges[0].finished_length_mm + finished_outside_mm(work) == close(math.pi / 2 * 60)


def test_the_edge_of_a_sweep_lies_half_a_thickness_out_as_far_as_it_faces_outwards():
    work = worked("sweep", crown_radius_mm=330.0, turn_rad=2.0, width_mm=180.0, flat_mm=60.0, drop_mm=30.0)
    # ψ = 2 atan(30/60): cos ψ = (1 - 1/4)/(1 + 1/4) = 0.6
    assert finished_outside_mm(work) == close(2.0 * 1.0 * 0.6)


@pytest.mark.parametrize("name", FORMS)
def test_every_form_with_an_edge_to_tape_says_what_the_outside_face_reads(name):
    """In thick sheet every example's edge faces outwards somewhat, so that the two faces differ."""
    work = worked(name, 4.0, **{each.name: each.example for each in FORMS[name].dimensions})
    assert bool(finished_outside_mm(work)) is bool(work.edges)


def test_what_a_tape_cannot_tell_is_not_told():
    assert finished_outside_mm(arch(turn_rad=0.2, outside_radius_mm=900.0)) == 0  # 0.2 mm
    assert finished_outside_mm(worked("roll", width_mm=100.0, radius_mm=90.0, turn_rad=3.0)) == 0
    assert finished_outside_mm(worked("dome", diameter_mm=200.0, height_mm=60.0, method="stretch")) == 0


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ("arch", ""),
        ("dome", ""),
        ("sweep", "at either edge"),
        ("crown", "at either edge"),
        ("tray", "at each corner"),
    ],
)
def test_a_form_worked_at_several_places_alike_says_so(form, said):
    examples = {each.name: each.example for each in FORMS[form].dimensions}
    assert at_each(worked(form, **examples)) == said


@pytest.mark.parametrize("form", ["roll", "fold"])
def test_a_form_that_is_only_bent_has_no_such_place(form):
    assert at_each(worked(form, **{each.name: each.example for each in FORMS[form].dimensions})) == ""
