"""Patterns say what the panel's figures say: lines, blank, gathers, and how they are taped."""

import itertools
import math

import pytest

from jobs.drawings.flats import both_flats
from jobs.drawings.fullsize import full_size
from jobs.drawings.gathers import pass_numbers, readable
from jobs.drawings.labels import Taken
from jobs.drawings.pattern import flat_pattern
from jobs.drawings.place import Placement
from jobs.drawings.scene import bounds
from jobs.forming import FORMS
from tests.jobs.drawings.panels import AWKWARD, awkward, panel, paths, words


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


def test_both_flats_lie_over_each_other_true_to_scale_inside_their_trim():
    work = panel("dome", height_mm=150.0)
    scene = both_flats(work)
    sizes = {role: bounds(paths(scene, role)[0].runs) for role in ("trim", "outline", "outline-area")}
    across = {role: box.right - box.left for role, box in sizes.items()}
    # A half ball: 2Rα = π · 150 mm, 2√(a² + h²) = 2 · 150 √2 mm, and the trim 19.05 mm outside the first.
    assert across["outline-area"] / across["outline"] == pytest.approx(2 * math.sqrt(2) / math.pi, rel=1e-3)
    assert across["trim"] / across["outline"] == pytest.approx(1 + 38.1 / (150 * math.pi), rel=1e-3)
    assert {"trim", "lengths kept", "area kept"} <= {text.text for text in scene.texts()}


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


def test_one_gather_of_several_carries_its_number():
    flat = panel("dome", diameter_mm=1000.0, height_mm=0.5, method="gather")
    said = " ".join(text.text for text in flat_pattern(flat, width=820).texts())
    assert "1 of 3 gathers carries the number of its pass." in said
