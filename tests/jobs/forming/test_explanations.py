""" "How this was figured": the figures written out, worked with a pocket calculator, give the value beside them."""

import math
import re

import pytest
from hypothesis import HealthCheck, assume, given, settings

from jobs.forming import FORMS, Correction, Marking, Sheet, Work, build, explain, values, work_out
from jobs.forming.correction import PassTaken
from tests.jobs.forming.strategies import forms, markings, sheets, steps_of, work_or_none

FUNCTIONS = {
    name: getattr(math, name) for name in ("sin", "cos", "tan", "asin", "atan", "sqrt", "pi", "log10")
} | {"abs": abs}
SIGNS = {
    "×": "*", "−": "-", "²": "**2", "√": "sqrt", "π": "pi", "log₁₀": "log10", "10⁶": "1e6", " rad": "",
    "°": "*pi/180",
}  # fmt: skip
NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?:e-?\d+)?")
CHANGES = [
    ("arch", {}),
    ("arch", {"stretch": True, "bend_angle_rad": 1.0}),
    ("arch", {"bend_angle_rad": 2.0}),
    ("arch", {"web_mm": 60.0}),
    ("arch", {"turn_rad": 1.0, "web_mm": 60.0}),
    ("arch", {"turn_rad": 2.0}),
    ("arch", {"turn_rad": 4.0}),
    ("arch", {"stretch": True, "turn_rad": 0.4, "web_mm": 40.0}),
    ("sweep", {}),
    ("sweep", {"flat_mm": 0.0}),
    ("sweep", {"drop_mm": 0.0}),
    ("tray", {}),
    ("tray", {"sides": "front"}),
    ("tray", {"sides": "front right"}),
    ("crown", {}),
    ("crown", {"method": "stretch"}),
    ("crown", {"length_height_mm": 0.0}),
    ("crown", {"width_height_mm": 0.0}),
    ("dome", {}),
    ("dome", {"method": "stretch"}),
    ("roll", {}),
    ("fold", {}),
    ("fold", {"bend_angle_rad": 2.0}),
    ("fold", {"measured": "straight", "k": 0.4}),
]


def test_every_form_is_among_those_explained_here():
    assert {name for name, _ in CHANGES} == set(FORMS)


def example(name: str, changes: dict[str, object], correction: Correction | None = None) -> Work:
    values = {dimension.name: dimension.example for dimension in FORMS[name].dimensions} | changes
    return work_out(build(name, values), Sheet(1.2), Marking(), correction)


def worked(text: str) -> float:
    """Return what a line of figures comes to, before any rounding to whole ones."""
    text = text.partition(", rounded")[0]
    for sign, python in SIGNS.items():
        text = text.replace(sign, python)
    text = re.sub(r"\b(sin|cos|tan) (-?[\d.e-]+(?:\*pi/180)?)", r"\1(\2)", text)
    text = re.sub(r"\|([^|]*)\|", r"abs(\1)", text)
    return eval(text, {"__builtins__": {}}, FUNCTIONS)


def calculated(text: str) -> float:
    """Return what a line of figures comes to."""
    value = worked(text)
    if text.endswith("rounded up"):
        return math.ceil(value - 1e-9)
    return math.floor(value + 1e-9) if text.endswith("rounded down") else value


def slack(text: str) -> float:
    """Return how far a line may be off because each of its numbers is written with so many digits only."""
    text = text.partition(", rounded")[0].replace("10⁶", "1000000")
    here, off = worked(text), 0.0
    for number in NUMBER.finditer(text):
        digits, _, power = number.group().partition("e")
        last = 10.0 ** (int(power or 0) - len(digits.partition(".")[2]))
        # A whole number may be one without its idle noughts: good to a hundredth, or to five digits.
        last = min(last, max(0.01, 10.0 ** (len(digits) - 5))) if "." not in digits else last
        there = text[: number.start()] + repr(float(number.group()) + last / 2) + text[number.end() :]
        off += abs(worked(there) - here)
    return off


@pytest.mark.parametrize(("name", "changes"), CHANGES)
def test_figures_come_to_their_value(name, changes):
    steps = steps_of(example(name, changes))
    assert len(steps) >= 7
    for step in steps:
        # Lengths are written to 0.01 mm, angles to 0.01°: a product of them is good to about a thousandth.
        assert calculated(step.figures) == pytest.approx(step.value, rel=1e-3, abs=0.01), step.name
        assert step.formula
        assert step.name[0].isupper()


@settings(deadline=None, suppress_health_check=list(HealthCheck))
@given(form=forms, sheet=sheets, marking=markings)
def test_figures_of_any_panel_come_to_their_value_as_far_as_their_digits_go(form, sheet, marking):
    work = work_or_none(form, sheet, marking)
    assume(work is not None)
    for step in steps_of(work):
        if step.unit == "1" and "rounded" in step.figures:
            # The last gather may hang on the digits that are not written.
            assert abs(calculated(step.figures) - step.value) <= 1 + slack(step.figures), step
            continue
        assert worked(step.figures) == pytest.approx(
            step.value, rel=1e-6, abs=2 * slack(step.figures) + 1e-6
        ), step


CONSTANTS = {1, 2, 4, 0.65, 0.5, 90, 360, 1e6, math.pi / 2}


def typed(work: Work) -> set[float]:
    """What a person typed, or what stands under the settings, as lengths, degrees and radians."""
    found = {work.sheet.thickness_mm, work.sheet.density_kg_m3 / 1000, work.marking.trim_mm,
             work.marking.gather_mm, work.marking.die_width_mm}  # fmt: skip
    for value in values(work.form).values():
        for one in value if isinstance(value, tuple | list) else (value,):
            if isinstance(one, int | float):
                found |= {float(one), math.degrees(one), math.degrees(one / 2)}
    return found


def counts(work: Work) -> set[int]:
    """Numbers of passes, bands, gathered corners and bends."""
    most = max(len(work.passes), len(getattr(work.form, "leg_mm", ())), getattr(work.form, "corners", 0))
    return set(range(most + 1))


def is_among(number: float, known: set[float]) -> bool:
    return any(math.isclose(number, one, rel_tol=2e-4, abs_tol=0.0051) for one in known)


@pytest.mark.parametrize(("name", "changes"), CHANGES)
def test_no_figure_comes_from_nowhere(name, changes):
    """Each number of a formula was typed, or is what a line above came to; only sums over all passes look ahead."""
    work = example(name, changes)
    steps = steps_of(work)
    known = typed(work) | CONSTANTS | counts(work)
    everything = known | {one for step in steps for one in (step.value, math.degrees(step.value))}
    for step in steps:
        ahead = "Σ c_k l_k" in step.formula or "H_m" in step.formula
        plain = step.figures.replace("10⁶", "1000000").replace("log₁₀", "log")
        for number in NUMBER.finditer(plain):
            found = is_among(float(number.group()), everything if ahead else known)
            borders = "outer" in step.formula  # of a band: so many parts of the whole angle
            assert found or borders, f"{number.group()} in {step.name}: {step.figures}"
        known |= {step.value, math.degrees(step.value), math.degrees(step.value / 2)}


@pytest.mark.parametrize(("name", "changes"), CHANGES)
def test_what_is_not_done_is_not_spoken_of(name, changes):
    work = example(name, changes)
    said = " ".join(
        f"{chapter.title} {chapter.words} "
        + " ".join(f"{step.name} {step.formula} {step.words} {step.source}" for step in chapter.steps)
        for chapter in explain(work)
    ).replace("Hours of gathering", "Hours")
    if not work.passes:
        for word in ("Gather angle", "between them", "move metal", "wedge"):
            assert word not in said, word
    elif work.edges[0].take_up_mm < 0:
        assert not re.search(r"[Gg]athers\b|one gather|lose|cut out|takes /|more area", said)
        assert {"Stretches", "let into", "gains"} <= {*re.findall(r"Stretches|let into|gains", said)}
    elif work.stretch_angle_rad:
        assert "lengths kept" not in said
        assert "kept" in said
    else:
        assert not re.search(r"[Ss]tretches\b|to gain|let into|less area|edges kept|rim kept", said)


def test_the_tape_on_the_outside_face_is_told_where_it_can_tell():
    told = {step.name: step for step in steps_of(example("dome", {}))}
    assert told["More on the outside face"].figures == "2 × π × 1.2 / 2 × sin 43.603°"
    inwards = {step.name for step in steps_of(example("arch", {"stretch": True}))}
    assert "Less on the outside face" in inwards
    assert not {name for name in told if "outside" in name} & {s.name for s in steps_of(example("roll", {}))}


@pytest.mark.parametrize(
    ("changes", "formulas"),
    [
        ({}, ["2 F sin(θ/2)", "F − R₀ cos(θ/2)"]),
        ({"turn_rad": 4.0}, ["2 F", "F (1 − cos(θ/2))"]),
        ({"web_mm": 200.0}, ["F − R_w cos θ", "F sin θ"]),
        ({"stretch": True, "turn_rad": 0.4}, ["2 R₀ sin(θ/2)", "R₀ − F cos(θ/2)"]),
    ],
)
def test_the_sides_of_an_archs_blank_are_figured(changes, formulas):
    told = {step.name: step for step in steps_of(example("arch", changes))}
    sides = [told["Longer side of the flat"], told["Shorter side of the flat"]]
    assert sorted(side.formula for side in sides) == sorted(formulas)
    work = example("arch", changes)
    assert calculated(sides[0].figures) + 2 * 19.05 == pytest.approx(work.blank_length_mm, abs=0.02)
    assert calculated(sides[1].figures) + 2 * 19.05 == pytest.approx(work.blank_width_mm, abs=0.02)


@pytest.mark.parametrize(("name", "changes"), CHANGES)
def test_every_figure_of_a_panel_has_its_step(name, changes):
    work = example(name, changes)
    told = [step.value for step in steps_of(work)]
    wanted = [
        work.finished_area_mm2, work.flat_area_by_length_mm2, work.mass_kg, work.blank_mass_kg,
        work.blank_length_mm, work.blank_width_mm,
        *(value for value in (work.bend_allowance_mm, work.moved_area_mm2, work.gather_angle_rad,
                              work.stretch_angle_rad) if value),
        *(value for value in (work.thinnest_mm, work.thickest_mm) if value != work.sheet.thickness_mm),
    ]  # fmt: skip
    for edge in work.edges:
        wanted += [abs(edge.take_up_mm), abs(edge.strain)] if abs(edge.take_up_mm) > 1e-9 else []
    for each in work.passes:
        wanted += [each.from_start_mm, each.from_edge_mm, each.wedge_rad, each.section_angle_rad]
        wanted += [] if each.height_mm is None else [each.height_mm]
        if each.gathers:
            wanted += [abs(each.take_up_mm), each.gathers, each.rounds, each.edge_length_mm]
            wanted += [each.spacing_mm] if each.gathers > 1 else []
    for value in wanted:
        assert any(math.isclose(value, one, rel_tol=1e-9, abs_tol=1e-9) for one in told), value


def test_the_gathers_of_a_second_hand_are_told_as_the_first_took_them():
    first = example("arch", {})
    second = example("arch", {}, Correction((PassTaken(2, planned=first.passes[1].gathers, taken=15),)))
    told = {
        step.name: step.value
        for chapter in explain(second)
        for step in chapter.steps
        if "centre" in chapter.title
    }
    assert (told["Gathers"], told["Gathers, as the first hand took them"]) == (12, 15)


def test_each_pass_is_a_chapter_of_its_own_and_conventions_are_called_so():
    chapters = explain(example("arch", {}))
    assert [chapter.title for chapter in chapters][-3:] == [
        "Pass 1, along the start line", "Pass 2, along the centre line", "Pass 3, along the stop line",
    ]  # fmt: skip
    sources = {step.name: step.source for chapter in chapters for step in chapter.steps}
    assert "our own" in sources["Length this pass takes"]
    assert "the shop's own" in sources["Gathers"]
    assert sources["Finished area"] == "Pappus–Guldin"


def test_a_wrong_figure_would_be_noticed():
    assert calculated("2 × 145 × 0.35 rad") == pytest.approx(101.5)
    assert calculated("√(3² + 4²) × (1 − cos 60°)") == pytest.approx(2.5)
    assert calculated("10.76 / 5, rounded up") == 3
    assert calculated("482.3 / 25, rounded down") == 19
    assert calculated("3 × |2² − 3²| / 2 + 1") == 8.5
    assert 0.001 < slack("300 × 0.35") < 3


def test_a_slight_panel_is_explained_without_powers_or_gaps():
    said = explain(example("crown", {"method": "gather", "width_height_mm": 0.3, "length_height_mm": 0.3}))
    steps = [step for chapter in said for step in chapter.steps]
    assert not [step.figures for step in steps if re.search(r"\de-\d", step.figures)]
    between = next(step for step in steps if step.name.startswith("Between the two flats"))
    assert "cut to either" in between.words
    fallen = next(step for step in steps if "A_z" in step.formula)
    assert calculated(fallen.figures) == pytest.approx(fallen.value, rel=1e-3)
