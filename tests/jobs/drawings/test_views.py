"""Sections and views say what the panel's figures say."""

import itertools
import math

import pytest

from jobs.drawings.bends import arch_course
from jobs.drawings.courses import Course, Piece, symmetrical
from jobs.drawings.crowns import Crowned, crowned_of
from jobs.drawings.labels import spread
from jobs.drawings.letters import width
from jobs.drawings.pattern import flat_pattern
from jobs.drawings.piece import small_piece
from jobs.drawings.scene import Circle, bounds
from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.forming import FORMS
from jobs.forming.outline import length
from tests.jobs.drawings.panels import awkward, panel, paths, words


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("mirrored", [False, True])
def test_every_form_has_its_three_drawings(form, mirrored):
    work = panel(form)
    for scene in (
        flat_pattern(work, mirrored=mirrored),
        section(work, mirrored=mirrored),
        side_view(work, mirrored=mirrored),
    ):
        assert scene.description
        assert scene.width > 0
        assert scene.height > 0


def test_the_view_tells_what_a_tape_on_the_outside_face_reads():
    """A collar's outer face is its plan radius: 2π · 300 mm."""
    assert "taped on the outside face 1885 mm." in words(
        side_view(panel("arch", turn_rad=math.tau, depth_mm=60.0))
    )
    assert "outside face" not in words(side_view(panel("arch", turn_rad=0.1)))


def figures(scene) -> set[str]:
    return {text.text for text in scene.texts() if text.role == "dimension-text"}


def test_a_roll_is_dimensioned_over_the_outside():
    """What a square reads over sheet that has a thickness: a tube of 200 mm inside in 2 mm sheet is 404 mm over all."""
    assert figures(section(panel("roll", thickness=2.0, radius_mm=200.0, turn_rad=math.tau))) == {"404 mm"}
    half = figures(section(panel("roll", thickness=2.0, radius_mm=200.0, turn_rad=math.pi)))
    assert half == {"404 mm", "202 mm"}


def test_a_slight_curve_stands_on_its_inside_corners():
    """Over the outside of the ends: 2 (r + t) sin 45°; the height from the bench: r + t - r cos 45°."""
    shown = figures(section(panel("roll", thickness=2.0, radius_mm=100.0, turn_rad=math.pi / 2)))
    assert shown == {f"{204 * math.sin(math.pi / 4):.1f} mm", f"{102 - 100 * math.cos(math.pi / 4):.1f} mm"}


def test_a_fold_is_as_wide_over_the_outside_as_its_middle_leg():
    assert "120 mm" in figures(side_view(panel("fold", leg_mm=(60.0, 120.0, 60.0))))


def test_the_section_stands_at_the_angle_of_its_pass():
    work = panel("arch")
    for one in work.passes:
        course = arch_course(work, 50.0, one)
        assert -course.at(course.length_mm)[1] == pytest.approx(one.section_angle_rad)
        assert course.length_mm == pytest.approx(50.0 + work.flat_length_mm)


def test_the_finished_arch_is_as_deep_as_ordered():
    for work in (
        panel("arch"),
        awkward("a flange bent back"),
        awkward("a stretched flange past a half turn"),
    ):
        edge = arch_course(work, 50.0).end()
        assert work.sheet.thickness_mm / 2 - edge[1] == pytest.approx(work.form.depth_mm)


def test_a_web_ordered_is_told_and_a_flange_ordered_alone_says_that_there_is_more():
    assert "web, cut short" in words(section(panel("arch")))
    assert "web 20 mm" in words(section(panel("arch", web_mm=20.0)))
    assert "web 150 mm, drawn short" in words(section(panel("arch", web_mm=150.0)))


def test_the_web_is_on_the_blank_and_its_start_line_is_marked_inside():
    alone, whole = panel("arch"), panel("arch", web_mm=100.0)
    assert whole.blank_width_mm > alone.blank_width_mm + 50
    assert len(paths(flat_pattern(whole), "start")) == 1


def test_a_crowned_section_ends_where_it_should():
    crowned = Crowned(60.0, 60.0, 40.0)
    course = crowned.course()
    assert course.start == pytest.approx((-90.0, -40.0))
    assert course.end() == pytest.approx((90.0, -40.0))
    assert course.at(course.length_mm / 2)[0] == pytest.approx((0.0, 0.0), abs=1e-9)


@pytest.mark.parametrize(
    ("form", "given"), [("sweep", {}), ("dome", {}), ("crown", {}), ("dome", {"method": "stretch"})]
)
def test_a_crowned_section_falls_further_with_every_pass_and_is_finished_after_the_last(form, given):
    work = panel(form, **given)
    crowned = crowned_of(work)
    ends = [crowned.course_after(work, one).end() for one in work.passes]
    depths = [-y for _, y in ends]
    assert depths == sorted(depths)
    assert ends[-1] == pytest.approx(crowned.course().end())
    assert depths[-1] == pytest.approx(crowned.drop_mm)


def test_a_dome_is_drawn_as_steep_and_nearly_as_high_as_its_passes_say():
    """The rounded bands of the drawing stand a little higher than the hinges that the height is figured by."""
    work = panel("dome")
    for one in work.passes:
        course = crowned_of(work).course_after(work, one)
        turned = math.fsum(piece.turn_rad for piece in course.pieces)
        assert -turned / 2 == pytest.approx(one.section_angle_rad)
        assert -course.end()[1] == pytest.approx(one.height_mm, rel=0.03)


def test_a_section_after_a_pass_tells_what_to_read():
    told = words(section(panel("arch"), pass_number=2))
    assert "Stands at 67.5°. Edge on the tape: 499.4 mm." in told
    told = words(section(panel("dome"), pass_number=1))
    assert "Height to read over the middle" in told


def test_a_pass_that_is_not_there_is_refused():
    with pytest.raises(ValueError, match="There is no pass 9; the panel has 3"):
        section(panel("arch"), pass_number=9)


@pytest.mark.parametrize(
    ("form", "name", "view"),
    [
        ("arch", "depth_mm", section), ("arch", "bend_radius_mm", section), ("arch", "bend_angle_rad", section),
        ("arch", "turn_rad", side_view), ("arch", "outside_radius_mm", side_view),
        ("sweep", "drop_mm", section), ("sweep", "flat_mm", section), ("sweep", "width_mm", section),
        ("sweep", "crown_radius_mm", side_view), ("dome", "height_mm", section), ("dome", "diameter_mm", section),
        ("crown", "width_height_mm", section), ("crown", "length_height_mm", side_view),
        ("crown", "length_mm", side_view), ("roll", "radius_mm", section), ("roll", "turn_rad", section),
        ("roll", "width_mm", side_view), ("fold", "leg_mm", section), ("fold", "bend_radius_mm", section),
        ("tray", "depth_mm", section), ("tray", "corner_radius_mm", side_view), ("tray", "width_mm", side_view),
    ],
)  # fmt: skip
def test_the_dimension_being_edited_stands_out(form, name, view):
    work = panel(form)
    assert not any(leaf.role.startswith("editing") for leaf in view(work).leaves())
    assert any(leaf.role.startswith("editing") for leaf in view(work, highlight=name).leaves())


def test_every_length_of_every_form_can_be_shown_as_edited():
    for form, kind in FORMS.items():
        work = panel(form)
        for one in kind.dimensions:
            if one.kind not in ("length", "angle", "lengths") or (
                form == "fold" and one.name == "bend_angle_rad"
            ):
                continue
            views = [section(work, highlight=one.name), side_view(work, highlight=one.name)]
            assert any(leaf.role.startswith("editing") for view in views for leaf in view.leaves()), one.name


def test_the_other_hand_of_a_section_is_its_image():
    left, right = section(panel("arch")), section(panel("arch"), mirrored=True)
    (one,), (other,) = paths(left, "section"), paths(right, "section")
    a, b = bounds(one.runs), bounds(other.runs)
    assert a.right - a.left == pytest.approx(b.right - b.left)
    # The web is the first run; it lies left of the flange in one hand and right of it in the other.
    assert one.runs[0].start[0] < one.runs[-1].end[0]
    assert other.runs[0].start[0] > other.runs[-1].end[0]


@pytest.mark.parametrize("form", FORMS)
def test_a_piece_hangs_by_one_end_and_its_other_hand_by_the_other(form):
    work = panel(form)
    (one,) = [leaf for leaf in small_piece(work).leaves() if isinstance(leaf, Circle)]
    (other,) = [leaf for leaf in small_piece(work, mirrored=True).leaves() if isinstance(leaf, Circle)]
    assert one.centre[0] == pytest.approx(86 - other.centre[0])
    assert one.centre[0] > other.centre[0]


def test_a_ghost_is_only_an_outline():
    roles = {leaf.role for leaf in small_piece(panel("dome"), ghost=True).leaves()}
    assert roles == {"ghost"}


def test_a_course_keeps_its_length_and_its_ends():
    course = Course((1.0, 2.0), 0.3, (Piece(10.0), Piece(20.0, -1.2), Piece(5.0)))
    assert length(course.runs()) == pytest.approx(35.0)
    assert course.at(0.0)[0] == (1.0, 2.0)
    assert course.at(35.0)[1] == pytest.approx(0.3 - 1.2)
    assert symmetrical((Piece(10.0),)).end() == (10.0, 0.0)


def test_spread_keeps_distance_and_order():
    rows = spread([3, 3, 3, 80, 81], 17, 0)
    assert all(after - one >= 17 - 1e-9 for one, after in itertools.pairwise(rows))
    assert rows[0] >= 0


def test_figures_are_all_as_wide():
    assert {width(figure, 10) for figure in "0123456789"} == {6.5}
    assert width("幅", 10) == 10  # not in the font, never taken for too little
