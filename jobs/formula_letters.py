"""What the letters of the formulas stand for, in words that a shaper uses."""

import re
from collections.abc import Iterable

from jobs.forming.result import Step

_NAME = re.compile(r"[^\W\d]\w*")

# In the order in which they are explained.
COMMON = {
    "θ": "turn: how far round the curve goes, seen from above",
    "φ": "bend angle: how far the flange is turned out of the flat",
    "ψ": "how far the section has turned down at the edge",
    "α": "angle from the top to the rim, at the centre of the ball",
    "t": "thickness of the sheet",
    "r_in": "inside radius of the bend",
    "ρ": "radius of the bend at the middle of the sheet's thickness",
    "R_out": "outside radius of the curve",
    "R_mid": "radius of the curve at the middle of the sheet's thickness",
    "R₀": "radius of the start line",
    "R": "radius of the edge when finished, at the middle of the thickness",
    "F": "radius of the edge in the flat, lengths along the section kept",
    "F_A": "radius of the edge in the flat, area kept",
    "L": "straight part beyond the bend",
    "s_e": "distance along the section from the start line to the edge",
    "A_r": "reach of the section: how far out each piece of it stands, added up along it",
    "A₁": "area of the flange for each radian (57.3°) of turn",
    "T": "whole length to lose or to gain at the edge",
    "k": "number of the pass",
    "m": "number of passes",
    "c_k": "wedge of the pass",
    "l_k": "distance of the pass's line from the edge",
    "φ_k": "angle of the section after the pass",
    "φ_j": "angle of the section before the pass, nought before the first",
    "ψ_k": "angle of the section after the pass",
    "ψ_j": "angle of the section before the pass, nought before the first",
    "α_k": "angle of the section after the pass",
    "α_j": "angle of the section before the pass, nought before the first",
    "g": "length that one gather takes, or one stretch gains, at the edge",
    "b": "width of the die",
    "C_k": "all the wedges up to the pass",
    "C_j": "all the wedges before the pass",
    "H_k": "height of the polygon after the pass",
    "H_j": "height of the polygon before the pass, nought before the first",
    "H_m": "height of the polygon after the last pass",
}
# A letter may stand for something else in one form.
OF_FORM = {
    "sweep": {
        "θ": "turn: how far round the strip goes, seen from the side",
        "R_c": "crown radius, on the outside",
        "w": "width over the edges",
        "f": "flat middle between the stop lines",
        "a": "curved part of one side, measured straight across",
        "d": "drop at the edge",
        "s": "curved part of one side, along the metal",
        "r": "radius of the curved part",
        "l": "length of the strip along the crown",
        "A_z": "how far one side falls below the crown, added up along it",
    },
    "crown": {
        "θ": "turn along the length",
        "c": "length, measured straight",
        "h": "crown along the length",
        "a": "half the width, measured straight",
        "d": "crown across the width",
        "s": "from the middle to the edge, along the metal",
        "r": "radius of the section across the width",
        "l": "length over the crown",
        "R_c": "radius of the crown along the length",
        "A_z": "how far one side falls below the middle, added up along it",
    },
    "dome": {
        "R": "radius of the ball",
        "a": "radius of the rim",
        "h": "height of the dome",
        "s": "from the top to the rim, along the ball",
        "x": "part of a whole turn that the wedges in question take, 1 for 360°",
    },
    "arch": {"w": "flat web on the blank, from the start line", "R_w": "radius of the web's far edge"},
    "tray": {
        "θ": "turn of a corner, 90°",
        "n": "number of gathered corners",
        "e": "from the outside in to the start line",
    },
    "roll": {
        "θ": "turn: how far round the roll goes",
        "r_in": "inside radius",
        "ρ": "radius at the middle of the sheet's thickness",
    },
    "fold": {
        "φ": "bend angle",
        "r": "inside radius of the bend",
        "K": "where in the thickness the length stays the same, from the inside",
        "n": "number of bends",
        "u": "what a bend uses up of an outside leg",
    },
}


def letters_used(form: str, steps: Iterable[Step]) -> tuple[tuple[str, str], ...]:
    """The letters in some steps of a form, each with what it stands for."""
    used = {name.rstrip("²") for step in steps for name in _NAME.findall(step.formula)}
    known = COMMON | OF_FORM.get(form, {})
    return tuple((letter, words) for letter, words in known.items() if letter in used)
