"""Sections, gauges and patterns say what the panel's figures say."""

import itertools
import math

import pytest

from jobs.drawings.bends import arch_course
from jobs.drawings.courses import Course, Piece, symmetrical
from jobs.drawings.crowns import Crowned
from jobs.drawings.flats import both_flats
from jobs.drawings.fullsize import full_size
from jobs.drawings.gathers import pass_numbers, readable
from jobs.drawings.gauge import BAND_MM, crown_gauge, gauge, radius_gauge
from jobs.drawings.labels import Taken, spread
from jobs.drawings.letters import width
from jobs.drawings.pattern import flat_pattern
from jobs.drawings.piece import small_piece
from jobs.drawings.place import Placement
from jobs.drawings.plot import PassValue, PastPoint, ThisOne, edge_plan, past_panels_plot, readings_plot
from jobs.drawings.scene import Circle, Path, bounds
from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.forming import FORMS
from jobs.forming.outline import length
from jobs.forming.result import Arc
from tests.jobs.drawings.panels import AWKWARD, awkward, panel


def words(scene) -> str:
    return " ".join(text.text for text in scene.texts())


def paths(scene, role):
    return [leaf for leaf in scene.leaves() if isinstance(leaf, Path) and leaf.role == role]


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


def test_the_pattern_names_its_lines_and_its_blank():
    told = words(flat_pattern(panel("arch")))
    for name in ("start line", "centre line: 20.3 mm", "stop line: 40.5 mm", "trim line", "blank 550.6 mm"):
        assert name in told


def test_the_blank_on_the_pattern_is_rounded_up():
    work = panel("arch")
    told = words(flat_pattern(work))
    sides = sorted((work.blank_width_mm, work.blank_length_mm))
    for side_mm in sides:
        assert f"{math.ceil(side_mm * 10 - 1e-6) / 10:g} mm" in told


def test_lengths_are_written_in_the_shops_units():
    told = words(flat_pattern(panel("arch"), write_length=lambda mm, up=False: f"{mm / 25.4:.2f} in"))
    assert "stop line: 1.60 in" in told
    assert "mm" not in told


def test_each_kind_of_line_has_its_own_dash():
    scene = flat_pattern(panel("arch", lines=5))
    for role, count in (("start", 1), ("centre", 1), ("stop", 1), ("pass", 2), ("trim", 1)):
        assert len(paths(scene, role)) == count


def test_numbers_that_have_no_room_are_counted_in_words():
    crowded = flat_pattern(panel("arch", gather=1.0))
    numbered = sum(spoken_of(text.text) for text in crowded.texts() if text.role == "number")
    drawn = len(mouths(crowded))
    wanted = len(panel("arch", gather=1.0).gathers)
    assert 0 < numbered < drawn < wanted
    assert f"{drawn} of {wanted} gathers are drawn, {numbered} with their pass" in words(crowded)


def mouths(scene) -> list[tuple[float, float]]:
    """The middles of the open ends of the wedges that are drawn: each is two strokes with its point between."""
    found = []
    for path in paths(scene, "gather"):
        for one, other in zip(path.runs[::2], path.runs[1::2], strict=True):
            found.append(((one.start[0] + other.end[0]) / 2, (one.start[1] + other.end[1]) / 2))
    return found


def spoken_of(number: str) -> int:
    """Of how many gathers a number speaks: those of two passes at one place share theirs."""
    return len(number.split(", "))


@pytest.mark.parametrize("width", [350, 562, 700])
@pytest.mark.parametrize(
    ("form", "given_"), [*((form, {"gather": 2.0}) for form in FORMS), *AWKWARD.values()]
)
def test_gathers_on_a_small_drawing_stay_apart(form, given_, width):
    """1 mm on paper, where a pixel of 1/96 in is drawn at five sixths: common practice, no source."""
    work = panel(form, **given_)
    scene = flat_pattern(work, width=width)
    drawn = mouths(scene)
    assert len(drawn) <= len(work.gathers)
    assert (len(drawn) == len(work.gathers)) == (" are drawn" not in words(scene))
    apart = [math.dist(a, b) * 25.4 / 96 * 5 / 6 for a, b in itertools.combinations(drawn, 2)]
    assert [
        one for one in apart if 0.15 < one < 0.99
    ] == []  # of two passes at one place both are drawn, as one


def test_a_pass_of_few_gathers_is_drawn_whole():
    work = panel("arch", gather=1.0)
    fewest = min(work.passes, key=lambda one: one.gathers)
    place = Placement(0.5, 0.0, 0.0)
    shown = readable(work.gathers, place)
    assert sum(one.pass_number == fewest.number for one in shown) == fewest.gathers
    assert len(shown) < len(work.gathers)


def test_gathers_that_are_not_drawn_are_said_to_be_missing():
    work = awkward("too many gathers to draw")
    assert work.gathers == ()
    assert "too many to draw one by one" in words(flat_pattern(work))


def test_numbers_keep_clear_of_what_is_there_already():
    work = panel("arch")
    place = Placement(1.0, 0.0, 0.0)
    free, _ = pass_numbers(work, work.gathers, place, Taken())
    again, remark = pass_numbers(work, work.gathers, place, Taken(text.box() for text in free))
    assert len(again) < len(free)
    assert remark.startswith(f"{len(again)} of ")


def test_many_lines_are_thinned_and_the_remark_says_so():
    scene = flat_pattern(panel("arch", lines=15))
    assert "Only every 2nd of the lines between is named." in words(scene)
    assert len(paths(scene, "pass")) == 12  # all of them are drawn


def test_the_view_tells_what_a_tape_on_the_outside_face_reads():
    """A collar's outer face is its plan radius: 2π · 300 mm."""
    assert "taped on the outside face 1885 mm." in words(
        side_view(panel("arch", turn_rad=math.tau, depth_mm=60.0))
    )
    assert "outside face" not in words(side_view(panel("arch", turn_rad=0.1)))


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


def test_a_crowned_section_is_finished_after_its_last_pass():
    for form in ("sweep", "dome"):
        work = panel(form)
        crowned = Crowned(0.0, 150.0, 60.0)
        last = crowned.course_after(work.passes[-1], len(work.passes), inwards=True)
        assert last.length_mm == pytest.approx(crowned.course().length_mm)
        heights = [-crowned.course_after(one, len(work.passes), inwards=True).end()[1] for one in work.passes]
        assert heights == sorted(heights)


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


@pytest.mark.parametrize(("rolling", "flat"), [("along", True), ("across", False)])
@pytest.mark.parametrize("form", FORMS)
def test_the_rolling_direction_is_an_arrow_on_the_piece(form, rolling, flat):
    scene = full_size(panel(form), words=["117 L"], rolling=rolling)
    (arrow,) = paths(scene, "dimension")
    (run,) = arrow.runs
    assert (run.start[1] == run.end[1]) is flat
    assert math.dist(run.start, run.end) == pytest.approx(24.0)
    assert "rolling direction" in words(scene)
    assert paths(full_size(panel(form)), "dimension") == []


def test_both_flats_can_be_shown():
    scene = flat_pattern(panel("arch"), by_area=True)
    assert len(paths(scene, "outline-area")) == 1
    assert "The true blank lies between the two." in words(scene)
    assert paths(flat_pattern(panel("arch")), "outline-area") == []


# Gauges


def test_both_flats_lie_over_each_other_true_to_scale_inside_their_trim():
    work = panel("dome", height_mm=150.0)
    scene = both_flats(work)
    sizes = {role: bounds(paths(scene, role)[0].runs) for role in ("trim", "outline", "outline-area")}
    across = {role: box.right - box.left for role, box in sizes.items()}
    # A half ball: 2Rα = π · 150 mm, 2√(a² + h²) = 2 · 150 √2 mm, and the trim 19.05 mm outside the first.
    assert across["outline-area"] / across["outline"] == pytest.approx(2 * math.sqrt(2) / math.pi, rel=1e-3)
    assert across["trim"] / across["outline"] == pytest.approx(1 + 38.1 / (150 * math.pi), rel=1e-3)
    assert {"trim", "lengths kept", "area kept"} <= {text.text for text in scene.texts()}


def test_a_gauge_is_true_to_the_outside_face():
    work = panel("arch")
    (hollow,) = paths(gauge(work), "outline")
    (arc,) = [run for run in hollow.runs if isinstance(run, Arc)]
    assert arc.radius_mm == pytest.approx(25.0 + 1.6)
    assert abs(arc.sweep_rad) == pytest.approx(math.pi / 2)


def test_a_gauge_after_a_pass_has_its_angle():
    work = panel("arch")
    for one in work.passes:
        (hollow,) = paths(gauge(work, pass_number=one.number), "outline")
        (arc,) = [run for run in hollow.runs if isinstance(run, Arc)]
        assert abs(arc.sweep_rad) == pytest.approx(one.section_angle_rad)


def test_crown_and_radius_gauges_agree():
    """A chord of 480 with a height of 10 is a radius of 2885, by the sagitta c²/8h + h/2."""
    (one,), (other,) = paths(crown_gauge(480, 10), "outline"), paths(radius_gauge(2885, 480), "outline")
    assert length(one.runs) == pytest.approx(length(other.runs), abs=0.01)
    assert all(run.radius_mm == pytest.approx(2885) for run in (*one.runs, *other.runs))


def test_a_gauge_is_wide_enough_to_hold():
    scene = radius_gauge(300, 200)
    (card,) = paths(scene, "cut")[:1]
    arcs = sorted(run.radius_mm for run in card.runs if isinstance(run, Arc))
    assert arcs[-1] - arcs[0] == pytest.approx(BAND_MM)


@pytest.mark.parametrize("call", [lambda: radius_gauge(10, 30), lambda: crown_gauge(100, 60)])
def test_gauges_that_cannot_be_are_refused(call):
    with pytest.raises(ValueError, match=r"does not fit|more than half"):
        call()


# Pieces, courses, labels


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


# Plots


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


@pytest.mark.parametrize(
    ("form", "given", "origin"),
    [
        ("dome", {}, "middle"), ("crown", {}, "centre line"), ("arch", {}, "start line"),
        ("fold", {}, "edge of the first leg"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("draw", [flat_pattern, full_size])
def test_a_pattern_says_where_the_tape_starts_and_which_face_is_up(form, given, origin, draw):
    told = words(draw(panel(form, **given)))
    assert f"Distances are from the {origin}, taped on the flat blank, outside face up." in told


@pytest.mark.parametrize("draw", [flat_pattern, full_size])
def test_a_pattern_with_wedges_says_that_none_is_cut(draw):
    said = "nothing is cut out of it"
    assert said in words(draw(panel("dome")))
    assert said not in words(draw(panel("fold")))


@pytest.mark.parametrize("draw", [flat_pattern, full_size])
def test_a_stretched_pattern_speaks_of_stretches(draw):
    told = words(draw(panel("arch", stretch=True, gather=1.0)))
    assert "nothing is cut into it" in told
    assert "gather" not in told
