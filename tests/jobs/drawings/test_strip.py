"""The stage strip: widths in hours, what is over, and the sentence that says the same."""

import dataclasses
import itertools
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.drawings import roles
from jobs.drawings.scene import Area, Text, ends
from jobs.drawings.strip import WIDTH, StageHours, hours_scale, sentence, stage_strip
from jobs.drawings.strip_scales import hours_axis, hours_bar, key_swatch
from jobs.drawings.svg import inline_svg

SKIN = [
    StageHours("layout", "Layout", 2.5, 3, 2.7, 1.0),
    StageHours("gathering", "Gathering", 12, 16, 11.6, 0.5),
    StageHours("blending", "Blending", 10, 13),
    StageHours("smoothing", "Smoothing", 7, 8.5),
]
PX = WIDTH / 60


def edges(area: Area) -> tuple[float, float]:
    xs = [x for run in area.runs for x, _ in ends(run)]
    return min(xs), max(xs)


def areas(scene, role: str) -> list[tuple[float, float]]:
    return [edges(leaf) for leaf in scene.leaves() if isinstance(leaf, Area) and leaf.role == role]


def test_the_strip_says_what_it_shows():
    scene = stage_strip(SKIN, 32, 38, 60)
    assert scene.title == sentence(SKIN, 32, 38) == "14.3 of 32–38\u00a0h"
    assert "Gathering: 50% done, 11.6 of 12–16\u00a0h." in scene.description
    assert "Blending: not begun" in scene.description


def test_stages_share_the_middle_estimate_and_the_range_follows():
    scene = stage_strip(SKIN, 32, 38, 60)
    cells = areas(scene, "ground")[:4]
    assert cells[0][0] == pytest.approx(1)
    assert cells[-1][1] == pytest.approx(1 + 32 * PX)
    assert cells[1][1] - cells[1][0] == pytest.approx(12 / 31.5 * 32 * PX)
    assert areas(scene, "range") == [pytest.approx((1 + 32 * PX, 1 + 38 * PX))]


def test_a_pattern_reaches_as_far_as_the_work():
    scene = stage_strip(SKIN, 32, 38, 60)
    cell, (left, right) = areas(scene, "ground")[1], areas(scene, "gathering")[0]
    assert (left, right) == pytest.approx((cell[0], (cell[0] + cell[1]) / 2))
    (tip,) = [sum(at) / 2 for at in areas(scene, "reached")]
    assert tip == pytest.approx(right)
    assert areas(scene, "blending") == []


def test_the_bar_is_as_long_as_the_hours_with_a_gap_at_each_change():
    first, second = areas(stage_strip(SKIN, 32, 38, 60), "used")
    assert first[1] + 1 == pytest.approx(second[0])
    assert second[1] + 1 == pytest.approx(1 + 14.3 * PX)


def test_hours_over_a_stages_range_are_hatched_and_named():
    late = [SKIN[0], dataclasses.replace(SKIN[1], used_hours=21.2), *SKIN[2:]]
    scene = stage_strip(late, 32, 38, 60)
    (over,) = areas(scene, "over")
    assert over[1] + 1 - over[0] == pytest.approx(5.2 * PX)
    assert "gathering +5.2 h" in {text.text for text in scene.texts()}
    assert scene.title.endswith(", gathering 5.2 h over")


def test_three_minutes_over_are_nothing():
    scene = stage_strip([dataclasses.replace(SKIN[1], used_hours=16.04)], 12, 16, 60)
    assert areas(scene, "over") == []
    assert "over" not in scene.title


def test_two_stages_over_are_counted_together():
    late = [dataclasses.replace(stage, used_hours=stage.high_hours + 1) for stage in SKIN[:2]]
    assert "2 stages +2 h" in {text.text for text in stage_strip(late, 14, 18, 60).texts()}


def test_a_panel_that_waits_says_so():
    scene = stage_strip([dataclasses.replace(stage, used_hours=0, reached=0) for stage in SKIN], 32, 38, 60)
    assert "no hours yet" in {text.text for text in scene.texts()}
    assert areas(scene, "used") == areas(scene, "reached") == []


def test_a_finished_panel_has_no_triangle():
    done = [dataclasses.replace(stage, reached=1.0) for stage in SKIN]
    assert areas(stage_strip(done, 32, 38, 60), "reached") == []


def test_a_stage_of_the_shops_own_has_the_plain_pattern():
    scene = stage_strip([StageHours("trimming", "Trimming", 2, 3, 1, 1.0), *SKIN], 34, 41, 60)
    assert len(areas(scene, "own")) == 1


@given(st.lists(st.tuples(st.floats(0, 30), st.floats(0, 20), st.floats(0, 60), st.floats(0, 1)), max_size=7))
def test_lettering_stays_on_the_strip(figures):
    stages = [
        StageHours("gathering", "Gathering", low, low + more, used, part) for low, more, used, part in figures
    ]
    low, high = sum(s.low_hours for s in stages), sum(s.high_hours for s in stages)
    scale = hours_scale(high, sum(s.used_hours for s in stages))
    scene = stage_strip(stages, low, high, scale)
    for text in scene.texts():
        assert text.box().left >= 0
        assert text.box().right <= scene.width + 1
        assert text.box().bottom <= scene.height + 1
    assert all(right <= scene.width + 0.01 for role in ("used", "over") for _, right in areas(scene, role))


@pytest.mark.parametrize(
    ("stages", "low", "high", "scale", "why"),
    [
        (SKIN, 38, 32, 60, "not a range"),
        (SKIN, 32, 38, 30, "does not hold 38.0 h"),
        ([dataclasses.replace(SKIN[0], used_hours=70)], 32, 38, 60, "does not hold 70.0 h"),
        ([dataclasses.replace(SKIN[0], reached=1.2)], 32, 38, 60, "between 0 and 1"),
        ([dataclasses.replace(SKIN[0], used_hours=-1)], 32, 38, 60, "cannot be negative"),
    ],
)
def test_what_cannot_be_drawn_is_refused(stages, low, high, scale, why):
    with pytest.raises(ValueError, match=re.escape(why)):
        stage_strip(stages, low, high, scale)


@given(st.floats(1, 990))
def test_numbers_of_the_axis_never_touch(longest):
    boxes = [text.box() for text in hours_axis(hours_scale(longest)).texts()]
    assert not any(a.meets(b) for a, b in itertools.pairwise(boxes))


def test_a_week_is_drawn_to_its_scale():
    scene = hours_bar([8, 8, 8.4], 40, width=200)
    bars = areas(scene, "used")
    assert bars[-1][1] + 1 == pytest.approx(1 + 24.4 * 5)
    assert scene.title == "24.4 of 40 h"
    assert areas(hours_bar([50], 40, width=200), "used")[0][1] <= 201


@pytest.mark.parametrize(
    "role", ["layout", "gathering", "blending", "smoothing", "own", "range", "used", "over"]
)
def test_every_pattern_has_a_sample(role):
    scene = key_swatch(role)
    assert role in {leaf.role for leaf in scene.leaves()}
    assert all(roles.known(leaf.role) for leaf in scene.leaves())


def test_the_five_patterns_differ():
    tiles = [roles.PATTERNS[role].lines for role in ("layout", "gathering", "blending", "smoothing", "own")]
    assert len(set(tiles)) == 5


def test_the_strip_is_the_same_on_paper(tmp_path):
    """Read back from the PDF: the figure beside the bar, and the range's two ticks 6 h apart."""
    import pdfplumber
    from reportlab.pdfgen.canvas import Canvas

    from jobs.drawings.pdf import draw

    scene = stage_strip(SKIN, 32, 38, 60)
    canvas = Canvas(str(tmp_path / "strip.pdf"))
    draw(canvas, scene, 30, 800)
    canvas.save()
    with pdfplumber.open(tmp_path / "strip.pdf") as paper:
        page = paper.pages[0]
        assert "14.3" in page.extract_text()
        upright = sorted({round(one["x0"], 2) for one in page.lines if one["x0"] == one["x1"]})
    low, high = (30 + (1 + hours * PX) * 0.75 for hours in (32, 38))
    assert any(x == pytest.approx(low, abs=0.02) for x in upright)
    assert any(x == pytest.approx(high, abs=0.02) for x in upright)


def test_a_strip_on_a_page_has_no_inline_style():
    markup = inline_svg(stage_strip(SKIN, 32, 38, 60))
    assert "style=" not in markup
    assert "14.3 of 32–38\u00a0h</title>" in markup
    assert all(isinstance(text, Text) for text in stage_strip(SKIN, 32, 38, 60).texts())
