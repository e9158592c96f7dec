"""The builder's three small drawings: strain along the section, hours of each stage, the sheet with the blanks."""

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from jobs.cutting import Blank, CutSheet
from jobs.drawings.cut_plan import Piece, cut_plan
from jobs.drawings.hours_bars import StageBar, hours_bars
from jobs.drawings.scene import Area, Path
from jobs.drawings.strain import strain_plot
from jobs.drawings.svg import inline_svg
from jobs.forming.along import strain_along
from tests.jobs.drawings.panels import AWKWARD, any_panel, awkward, panel
from tests.jobs.drawings.test_no_overlap import assert_clear

SLOW = [HealthCheck.filter_too_much, HealthCheck.too_slow]


def roles(scene) -> list[str]:
    return [leaf.role for leaf in scene.leaves()]


@pytest.mark.parametrize("name", AWKWARD)
@pytest.mark.parametrize("limit", [None, 0.02, 0.35])
def test_strain_of_awkward_panels_is_clear(name, limit):
    along = strain_along(awkward(name))
    if along and along.largest:
        assert_clear(strain_plot(along, limit=limit))


@settings(max_examples=60, deadline=None, suppress_health_check=SLOW)
@given(work=any_panel(), limit=st.none() | st.floats(0.001, 1.5))
def test_strain_of_any_panel_is_clear(work, limit):
    along = strain_along(work)
    assume(along is not None and along.largest)
    scene = strain_plot(along, limit=limit)
    assert_clear(scene)
    for leaf in scene.leaves():
        if isinstance(leaf, Area | Path):
            assert "nan" not in inline_svg(scene)


def test_a_limit_that_is_passed_looks_and_reads_otherwise_than_one_that_is_not():
    along = strain_along(panel("arch"))
    past, within = strain_plot(along, limit=0.05), strain_plot(along, limit=0.5)
    assert "over-line" in roles(past)
    assert [text.text for text in past.texts() if text.role == "over-text"] == ["past elongation 5 %"]
    assert "over-line" not in roles(within)
    assert "elongation 50 %" in [text.text for text in within.texts()]


def test_a_limit_far_above_is_said_and_not_drawn():
    scene = strain_plot(strain_along(panel("crown")), limit=0.45)
    assert "plan" not in roles(scene)
    assert "45 %" in scene.description


@given(st.lists(st.tuples(st.floats(0, 900), st.floats(1, 4)), min_size=1, max_size=9))
def test_hours_of_any_stages_are_clear(hours):
    names = [
        "Layout",
        "Gathering",
        "Blending",
        "Smoothing",
        "Welding of seams",
        "Trim",
        "Fit",
        "Lead",
        "Wash",
    ]
    bars = [
        StageBar(name.lower(), name, low, low * more) for name, (low, more) in zip(names, hours, strict=False)
    ]
    assert_clear(hours_bars(bars))


def test_a_stage_of_the_shops_own_has_the_plain_pattern():
    drawn = roles(hours_bars([StageBar("layout", "Layout", 2, 3), StageBar("welding", "Welding", 1, 2)]))
    assert "layout" in drawn
    assert "own" in drawn


def test_bars_are_as_long_as_their_hours():
    scene = hours_bars([StageBar("layout", "Layout", 2, 4), StageBar("gathering", "Gathering", 4, 8)])
    wide = {}
    for leaf in scene.leaves():
        if isinstance(leaf, Area) and leaf.role in ("layout", "gathering"):
            xs = [run.start[0] for run in leaf.runs]
            wide[leaf.role] = max(xs) - min(xs)
    assert wide["gathering"] == pytest.approx(2 * wide["layout"])


@given(
    sheet=st.tuples(st.floats(500, 4000), st.floats(200, 2000)),
    blanks=st.lists(st.tuples(st.floats(20, 1500), st.floats(20, 900)), min_size=1, max_size=4),
)
def test_any_sheet_with_its_blanks_is_clear(sheet, blanks):
    laid = CutSheet(None, *sheet)
    for number, (long, wide) in enumerate(blanks):
        laid.place(Blank(number, long, wide))
    pieces = [Piece(r.x, r.y, r.length_mm, r.width_mm) for _, r in laid.placed]
    drop = laid.largest_drop
    scene = cut_plan(sheet, pieces, Piece(drop.x, drop.y, drop.length_mm, drop.width_mm) if drop else None)
    assert_clear(scene)
    assert roles(scene).count("kraft-line") == len(pieces)


def test_a_sheet_used_up_has_no_drop():
    scene = cut_plan((1000, 500), [Piece(0, 0, 1000, 500)], None)
    assert "drop" not in roles(scene)
    assert "drop" not in scene.description
