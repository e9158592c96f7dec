"""The letters beside a drawing's dimensions are those of the formulas that explain the panel."""

import io
import re

import pdfplumber
import pytest
from reportlab.pdfgen.canvas import Canvas

from jobs.drawings import letters, pdf
from jobs.drawings.flats import at_the_edge
from jobs.drawings.scene import Scene, Text, bounds, leaves
from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.drawings.svg import inline_svg
from jobs.forming import FORMS, explain
from jobs.formula_letters import letters_used
from tests.jobs.drawings.panels import panel


def shown(work) -> set[str]:
    """The letters written after figures on the section and on the view, a factor before them left away."""
    texts = [text.text for draw in (section, side_view) for text in draw(work, letters=True).texts()]
    found = [one for text in texts for one in re.findall(r"\d\D* = (2?[^\W\d]\w*)", text)]
    return {letter.lstrip("2") for letter in found}


WANTED = {
    "arch": {"depth", "r_in", "φ", "R_out", "θ", "w"},
    "sweep": {"R_c", "θ", "w", "f", "d", "r"},
    "tray": {"depth", "r_in", "φ", "R_out"},
    "crown": {"a", "d", "c", "h", "r", "R_c"},
    "dome": {"a", "h", "R"},
    "roll": {"r_in", "θ"},
    "fold": {"r", "φ"},
}


@pytest.mark.parametrize("form", FORMS)
def test_every_dimension_with_a_letter_carries_it(form):
    assert shown(panel(form, **({"web_mm": 60.0} if form == "arch" else {}))) == WANTED[form]


@pytest.mark.parametrize("form", FORMS)
def test_a_letter_on_a_drawing_stands_in_the_formulas_and_is_explained(form):
    work = panel(form, **({"web_mm": 60.0} if form == "arch" else {}))
    steps = [step for chapter in explain(work) for step in chapter.steps]
    told = {letter for letter, _ in letters_used(form, steps)}
    assert shown(work) - {"depth"} <= told
    assert any("depth" in step.formula for step in steps) is ("depth" in shown(work))


def test_without_letters_a_drawing_has_figures_alone():
    assert not [text.text for text in section(panel("dome")).texts() if " = " in text.text]


def test_two_dimensions_in_one_text_have_a_letter_each():
    texts = " ".join(text.text for text in section(panel("fold"), letters=True).texts())
    assert re.search(r"nside radius [\d.]+ mm = r, each bend 90° = φ", texts)


LINE = Scene("t", "d", 200, 40, (Text("dimension-text", (100, 20), "radius 25 = r_in.", "middle"),))


def test_what_follows_a_low_line_is_set_low_on_the_screen():
    assert 'radius 25 = r<tspan dy="2.4" font-size="9.6">in</tspan><tspan dy="-2.4">.</tspan>' in inline_svg(
        LINE
    )
    assert "r_in" not in inline_svg(LINE)


def test_what_follows_a_low_line_is_set_low_on_paper():
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(300, 100))
    pdf.draw(canvas, LINE, 0, 100)
    canvas.save()
    with pdfplumber.open(out) as paper:
        chars = [char for char in paper.pages[0].chars if not char["text"].isspace()]
    assert "".join(char["text"] for char in chars) == "radius25=rin."
    low = [char for char in chars if char["size"] < 8.5]
    assert "".join(char["text"] for char in low) == "in"
    assert chars[-1]["size"] == 9  # 12 px


def test_a_low_line_in_a_name_stays_a_low_line():
    assert letters.parts("panel_2 = left_side") == (("panel_2 = left_side", False),)
    assert letters.width("25 = r_in", 12) < letters.width("25 = r", 12) + letters.width("in", 12)


@pytest.mark.parametrize(
    ("form", "changes", "gap"),
    [
        ("arch", {}, "F − F_A"),
        ("dome", {"method": "gather"}, ""),
        ("dome", {"method": "stretch"}, ""),
        ("crown", {"method": "gather", "width_height_mm": 30}, ""),
        ("crown", {"method": "stretch"}, ""),
        ("tray", {}, ""),
        ("sweep", {}, ""),
    ],
)
def test_the_two_flats_are_told_apart_at_the_edge(form, changes, gap):
    """By the explanation's own figure: at the scale of the whole flat they look like one line."""
    work = panel(form, **changes)
    steps = {step.name: step.value for chapter in explain(work) for step in chapter.steps}
    apart_mm = steps["Between the two flats, at the edge"]
    scene = at_the_edge(work)
    flat, by_area, trim = (
        bounds(
            [run for leaf in leaves(scene.items) if getattr(leaf, "role", "") == role for run in leaf.runs]
        ).top
        for role in ("outline", "outline-area", "trim")
    )
    scale = (flat - trim) / work.marking.trim_mm
    assert abs(by_area - flat) == pytest.approx(apart_mm * scale, abs=0.02)
    assert (by_area > flat) == (not work.stretch_angle_rad)
    assert any(f"{apart_mm:.1f}".removesuffix(".0") in text.text for text in scene.texts())


def test_the_metal_at_the_edge_ends_where_the_flat_does():
    fill = next(
        leaf for leaf in leaves(at_the_edge(panel("arch")).items) if getattr(leaf, "role", "") == "kraft"
    )
    box = bounds(fill.runs)
    corners = {point for run in fill.runs for point in (run.start, run.end)}
    assert len(corners) == 4
    assert {x for x, _ in corners} == {box.left, box.right}
