"""Pages of a full-size drawing, joined again, are the drawing: every length within 0.1 mm."""

import io
import itertools
import math

import pdfplumber
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas

from jobs.drawings.fullsize import full_size
from jobs.drawings.letters import Box
from jobs.drawings.pdf import POINTS_PER_MM, draw
from jobs.drawings.scene import Path, ends
from jobs.drawings.tiles import Paper, Tile, tiled
from jobs.forming import FORMS
from tests.jobs.drawings.panels import panel

POINTS_MM = 72 / 25.4


def printed(scene, tiling) -> bytes:
    """The drawing cut over pages, as a paper would lay it out."""
    made, paper = io.BytesIO(), tiling.paper
    canvas = Canvas(made, pagesize=(paper.width_mm * POINTS_MM, paper.height_mm * POINTS_MM))
    for tile in tiling.tiles:
        x, y = tile.on_page((0.0, 0.0), paper)
        draw(canvas, scene, x * POINTS_PER_MM, (paper.height_mm - y) * POINTS_PER_MM)
        canvas.showPage()
    canvas.save()
    return made.getvalue()


def on_drawing(tile: Tile, point: tuple[float, float], paper: Paper) -> tuple[float, float]:
    """The point of the drawing that a point of this page shows, found from where the page has the drawing's corner."""
    corner = tile.on_page((0.0, 0.0), paper)
    return (point[0] - corner[0], point[1] - corner[1])


def points_of(page):
    return [point for shape in (*page.lines, *page.curves, *page.rects) for point in shape["pts"]]


@pytest.mark.parametrize(
    "paper", [Paper(), Paper(215.9, 279.4), Paper(margin_mm=6, overlap_mm=20, head_mm=0)]
)
def test_joined_pages_are_the_drawing(paper):
    scene = full_size(panel("arch", turn_rad=2.5))
    tiling = tiled(scene.width, scene.height, paper)
    wanted = [
        end for leaf in scene.leaves() if isinstance(leaf, Path) for run in leaf.runs for end in ends(run)
    ]
    with pdfplumber.open(io.BytesIO(printed(scene, tiling))) as pdf:
        assert len(pdf.pages) == tiling.rows * tiling.columns
        for page, tile in zip(pdf.pages, tiling.tiles, strict=True):
            joined = [
                on_drawing(tile, (x / POINTS_MM, y / POINTS_MM), tiling.paper) for x, y in points_of(page)
            ]
            near = {(round(x), round(y)) for x, y in joined}
            for x, y in wanted:
                around = itertools.product((-1, 0, 1), repeat=2)
                assert any((round(x) + dx, round(y) + dy) in near for dx, dy in around)
                assert min(math.dist((x, y), other) for other in joined) <= 0.05  # two of them make 0.1


@given(
    width=st.floats(1, 2500),
    height=st.floats(1, 1500),
    margin=st.floats(0, 20),
    overlap=st.floats(0, 40),
)
def test_tiles_cover_the_drawing(width, height, margin, overlap):
    tiling = tiled(width, height, Paper(margin_mm=margin, overlap_mm=overlap))
    wide, high = tiling.paper.window_mm
    near = 1e-3
    assert tiling.tiles[0].left_mm <= near
    assert tiling.tiles[0].top_mm <= near
    last = tiling.tiles[-1]
    assert last.left_mm + wide >= width - near
    assert last.top_mm + high >= height - near
    for one, after in itertools.pairwise(tiling.tiles[: tiling.columns]):
        assert one.left_mm + wide - after.left_mm == pytest.approx(overlap, abs=1e-6)


def test_one_page_less_would_not_do():
    tiling = tiled(1000, 700)
    wide, high = tiling.paper.window_mm
    step_x, step_y = tiling.paper.step_mm
    assert wide + step_x * (tiling.columns - 2) < 1000 or tiling.columns == 1
    assert high + step_y * (tiling.rows - 2) < 700 or tiling.rows == 1


def test_every_mark_is_on_two_pages_at_the_same_place_of_the_drawing():
    tiling = tiled(900, 800)
    assert len(tiling.marks) == 2 * (tiling.rows * (tiling.columns - 1) + (tiling.rows - 1) * tiling.columns)
    for mark in tiling.marks:
        tiles = [tile for tile in tiling.tiles if mark in tiling.marks_of(tile)]
        assert len(tiles) == 2
        for tile in tiles:
            x, y = tile.on_page(mark.at, tiling.paper)
            assert tiling.paper.margin_mm < x < tiling.paper.width_mm - tiling.paper.margin_mm
            assert tiling.paper.margin_mm < y < tiling.paper.height_mm - tiling.paper.margin_mm
            assert on_drawing(tile, (x, y), tiling.paper) == pytest.approx(mark.at)


def ring(radius: float, count: int = 4000) -> list[tuple[float, float]]:
    """Points of a ring that touches the sides of a square drawing."""
    angles = [2 * math.pi * one / count for one in range(count)]
    return [(radius * (1 + math.cos(one)), radius * (1 + math.sin(one))) for one in angles]


def test_pages_that_show_nothing_are_left_out_and_the_others_stay_joined():
    whole, course = tiled(2000, 2000), ring(1000)
    inked = whole.with_ink(course)
    assert 0 < len(inked.tiles) < len(whole.tiles)
    wide, high = whole.paper.window_mm
    for tile in whole.tiles:
        shows = any(0 <= x - tile.left_mm <= wide and 0 <= y - tile.top_mm <= high for x, y in course)
        assert (tile in inked.tiles) == shows, tile.label
    reached, edges = {inked.tiles[0].label}, [mark.between for mark in inked.marks]
    for _ in inked.tiles:
        reached |= {one for pair in edges if reached.intersection(pair) for one in pair}
    assert reached == {tile.label for tile in inked.tiles}


def test_a_full_drawing_leaves_no_page_out():
    whole = tiled(900, 800)
    everywhere = [(x, y) for x in range(0, 901, 20) for y in range(0, 801, 20)]
    assert whole.with_ink(everywhere) == whole


def test_pages_are_named_by_row_and_column_as_they_lie():
    tiling = tiled(500, 600)
    assert (tiling.rows, tiling.columns) == (4, 2)
    assert [tile.label for tile in tiling.tiles] == ["A1", "A2", "B1", "B2", "C1", "C2", "D1", "D2"]


def test_pages_are_turned_where_that_takes_fewer():
    assert tiled(270, 150).paper.width_mm == 297.0
    assert tiled(150, 240).paper.width_mm == 210.0


@pytest.mark.parametrize(
    ("width", "height", "paper", "says"),
    [
        (0, 10, Paper(), "no size"),
        (math.inf, 10, Paper(), "no size"),
        (10, 10, Paper(margin_mm=100), "no room left"),
        (100000, 100000, Paper(), "plot it on one sheet"),
    ],
)
def test_what_cannot_be_cut_is_refused(width, height, paper, says):
    with pytest.raises(ValueError, match=says):
        tiled(width, height, paper)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("paper", [Paper(), Paper(215.9, 279.4)])
def test_marks_slide_off_words_and_stay_on_their_strips(form, paper):
    """A cross over the words of a piece hides both."""
    words = [
        "2026-021.7 L Lower left rear quarter with the deep return flange and drip edge",
        "left hand",
        "steel 1 mm",
    ]
    scene = full_size(panel(form), words=words)
    whole = tiled(scene.width, scene.height, paper)
    slid = whole.clear_of([text.box() for text in scene.texts()])
    wide, high = whole.paper.window_mm
    tiles = {tile.label: tile for tile in whole.tiles}
    for mark, before in zip(slid.marks, whole.marks, strict=True):
        x, y = mark.at
        cross = Box(x - 4, y - 4, x + 4, y + 4)
        assert not [text.text for text in scene.texts() if text.box().meets(cross)]
        assert mark.between == before.between
        for tile in (tiles[label] for label in mark.between):
            assert 5 < x - tile.left_mm < wide - 5
            assert 5 < y - tile.top_mm < high - 5
    assert len(set(slid.marks)) == len(whole.marks)


def test_a_mark_without_a_free_place_stays():
    whole = tiled(900, 800)
    assert whole.clear_of([Box(-1000, -1000, 5000, 5000)]).marks == whole.marks
    assert whole.clear_of([]).marks == whole.marks


@pytest.mark.parametrize("form", ["sweep", "tray", "roll", "crown"])
def test_words_on_a_piece_stand_on_one_page_where_they_can(form):
    """Lines cut at the edge of a page are read on neither."""
    words = ["2026-021.7 Lower rear quarter", "steel 1 mm"]
    scene = full_size(panel(form), words=words, seams=lambda wide, high: tiled(wide, high).strips())
    pages = tiled(scene.width, scene.height)
    wide, high = pages.paper.window_mm
    assert pages.strips()
    written = [text.box() for text in scene.texts() if text.role == "label" and text.anchor == "start"]
    assert len(written) > len(words)
    boxes = [Box(one.left_mm, one.top_mm, one.left_mm + wide, one.top_mm + high) for one in pages.tiles]
    assert any(all(box.holds(one) for one in written) for box in boxes)
