"""The letters beside a drawing's dimensions are those of the formulas that explain the panel."""

import re

import pytest

from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.forming import FORMS, explain
from jobs.formula_letters import letters_used
from tests.jobs.drawings.panels import panel


def shown(work) -> set[str]:
    """The letters written after figures on the section and on the view, a factor before them left away."""
    texts = [text.text for draw in (section, side_view) for text in draw(work, letters=True).texts()]
    found = [one for text in texts for one in re.findall(r"\d\D* = (r, φ|2?[^\W\d]\w*)", text)]
    return {letter.lstrip("2") for one in found for letter in one.split(", ")}


WANTED = {
    "arch": {"depth", "r_in", "φ", "R_out", "θ", "w"},
    "sweep": {"R_c", "θ", "w", "f", "d"},
    "tray": {"depth", "r_in", "φ", "R_out"},
    "crown": {"a", "d", "c", "h"},
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
