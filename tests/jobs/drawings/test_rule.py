"""The steel rule: labels that never touch, graduations that are true, words for whoever cannot see it."""

import datetime as dt
import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.drawings import roles
from jobs.drawings.hanging import AIR, Hanging, Placed, place
from jobs.drawings.rule import (
    DayMark,
    Span,
    check_rule,
    days_rule,
    hours_rule,
    millimetre_rule,
    promise_rule,
)  # fmt: skip
from jobs.drawings.scene import Area, Path, Text, ends
from jobs.drawings.svg import inline_svg

START = dt.date(2026, 5, 14)
WIDTH = 1216.0
names = st.text("0123456789 LRKgijmMW", min_size=1, max_size=14)
hangings = st.lists(
    st.builds(Hanging, st.floats(10, WIDTH - 10), names, st.one_of(st.just(""), names), st.booleans()),
    max_size=14,
)


def day(offset: int) -> dt.date:
    return START + dt.timedelta(days=offset)


def touching(placed: list[Placed]) -> list[tuple[Placed, Placed]]:
    """Pairs of labels that share room, or whose thin line runs through the other's label."""
    written = [one for one in placed if one.side]
    return [
        (a, b)
        for a, b in itertools.permutations(written, 2)
        if a.box().meets(b.box()) or (abs(a.mark.x - b.mark.x) > 1 and a.thin_line().meets(b.box()))
    ]


@given(hangings)
def test_labels_never_touch_and_stay_on_the_page(marks):
    placed = place(marks, WIDTH)
    assert touching(placed) == []
    assert all(one.box().left >= 0 and one.box().right <= WIDTH for one in placed if one.side)


@given(hangings)
def test_every_mark_keeps_its_place_whether_or_not_its_label_finds_room(marks):
    assert sorted(one.mark.x for one in place(marks, WIDTH)) == sorted(mark.x for mark in marks)


def test_the_search_for_touching_labels_finds_them():
    careless = [Placed(Hanging(x, "121", "oven dome"), 0, "right") for x in (100.0, 130.0)]
    assert touching(careless)


def test_the_left_one_of_a_close_pair_goes_lower():
    right, left = place([Hanging(500, "119", "bow fairing"), Hanging(540, "117 L", "skin")], WIDTH)
    assert (left.mark.name, left.level, left.side) == ("119", 1, "right")
    assert (right.mark.name, right.level, right.side) == ("117 L", 0, "right")


def test_a_label_at_the_end_turns_to_the_left():
    (one,) = place([Hanging(WIDTH - 20, "123", "press cowl")], WIDTH)
    assert one.side == "left"


def test_words_are_left_out_before_a_label_is():
    (one,) = place([Hanging(100, "119", "bow fairing of the lake launch")], 160)
    assert (one.text, one.side) == ("119", "right")


def test_what_finds_no_room_still_stands_in_the_words():
    marks = [DayMark(day(3), f"panel {number}") for number in range(12)]
    scene = days_rule(START, 21, marks)
    written = " ".join(text.text for text in scene.texts())
    assert not all(mark.name in written for mark in marks)
    assert all(mark.name in scene.description for mark in marks)


@given(st.integers(1, 120), st.sampled_from([358.0, 760.0, 1056.0, 1216.0]), st.integers(0, 400))
def test_numbers_on_the_face_never_touch(days, width, offset):
    scene = days_rule(day(offset), days, width=width)
    boxes = [text.box() for text in scene.texts()]
    assert not any(a.meets(b) for a, b in itertools.combinations(boxes, 2))


def test_days_say_where_they_are():
    scene = days_rule(START, 21, [DayMark(day(13), "119", "bow fairing", tight=True)], {day(2), day(3)})
    texts = [text.text for text in scene.texts()]
    assert texts[:3] == ["Thu 14", "15", "16"]
    assert {"Mon 18", "1 June"} <= set(texts)
    assert scene.title == "Days from Thu 14 May to Wed 3 June"
    assert scene.description == "Wed 27 May: 119 bow fairing, tight."
    assert sum(isinstance(leaf, Area) and leaf.role == "no-work" for leaf in scene.leaves()) == 2


@pytest.mark.parametrize("offset", [-1, 21])
def test_a_mark_that_is_not_on_the_rule_is_refused(offset):
    with pytest.raises(ValueError, match="is not on a rule of 21 days"):
        days_rule(START, 21, [DayMark(day(offset), "119")])


def test_a_rule_of_no_days_is_refused():
    with pytest.raises(ValueError, match="at least one"):
        days_rule(START, 0)


def ticks(scene, role="steel-tick"):
    return [
        run for leaf in scene.leaves() if isinstance(leaf, Path) and leaf.role == role for run in leaf.runs
    ]


@given(st.floats(50, 4000), st.floats(0.05, 8), st.sampled_from(["mm", "in"]))
def test_a_rule_over_a_drawing_has_the_drawings_scale(length_mm, px_per_mm, units):
    scene = millimetre_rule(length_mm, px_per_mm, zero_px=28, units=units)
    unit_px = px_per_mm * (25.4 if units == "in" else 1)
    numbers = [text for text in scene.texts() if text.role == "steel-text"]
    for text in numbers:
        value = float(text.text.removesuffix(f" {units}").replace("\u2009", ""))
        assert text.at[0] - 4 == pytest.approx(28 + value * unit_px)
    boxes = [text.box() for text in numbers[1:]]
    assert not any(a.meets(b) for a, b in itertools.pairwise(boxes))


def test_a_rule_with_a_width_is_graduated_to_its_end():
    scene = millimetre_rule(900, 0.66, zero_px=28, width=WIDTH)
    last = max(run.start[0] for run in ticks(scene))
    assert WIDTH - 60 < last <= WIDTH - 40
    assert scene.width == WIDTH


@pytest.mark.parametrize(("length_mm", "scale"), [(0, 1), (100, 0), (-5, 1)])
def test_a_rule_without_length_or_scale_is_refused(length_mm, scale):
    with pytest.raises(ValueError, match="above nought"):
        millimetre_rule(length_mm, scale)


@pytest.mark.parametrize(("length_mm", "units", "spaces"), [(140.0, "mm", 140), (127.0, "in", 80)])
def test_the_check_rule_is_true(length_mm, units, spaces):
    """140 mm in millimetres; 5 in in sixteenths. Exact: one inch is 25.4 mm."""
    scene = check_rule(length_mm, units)
    places = sorted({round(run.start[0], 9) for run in ticks(scene, "tick") if run.start[0] == run.end[0]})
    assert places[-1] - places[0] == pytest.approx(length_mm, abs=1e-9)
    assert len(places) == spaces + 1
    assert scene.px == pytest.approx(25.4 / 96)


def test_the_check_rule_is_full_size_on_paper(tmp_path):
    """Read back from the PDF: the base line is 140 mm long, to a hundredth of a millimetre."""
    import pdfplumber
    from reportlab.pdfgen.canvas import Canvas

    from jobs.drawings.pdf import draw

    canvas = Canvas(str(tmp_path / "rule.pdf"))
    draw(canvas, check_rule(140), 30, 800)
    canvas.save()
    with pdfplumber.open(tmp_path / "rule.pdf") as paper:
        longest = max(line["x1"] - line["x0"] for line in paper.pages[0].lines)
    assert longest * 25.4 / 72 == pytest.approx(140, abs=0.01)


@given(st.floats(0.5, 60), st.floats(0, 60), st.floats(0, 200), st.sampled_from([374.0, 700.0]))
def test_numbers_at_the_bench_never_touch(low, more, used, width):
    scene = hours_rule(low + more, low, low + more, used, width=width)
    boxes = [text.box() for text in scene.texts() if text.at[1] == 42]
    assert not any(a.meets(b) for a, b in itertools.combinations(boxes, 2))


def test_hours_at_the_bench_end_where_they_are_used():
    scene = hours_rule(18, 12, 16, 11.6)
    scale = (374 - 9) / (18 * 1.02)
    (bar,) = [leaf for leaf in scene.leaves() if isinstance(leaf, Area) and leaf.role == "used"]
    right = max(x for run in bar.runs for x, _ in ends(run))
    assert right == pytest.approx(9 + 11.6 * scale)
    assert scene.title == "11.6 of 12–16\u00a0h"
    assert not any(leaf.role == "over" for leaf in scene.leaves())


@pytest.mark.parametrize("hours", [1, 2, 5, 10, 20, 47, 60, 100, 340])
def test_no_number_of_hours_is_cut_by_the_end_of_the_rule(hours):
    scene = hours_rule(hours, hours * 0.6, hours * 0.9, 0)
    assert all(text.box().right <= scene.width for text in scene.texts())


@pytest.mark.parametrize("used", [16.6, 18.4])
def test_hours_over_the_range_are_hatched_and_said(used):
    scene = hours_rule(18, 12, 16, used)
    over = f"{used - 16:.1f} h"
    assert any(leaf.role == "over" for leaf in scene.leaves())
    assert f"+{over}" in {text.text for text in scene.texts()}
    assert scene.title.endswith(f", {over} over")


def test_hours_that_are_no_range_are_refused():
    with pytest.raises(ValueError, match="cannot be drawn"):
        hours_rule(18, 16, 12, 3)


SPANS = [
    Span("layout", "Layout", day(-16), day(-15)),
    Span("gathering", "Gathering", day(-14), day(-6)),
    Span("blending", "Blending", day(-3), day(0)),
    Span("smoothing", "Smoothing", day(1), day(12), done=False),
]


def test_the_customers_rule_says_when_it_is_ready():
    scene = promise_rule(day(-16), day(20), SPANS, (day(13), day(18)), START)
    assert "Ready Wed 27 May" in scene.description
    assert "Smoothing: Fri 15 May\u2009–\u2009Tue 26 May, to come." in scene.description
    assert "today, Thu 14 May" in {text.text for text in scene.texts()}
    drawn = {leaf.role for leaf in scene.leaves() if isinstance(leaf, Area)}
    assert {"layout", "gathering", "blending"} <= drawn
    assert "smoothing" not in drawn


@given(st.integers(20, 90), st.sampled_from([374.0, 600.0, 1056.0]))
def test_dates_on_the_customers_rule_never_touch(days, width):
    scene = promise_rule(START, day(days), [], (day(days - 5), day(days)), START, width=width)
    boxes = [text.box() for text in scene.texts() if text.role == "steel-text"]
    assert boxes
    assert not any(a.meets(b) for a, b in itertools.combinations(boxes, 2))


def test_a_date_off_the_customers_rule_is_refused():
    with pytest.raises(ValueError, match="does not hold every date"):
        promise_rule(START, day(10), SPANS, (day(5), day(8)), START)


RULES = [
    days_rule(START, 21, [DayMark(day(4), "119", "bow fairing", True), DayMark(day(6), "115")], {day(2)}),
    millimetre_rule(900, 0.66), check_rule(140), hours_rule(18, 12, 16, 17),
    promise_rule(day(-16), day(20), SPANS, (day(13), day(18)), START),
]  # fmt: skip


@pytest.mark.parametrize("scene", RULES, ids=lambda scene: scene.title)
def test_everything_on_a_rule_has_a_look_and_a_place_on_it(scene):
    assert all(roles.known(leaf.role) for leaf in scene.leaves())
    assert all(math.isfinite(at) for leaf in scene.leaves() if isinstance(leaf, Text) for at in leaf.at)
    for text in scene.texts():
        box = text.box()
        assert box.left >= -AIR
        assert box.top >= 0
        assert box.bottom <= scene.height + 0.5
    assert "style=" not in inline_svg(scene)
