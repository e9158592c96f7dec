"""What every key of a form's plain figures stands for: the help, the lines for reading, and their tests use it."""

from __future__ import annotations

from typing import NamedTuple


class Key(NamedTuple):
    """The words and the unit of one key, and what the help has to add; names, counts and fractions have no unit."""

    words: str
    unit: str = ""
    more: str = ""


PANEL: dict[str, Key] = {
    "form": Key("Form"),
    "finished_area_mm2": Key("Finished area, at the middle of the sheet", "mm²"),
    "mass_kg": Key("Mass, finished", "kg"),
    "flat_area_by_length_mm2": Key("Flat area, lengths kept", "mm²"),
    "flat_area_by_area_mm2": Key("Flat area, area kept", "mm²"),
    "blank_width_mm": Key("Blank, width with trim", "mm"),
    "blank_length_mm": Key("Blank, length with trim", "mm"),
    "gather_angle_deg": Key("Gather angle", "°"),
    "stretch_angle_deg": Key("Stretch angle", "°"),
    "moved_area_mm2": Key("Metal moved", "mm²"),
    "thinnest_mm": Key("Thinnest", "mm"),
    "thickest_mm": Key("Thickest", "mm"),
    "layout_m": Key("Outline and lines to mark", "m"),
    "moved_dm2": Key("Metal moved", "dm²"),
    "worked_dm2": Key("Area worked", "dm²"),
    "finished_dm2": Key("Finished area", "dm²"),
    "edge": Key("Edge"),
    "lines": Key("Lines"),
    "passes": Key("Passes"),
    "bend_allowance_mm": Key("Bend allowance", "mm"),
    "flat_length_mm": Key(
        "Length laid flat", "mm", "across a flange (arch, tray), along (sweep, crown), over all (roll, fold)"
    ),
    "outline": Key(
        "Flat with lengths kept", "mm", "points x, y from the curve's middle (arch), the tray's or the flat's"
    ),
    "warnings": Key("Mind this"),
}
EDGE: dict[str, Key] = {
    "flat_length_mm": Key("Length, flat", "mm"),
    "finished_length_mm": Key("Length, finished", "mm"),
    "take_up_mm": Key("To lose, or to gain where negative", "mm"),
    "strain": Key("Strain, as a fraction of the flat length"),
    "thickness_mm": Key("Thickness, finished", "mm"),
    "flat_radius_by_length_mm": Key("Radius, flat, lengths kept", "mm"),
    "flat_radius_by_area_mm": Key("Radius, flat, area kept", "mm"),
}
LINE: dict[str, Key] = {
    "name": Key("line"),
    "from_start_mm": Key("from start", "mm"),
    "from_edge_mm": Key("from edge", "mm"),
}
PASS: dict[str, Key] = {
    "line": Key("line"),
    "wedge_deg": Key("wedge", "°"),
    "take_up_mm": Key("takes", "mm"),
    "gathers": Key("gathers"),
    "rounds": Key("rounds"),
    "spacing_mm": Key("apart", "mm"),
    "section_angle_deg": Key("section then", "°"),
    "edge_length_mm": Key("edge then", "mm"),
}
PARTS: dict[str, dict[str, Key]] = {"edge": EDGE, "lines": LINE, "passes": PASS}
"""The keys inside the keys that hold more than one figure."""
