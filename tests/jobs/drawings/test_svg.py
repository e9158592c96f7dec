"""SVG for pages: readable by a screen reader, safe whatever is written in it, its classes known."""

import re
import xml.etree.ElementTree as ET

import pytest

from jobs.drawings import letters, roles
from jobs.drawings.fullsize import full_size
from jobs.drawings.pattern import flat_pattern
from jobs.drawings.piece import small_piece
from jobs.drawings.plot import PassValue, PastPoint, ThisOne, edge_plan, past_panels_plot, readings_plot
from jobs.drawings.scene import Area, Circle, Dimension, Group, Path, Scene, Text, filled_box
from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.drawings.svg import inline_svg, svg_file
from jobs.forming import FORMS
from tests.jobs.drawings.panels import panel

NASTY = "<script>alert(\"1\")</script> & 'so on'"


def scenes():
    for form in FORMS:
        work = panel(form)
        yield from (flat_pattern(work), flat_pattern(work, width=350), section(work), side_view(work))
        yield from (full_size(work), small_piece(work), small_piece(work, ghost=True))
    work = panel("arch")
    yield from (
        section(work, pass_number=1),
        section(work, highlight="depth_mm"),
        small_piece(work, picked=True),
    )
    yield flat_pattern(work, highlight="trim_mm")
    yield readings_plot(edge_plan(work), [PassValue(1, 500.0), PassValue(2, 480.0)])
    past = [PastPoint(1, 2), PastPoint(2, 3, left_out=True), PastPoint(3, 5, second_hand=True)]
    yield past_panels_plot(past, ThisOne(2.5, 3, 4))


def test_every_role_that_is_drawn_has_a_look():
    found = {leaf.role for scene in scenes() for leaf in scene.leaves()}
    assert {role for role in found if not roles.known(role)} == set()
    assert {"outline", "trim", "start", "centre", "stop", "pass", "bend", "gather", "editing"} <= found


def test_strokes_fillings_and_lettering_are_used_as_what_they_are():
    for scene in scenes():
        for leaf in scene.leaves():
            kinds = {
                Path: roles.STROKES, Circle: roles.STROKES,
                Area: roles.SOLID | set(roles.PATTERNS), Text: roles.TEXTS,
            }  # fmt: skip
            assert leaf.role in kinds[type(leaf)]


@pytest.mark.parametrize("write", [inline_svg, svg_file])
def test_whatever_is_written_stays_text(write):
    scene = Scene(NASTY, NASTY, 200, 50, (Text("label", (5, 20), NASTY), Group(NASTY, ())))
    text = write(scene)
    assert "<script" not in text
    root = ET.fromstring(text.partition("?>\n")[2] or text)
    told = [one.text for one in root.iter() if one.text]
    assert told.count(NASTY) == 3


def test_a_uid_cannot_break_out_of_its_attribute():
    text = inline_svg(Scene("a", "b", 10, 10, ()), uid='x" onload="alert(1)')
    assert ET.fromstring(text).attrib.keys() == {
        "class", "width", "height", "viewBox", "role", "aria-labelledby",
    }  # fmt: skip


def test_words_of_a_panel_are_escaped_in_its_files():
    assert "<script" not in svg_file(full_size(panel("arch"), words=[NASTY]))


def test_it_has_a_name_and_a_description():
    root = ET.fromstring(inline_svg(flat_pattern(panel("arch"))))
    assert root.attrib["role"] == "img"
    ids = {one.get("id"): one.text for one in root if one.get("id")}
    name, description = root.attrib["aria-labelledby"].split()
    assert ids[name] == "Flat pattern"
    assert ids[description].startswith("Blank ")


def test_ids_are_unique_over_a_page_of_drawings():
    page = "".join(inline_svg(scene, uid=f"d{index}") for index, scene in enumerate(scenes()))
    ids = re.findall(r' id="([^"]+)"', page)
    assert len(ids) == len(set(ids))


def test_no_drawing_brings_colours_styles_or_scripts_of_its_own():
    for scene in scenes():
        text = inline_svg(scene)
        assert re.findall(r"style=|#[0-9a-f]{3}|rgb\(|<style|<script|on\w+=", text) == []


def test_lettering_on_screen_is_at_least_twelve_pixels():
    for scene in scenes():
        for text in scene.texts():
            assert text.size >= 12 * scene.px - 1e-9


def test_a_pattern_starts_at_its_own_box():
    scene = Scene(
        "s", "", 100, 40, (filled_box("gathering", 5, 7, 40, 16), filled_box("gathering", 50, 7, 40, 16))
    )
    text = inline_svg(scene)
    assert 'x="5" y="7"' in text
    assert 'x="2" y="7"' in text  # 50 is six tiles and 2 from the left


def test_a_dimension_shows_its_figure_in_its_gap_or_beside_it():
    wide = Dimension((0, 0), (200, 0), "190 mm", -30)
    (figure,) = [part for part in wide.parts() if isinstance(part, Text)]
    assert figure.anchor == "middle"
    strokes = [part for part in wide.parts() if isinstance(part, Path) and part.role == "dimension"]
    box = figure.box()
    for run in strokes[0].runs:
        assert run.end[0] <= box.left or run.start[0] >= box.right
    (figure,) = [part for part in Dimension((0, 0), (12, 0), "12 mm", -30).parts() if isinstance(part, Text)]
    assert figure.box().left > 12


@pytest.mark.parametrize(("offset", "beyond"), [(-30, 30), (30, -30)])
def test_a_figure_hardly_wider_than_its_line_stands_over_or_under_it(offset, beyond):
    """Beside the line it would make the drawing wider by all its length."""
    (figure,) = [
        part for part in Dimension((0, 0), (40, 0), "120.5 mm", offset).parts() if isinstance(part, Text)
    ]
    box = figure.box()
    assert (box.left + box.right) / 2 == pytest.approx(20)
    assert (box.top > beyond + 2) if beyond > 0 else (box.bottom < beyond - 2)


def test_heads_are_nine_by_six():
    head = next(part for part in Dimension((0, 0), (200, 0), "", 0).parts() if isinstance(part, Area))
    xs = [run.start[0] for run in head.runs]
    ys = [run.start[1] for run in head.runs]
    assert (max(xs) - min(xs), max(ys) - min(ys)) == (9, 6)


@pytest.mark.parametrize("form", FORMS)
def test_the_white_round_a_files_lettering_closes_over_the_line_between_words(form):
    """From either side it reaches the middle of a space and of the air that letters have; else dashes show in it."""
    root = ET.fromstring(svg_file(full_size(panel(form), words=["117 L"])).partition("?>\n")[2])
    cleared = [one for one in root.iter() if one.tag.endswith("text") and "d-halo" in one.attrib["class"]]
    assert any(one.text and ": " in one.text for one in cleared)
    for one in cleared:
        reach, size = float(one.attrib["stroke-width"]) / 2, float(one.attrib["font-size"])
        assert reach >= size * (letters.width(" ", 1) / 2 + 0.1)
        assert one.attrib["stroke-linejoin"] == "round"
