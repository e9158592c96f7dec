"""A panel's figures in words, and how each was figured."""

import math
import re
from html import unescape

import pytest
from django.urls import reverse

from jobs.drawings.scene import Text, leaves
from jobs.forming import FORMS, Marking, Sheet, build, work_out
from jobs.formula_letters import letters_used
from jobs.formula_sources import sources_used
from jobs.panel_figures import figured, figures_of
from jobs.panels import save_panel, work_of
from shop.lengths import format_angle, format_length
from shop.models import Shop
from tests.conftest import ARCH
from tests.jobs.forming.strategies import steps_of
from tests.jobs.forming.test_explanations import CHANGES, example


def test_the_figures_are_the_shapes_own(panel, shop):
    """θ (1 − cos φ) with θ = 1.5 rad and φ = 90°, and constant volume, worked out by hand here."""
    said = {figure.name: figure.value for figure in figures_of(work_of(panel), shop)}
    assert said["Gather angle"] == f"{math.degrees(1.5):.1f}°"
    rho, r_mid = 24.5 + 0.8, 330 - 0.8
    straight = 60 - 0.8 - rho
    flat = (r_mid - rho) + rho * math.pi / 2 + straight
    assert said["At the edge"] == f"{1.5 * (flat - r_mid):.1f} mm to lose"
    assert said["Thickest"] == f"{1.6 * flat / r_mid:.2f} mm"


def test_the_blank_is_weighed_as_it_is_cut_and_the_part_as_it_is_finished(panel, shop, owner_client):
    """The blank's rectangle by thickness and density, worked out by hand here; never the part's mass beside it."""
    work = work_of(panel)
    said = {figure.name: figure.value for figure in figures_of(work, shop)}
    cut_kg = panel.blank_length_mm * panel.blank_width_mm * 1.6 * 2710 * 1e-9
    finished_kg = work.finished_area_mm2 * 1.6 * 2710 * 1e-9
    assert cut_kg > 1.5 * finished_kg
    assert said["Mass of the blank"] == f"{cut_kg:.2f}\u00a0kg"
    assert said["Mass, finished"] == f"{finished_kg:.2f}\u00a0kg"
    page = owner_client.get(panel.job.get_absolute_url()).content.decode()
    assert f"mm, {cut_kg:.2f}\u00a0kg; finished {finished_kg:.2f}\u00a0kg" in page


def test_a_stretched_edge_says_gain(panel, shop, owner):
    panel.dimensions = ARCH | {"stretch": True, "turn_rad": 0.4}
    save_panel(panel, owner)
    said = {figure.name: figure for figure in figures_of(work_of(panel), shop)}
    assert "Stretch angle" in said
    assert said["At the edge"].value.endswith("to gain")
    assert said["Thinnest"].note.endswith("thinner than the sheet")


@pytest.mark.parametrize(
    ("form", "dimensions", "name"),
    [
        ("dome", {"diameter_mm": 300, "height_mm": 60, "method": "stretch"}, "At the rim"),
        (
            "crown",
            {
                "width_mm": 600,
                "length_mm": 900,
                "width_height_mm": 20,
                "length_height_mm": 30,
                "method": "stretch",
            },
            "At either edge",
        ),
    ],
)
def test_an_edge_that_neither_loses_nor_gains_is_said_to_keep_its_length(form, dimensions, name):
    work = work_out(build(form, dimensions), Sheet(thickness_mm=1.6), Marking())
    said = {figure.name: (figure.value, figure.note) for figure in figures_of(work, Shop(units="mm"))}
    assert said[name] == ("keeps its length", "")


@pytest.mark.parametrize("units", ["mm", "in"])
def test_an_edge_with_less_to_lose_than_a_tape_reads_is_not_said_to_keep_its_length(units):
    """It has gathers in its passes, so it must not read as if there were none, nor as “0 in to lose”."""
    flat = work_out(
        build("dome", {"diameter_mm": 1000, "height_mm": 0.5, "method": "gather"}), Sheet(1.2), Marking()
    )
    assert any(one.gathers for one in flat.passes)
    said = {figure.name: (figure.value, figure.note) for figure in figures_of(flat, Shop(units=units))}
    assert said["At the rim"] == ("next to nothing to lose", "")


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_tiny_part_has_a_mass_and_an_area(units):
    tiny = work_out(build("roll", {"width_mm": 20, "radius_mm": 2, "turn_rad": 0.3}), Sheet(0.5), Marking(2))
    said = {figure.name: figure.value for figure in figures_of(tiny, Shop(units=units))}
    for name in ("Mass, finished", "Area, finished"):
        assert float(said[name].split()[0]) > 0, said[name]


def test_the_steps_of_the_explanation_come_to_the_panels_own_figures(panel, shop):
    results = {
        each.step.name: each.result for chapter in figured(panel, shop).chapters for each in chapter.steps
    }
    said = {figure.name: figure.value for figure in figures_of(work_of(panel), shop)}
    assert results["Gather angle"] == said["Gather angle"]
    assert f"{results['Length to lose at the edge']} to lose" == said["At the edge"]
    assert results["Thickness at the edge"] == said["Thickest"]


def test_the_letters_of_the_formulas_are_explained(panel, shop, shaper_client):
    letters = dict(figured(panel, shop).symbols)
    assert {"θ", "φ", "ρ", "R_mid", "r_in"} <= letters.keys()
    assert "K" not in letters
    page = shaper_client.get(
        reverse("panel-figured", args=[panel.job.number, panel.position])
    ).content.decode()
    assert "R<sub>mid</sub>" in page


@pytest.mark.parametrize(("form", "changes"), CHANGES)
def test_every_single_letter_of_every_form_is_explained(form, changes):
    """Words such as flat or width explain themselves; a letter does not."""
    steps = steps_of(example(form, changes))
    named = {letter for letter, _ in letters_used(form, steps)}
    written = {
        name
        for step in steps
        for name in re.findall(r"(?<!\w)[^\W\d_](?:_[A-Za-z]+|₀|₁)?(?![^\W²])", step.formula)
    }
    assert written - {"π", "Σ", "²"} <= named


@pytest.mark.parametrize(("form", "changes"), CHANGES)
def test_every_source_is_said_in_a_sentence(form, changes):
    steps = steps_of(example(form, changes))
    said = dict(sources_used(steps))
    for step in steps:
        source = step.source.replace("'", "’")
        assert not source or any(name in source for name in said), source
    assert ("our own way" in said) == any("our own way" in step.source for step in steps)


def test_a_result_stands_in_the_formulas_millimetres_too_where_the_shop_has_others(
    panel, owner, shop, shaper_client
):
    """25.4 + 0.8 is 26.2: a shop that reads 1 1/32 in there can follow it only by the millimetres."""
    where = reverse("panel-figured", args=[panel.job.number, panel.position])
    page = unescape(shaper_client.get(where).content.decode())
    assert re.search(r"dm²</b> <span class=\"figured-plain quiet\">[\d.]+\u00a0mm²", page)
    assert "25.3\u00a0mm</span>" not in page
    shop.units = "in"
    shop.save()
    page = unescape(shaper_client.get(where).content.decode())
    assert '<b>1 in</b> <span class="figured-plain quiet">25.3\u00a0mm</span>' in page
    assert "1\u00a0rad is 57.3°" in page


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("form", FORMS)
def test_the_views_carry_the_letters_that_the_formulas_use(panel, owner, shop, form, hand):
    panel.form, panel.hand = form, hand
    panel.dimensions = {one.name: one.example for one in FORMS[form].dimensions}
    save_panel(panel, owner)
    explained = figured(panel, shop)
    text = " ".join(
        leaf.text for view in explained.views for leaf in leaves(view.items) if isinstance(leaf, Text)
    )
    on_them = set(re.findall(r" = (2a|[^\W\d]\w*)", text))
    formulas = " ".join(each.step.formula for chapter in explained.chapters for each in chapter.steps)
    assert on_them
    for letter in on_them:
        one = letter.removeprefix("2")
        assert one in dict(explained.symbols) or one in formulas
    assert (
        on_them
        == {
            "arch": {"depth", "r_in", "φ", "R_out", "θ"},
            "tray": {"depth", "r_in", "φ", "R_out"},
            "sweep": {"R_c", "θ", "w", "f", "d", "r"},
            "crown": {"2a", "d", "c", "h", "r", "R_c"},
            "dome": {"2a", "h", "R"},
            "roll": {"r_in", "θ"},
            "fold": {"r", "φ"},
        }[form]
    )


def test_a_web_has_its_letter_and_is_said_to_be_drawn_short(panel, owner, shop):
    panel.dimensions = ARCH | {"web_mm": 250.0}
    save_panel(panel, owner)
    text = " ".join(
        leaf.text for leaf in leaves(figured(panel, shop).views[0].items) if isinstance(leaf, Text)
    )
    assert "250 = w" in text
    assert "drawn short" in text


@pytest.mark.parametrize(
    ("units", "bridge"), [("mm", "10\u202f000\u00a0mm² to a dm²"), ("in", "25.4 mm are an inch")]
)
def test_the_page_says_how_the_formulas_millimetres_become_the_shops_own_units(
    panel, shop, shaper_client, units, bridge
):
    shop.units = units
    shop.save()
    page = shaper_client.get(
        reverse("panel-figured", args=[panel.job.number, panel.position])
    ).content.decode()
    assert bridge in unescape(page)
    assert "“The shop’s own” marks what follows your habits" in page


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_bend_allowance_reads_alike_on_the_panels_page_and_where_it_is_figured(panel, owner, shop, units):
    shop.units = units
    panel.form, panel.dimensions = "fold", {one.name: one.example for one in FORMS["fold"].dimensions}
    save_panel(panel, owner)
    said = {figure.name: figure.value for figure in figures_of(work_of(panel), shop)}
    told = {
        each.step.name: each.result for chapter in figured(panel, shop).chapters for each in chapter.steps
    }
    assert said["Bend allowance"] == told["Bend allowance"]
    number = float(said["Bend allowance"].split()[0])
    allowance = work_of(panel).bend_allowance_mm / (25.4 if units == "in" else 1)
    assert number == pytest.approx(allowance, abs=0.006 if units == "mm" else 0.0006)


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("form", FORMS)
def test_the_blank_reads_alike_on_the_panels_page_and_where_it_is_figured(panel, owner, shop, form, units):
    shop.units, panel.form = units, form
    panel.dimensions = {one.name: one.example for one in FORMS[form].dimensions}
    save_panel(panel, owner)
    said = {figure.name: figure.value for figure in figures_of(work_of(panel), shop)}["Blank, with trim"]
    told = {
        each.step.name: each.result for chapter in figured(panel, shop).chapters for each in chapter.steps
    }
    assert said == f"{told['Blank, length'].removesuffix(f' {units}')} × {told['Blank, width']}"


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("form", FORMS)
def test_every_figure_on_a_panels_page_is_written_where_it_is_figured_as_it_is_there(
    panel, owner, shop, form, units
):
    """A shaper who looks a figure up finds the same one, to the last mark of the rule."""
    shop.units, panel.form = units, form
    panel.dimensions = {one.name: one.example for one in FORMS[form].dimensions}
    save_panel(panel, owner)
    work = work_of(panel)
    told = {each.result for chapter in figured(panel, shop).chapters for each in chapter.steps}
    for figure in figures_of(work, shop):
        value = figure.value.removesuffix(" to lose").removesuffix(" to gain")
        if not figure.name.startswith("Blank") and figure.note != "as the sheet":
            assert value in told, figure
    for one in work.passes:
        lengths = [
            one.from_edge_mm,
            one.edge_length_mm,
            *([one.spacing_mm] if one.gathers > 1 else []),
            *([one.height_mm] if one.height_mm else []),
        ]
        for length_mm in lengths:
            assert format_length(length_mm, units) in told, one
        assert format_angle(one.section_angle_rad) in told


def test_letters_within_the_words_are_set_low_as_in_the_formulas(panel, owner, shop, shaper_client):
    panel.form, panel.dimensions = "dome", {one.name: one.example for one in FORMS["dome"].dimensions}
    save_panel(panel, owner)
    page = shaper_client.get(
        reverse("panel-figured", args=[panel.job.number, panel.position])
    ).content.decode()
    assert "C<sub>j</sub>, those before this pass" in page
