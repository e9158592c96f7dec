"""The letters of the formulas, set beside the dimensions of a view that they stand for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from jobs.drawings.bends import DRAWN_SHORT
from jobs.drawings.view import View

SECTION_RADIUS, LENGTH_RADIUS = "section_radius", "length_radius"
"""Names of radii that follow from what was typed and are no fields of their own."""
FLANGE = {"depth_mm": "depth", "bend_radius_mm": "r_in", "bend_angle_rad": "φ"}
# By form and dimension: what the formulas call it.
LETTERS: dict[str, Mapping[str, str]] = {
    "arch": {**FLANGE, "outside_radius_mm": "R_out", "turn_rad": "θ", "web_mm": "w"},
    "tray": {**FLANGE, "corner_radius_mm": "R_out"},
    "sweep": {"crown_radius_mm": "R_c", "turn_rad": "θ", "width_mm": "w", "flat_mm": "f", "drop_mm": "d",
              SECTION_RADIUS: "r"},
    "crown": {"width_mm": "2a", "width_height_mm": "d", "length_mm": "c", "length_height_mm": "h",
              SECTION_RADIUS: "r", LENGTH_RADIUS: "R_c"},
    "dome": {"diameter_mm": "2a", "height_mm": "h", SECTION_RADIUS: "R"},
    "roll": {"radius_mm": "r_in", "turn_rad": "θ"},
    "fold": {"bend_radius_mm": "r, φ"},
}  # fmt: skip


def with_letters(view: View, form: str) -> View:
    """Return the view with its dimensions named as the formulas of this form name them: ``60 mm = h``.

    Where one text gives two dimensions, each has its own letter: ``radius 3 = r, each bend 90° = φ``.
    """
    letters = LETTERS[form]

    def said(name: str, text: str) -> str:
        if name not in letters or not any(character.isdigit() for character in text):
            return text
        measured = text.removesuffix(DRAWN_SHORT)
        if ", " not in letters[name]:
            return f"{measured} = {letters[name]}"
        pairs = zip(measured.split(", "), letters[name].split(", "), strict=True)
        return ", ".join(f"{one} = {letter}" for one, letter in pairs)

    short = any(one.text.endswith(DRAWN_SHORT) for one in view.marks)
    return replace(
        view,
        marks=tuple(replace(one, text=said(one.name, one.text)) for one in view.marks),
        spans=tuple(replace(one, text=said(one.name, one.text)) for one in view.spans),
        rounds=tuple(replace(one, text=said(one.name, one.text)) for one in view.rounds),
        turns=tuple(replace(one, text=said(one.name, one.text)) for one in view.turns),
        remarks=(*view.remarks, *(["The web is drawn short."] if short else [])),
    )
