"""The letters of the formulas, set beside the dimensions of a view that they stand for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from jobs.drawings.bends import DRAWN_SHORT
from jobs.drawings.view import View

FLANGE = {"depth_mm": "depth", "bend_radius_mm": "r_in", "bend_angle_rad": "φ"}
# By form and dimension: what the formulas call it.
LETTERS: dict[str, Mapping[str, str]] = {
    "arch": {**FLANGE, "outside_radius_mm": "R_out", "turn_rad": "θ", "web_mm": "w"},
    "tray": {**FLANGE, "corner_radius_mm": "R_out"},
    "sweep": {"crown_radius_mm": "R_c", "turn_rad": "θ", "width_mm": "w", "flat_mm": "f", "drop_mm": "d"},
    "crown": {"width_mm": "2a", "width_height_mm": "d", "length_mm": "c", "length_height_mm": "h"},
    "dome": {"diameter_mm": "2a", "height_mm": "h", "": "R"},  # its one radius is no dimension typed
    "roll": {"radius_mm": "r_in", "turn_rad": "θ"},
    "fold": {"bend_radius_mm": "r, φ"},
}


def with_letters(view: View, form: str) -> View:
    """Return the view with its dimensions named as the formulas of this form name them: ``60 mm = h``."""
    letters = LETTERS[form]

    def said(name: str, text: str) -> str:
        measured = name in letters and any(character.isdigit() for character in text)
        return f"{text.removesuffix(DRAWN_SHORT)} = {letters[name]}" if measured else text

    short = any(one.text.endswith(DRAWN_SHORT) for one in view.marks)
    return replace(
        view,
        marks=tuple(replace(one, text=said(one.name, one.text)) for one in view.marks),
        spans=tuple(replace(one, text=said(one.name, one.text)) for one in view.spans),
        rounds=tuple(replace(one, text=said(one.name, one.text)) for one in view.rounds),
        turns=tuple(replace(one, text=said(one.name, one.text)) for one in view.turns),
        remarks=(*view.remarks, *(["The web is drawn short."] if short else [])),
    )
