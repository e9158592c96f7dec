""" "How this was figured": the figures written out, worked with a pocket calculator, give the value beside them."""

import math
import re

import pytest

from jobs.forming import FORMS, Marking, Sheet, build, explain, work_out

FUNCTIONS = {name: getattr(math, name) for name in ("sin", "cos", "tan", "atan", "sqrt", "pi", "log10")} | {
    "abs": abs
}
SIGNS = {
    "×": "*", "−": "-", "²": "**2", "√": "sqrt", "π": "pi", "log₁₀": "log10", " rad": "", "°": "*pi/180",
    " atan": "*atan",
}  # fmt: skip
CHANGES = [
    ("arch", {}),
    ("arch", {"stretch": True, "bend_angle_rad": 1.0}),
    ("arch", {"bend_angle_rad": 2.0}),
    ("sweep", {}),
    ("sweep", {"flat_mm": 0.0}),
    ("tray", {}),
    ("tray", {"sides": "front"}),
    ("crown", {}),
    ("crown", {"method": "stretch"}),
    ("dome", {}),
    ("dome", {"method": "stretch"}),
    ("roll", {}),
    ("fold", {}),
    ("fold", {"bend_angle_rad": 2.0}),
    ("fold", {"measured": "straight", "k": 0.4}),
]


def calculated(figures: str) -> float:
    """Return what a line of figures comes to."""
    text = figures.rpartition("=")[2].strip()
    for sign, python in SIGNS.items():
        text = text.replace(sign, python)
    text = re.sub(r"\b(sin|cos|tan) (-?[\d.e-]+(?:\*pi/180)?)", r"\1(\2)", text)
    text = re.sub(r"^\|(.*)\|$", r"abs(\1)", text)
    return eval(text, {"__builtins__": {}}, FUNCTIONS)


@pytest.mark.parametrize(("name", "changes"), CHANGES)
def test_figures_come_to_their_value(name, changes):
    values = {dimension.name: dimension.example for dimension in FORMS[name].dimensions} | changes
    work = work_out(build(name, values), Sheet(1.2), Marking())
    steps = explain(work)
    assert len(steps) >= 3
    for step in steps:
        # Lengths are written to 0.01 mm, angles to 0.01°: a product of them is good to about a thousandth.
        assert calculated(step.figures) == pytest.approx(step.value, rel=1e-3, abs=0.01), step.name
        assert step.formula
        assert step.name[0].isupper()


def test_a_wrong_figure_would_be_noticed():
    assert calculated("2 × 145 × 0.35 rad") == pytest.approx(101.5)
    assert calculated("√(3² + 4²) × (1 − cos 60°)") == pytest.approx(2.5)
    assert calculated("180° = 3.14 rad × 2") == pytest.approx(6.28)
