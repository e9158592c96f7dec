"""Panels of every form for the drawings' tests: the forms' own examples, awkward ones, and any at all."""

import math

from hypothesis import assume
from hypothesis import strategies as st

from jobs.drawings.scene import Path
from jobs.forming import FORMS, ImpossibleShape, Marking, Sheet, Work, build, work_out

EXAMPLES = {name: {one.name: one.example for one in form.dimensions} for name, form in FORMS.items()}


def panel(
    form: str, *, thickness: float = 1.6, lines: int = 3, trim: float = 19.05, gather: float = 5.0, **given
) -> Work:
    marking = Marking(trim, gather, 25.0, lines)
    return work_out(build(form, EXAMPLES[form] | given), Sheet(thickness), marking)


AWKWARD = {
    "a tube's flange, sharp, seven lines": ("arch", {"outside_radius_mm": 40.0, "turn_rad": math.tau,
                                                    "bend_radius_mm": 0.0, "depth_mm": 10.0, "lines": 7}),
    "a great shallow flange, fifteen lines": ("arch", {"outside_radius_mm": 3000.0, "turn_rad": 2.1,
                                                      "bend_radius_mm": 200.0, "depth_mm": 300.0, "lines": 15}),
    "a stretched flange past a half turn": ("arch", {"turn_rad": 3.5, "stretch": True}),
    "a flange bent back": ("arch", {"bend_angle_rad": 2.7, "bend_radius_mm": 20.0, "depth_mm": 90.0}),
    "a slim flange": ("arch", {"turn_rad": 0.05, "outside_radius_mm": 900.0}),
    "a mudguard all round": ("sweep", {"turn_rad": math.tau, "flat_mm": 0.0, "drop_mm": 89.0, "lines": 6}),
    "a plain rolled strip": ("sweep", {"drop_mm": 0.0}),
    "a half ball": ("dome", {"height_mm": 150.0, "lines": 9}),
    "a stretched dome": ("dome", {"method": "stretch"}),
    "a flat sheet": ("crown", {"width_height_mm": 0.0, "length_height_mm": 0.0}),
    "a stretched crown": ("crown", {"method": "stretch", "lines": 12}),
    "a tube": ("roll", {"turn_rad": math.tau, "radius_mm": 20.0}),
    "twelve folds": ("fold", {"leg_mm": (30.0,) * 13, "bend_angle_rad": 0.9}),
    "a tray open at one end": ("tray", {"sides": "front right left"}),
    "a tray of one flange": ("tray", {"sides": "front"}),
    "gathers without number": ("arch", {"turn_rad": 3.0, "gather": 0.4}),
    "too many gathers to draw": ("sweep", {"turn_rad": 6.0, "drop_mm": 59.0, "gather": 0.1}),
    "no trim": ("tray", {"trim": 0.0}),
}  # fmt: skip


def awkward(name: str) -> Work:
    form, given = AWKWARD[name]
    return panel(form, **given)


class Drawn:
    """A panel that was drawn by lot, told by its dimensions when a test fails."""

    def __init__(self, form: str, given: dict) -> None:
        self.told, self.work = (form, given), panel(form, **given)

    def __repr__(self) -> str:
        return repr(self.told)


def any_panel(forms=tuple(FORMS)) -> st.SearchStrategy[Work]:
    """Any panel that can be: every dimension within reason of its example, or far off it."""
    return panels_by_lot(forms).map(lambda drawn: drawn.work)


@st.composite
def panels_by_lot(draw, forms=tuple(FORMS)) -> Drawn:
    """The same with its dimensions kept, which a failing test prints."""
    form = draw(st.sampled_from(forms))
    given = {}
    for one in FORMS[form].dimensions:
        if one.kind == "length":
            given[one.name] = draw(st.one_of(
                st.floats(0.3, 3.0).map(lambda part, example=one.example: example * part),
                st.floats(1.0, 5000.0),
            ))  # fmt: skip
        elif one.kind == "angle":
            most = math.tau if one.name == "turn_rad" else 3.0
            given[one.name] = draw(st.floats(0.01, most) | st.just(most))
        elif one.kind == "choice":
            given[one.name] = draw(st.sampled_from([stored for stored, _ in one.choices]))
        elif one.kind == "flag":
            given[one.name] = draw(st.booleans())
        elif one.kind == "lengths":
            given[one.name] = tuple(draw(st.lists(st.floats(1.0, 800.0), min_size=2, max_size=20)))
    given |= {
        "thickness": draw(st.floats(0.4, 6.0)),
        "lines": draw(st.integers(2, 20)),
        "trim": draw(st.sampled_from([0.0, 6.0, 19.05, 60.0])),
        "gather": draw(st.sampled_from([0.5, 2.0, 5.0, 12.0])),
    }
    try:
        return Drawn(form, given)
    except ImpossibleShape:
        assume(False)
        raise


def words(scene) -> str:
    return " ".join(text.text for text in scene.texts())


def paths(scene, role):
    return [leaf for leaf in scene.leaves() if isinstance(leaf, Path) and leaf.role == role]
