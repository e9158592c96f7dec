"""A form's answers as plain JSON, in the units its keys name."""

from __future__ import annotations

import math
from typing import Any

from jobs.forming.errors import WriteLength, in_millimetres
from jobs.forming.outline import flatten
from jobs.forming.result import Edge, Line, Pass, Work


def as_json(work: Work, write_length: WriteLength = in_millimetres) -> dict[str, Any]:
    """Return what a shape asks of the metal as plain figures; keys that do not apply are left out.

    ``write_length`` writes the lengths in the texts of the warnings. Angles are in degrees, ``outline`` is the
    flat by length without trim, arcs to 0.05 mm. Edge and passes are those of one edge or corner where a form
    has several alike; all other figures are the whole panel's.
    """
    report: dict[str, Any] = {
        "form": work.form.name,
        "finished_area_mm2": work.finished_area_mm2,
        "mass_kg": work.mass_kg,
        "flat_area_by_length_mm2": work.flat_area_by_length_mm2,
        "flat_area_by_area_mm2": work.flat_area_by_area_mm2,
        "blank_width_mm": work.blank_width_mm,
        "blank_length_mm": work.blank_length_mm,
        "gather_angle_deg": math.degrees(work.gather_angle_rad),
        "stretch_angle_deg": math.degrees(work.stretch_angle_rad),
        "moved_area_mm2": work.moved_area_mm2,
        "thinnest_mm": work.thinnest_mm,
        "thickest_mm": work.thickest_mm,
        # What hours grow with, under the names that the notebook has for them.
        "layout_m": work.layout_length_mm / 1000,
        "moved_dm2": work.moved_area_mm2 / 1e4,
        "worked_dm2": work.worked_area_mm2 / 1e4,
        "finished_dm2": work.finished_area_mm2 / 1e4,
    }
    if work.edges:
        report["edge"] = _edge(work.edges[0])
    report["lines"] = [_line(line) for line in work.lines]
    report["passes"] = [_pass(each) for each in work.passes]
    for key in ("bend_allowance_mm", "flat_length_mm"):
        if getattr(work, key) is not None:
            report[key] = getattr(work, key)
    report["outline"] = [list(point) for point in flatten(work.by_length.runs)]
    report["warnings"] = [caution.say(write_length) for caution in work.warnings]
    return report


def _edge(edge: Edge) -> dict[str, float]:
    radii = {
        "flat_radius_by_length_mm": edge.flat_radius_by_length_mm,
        "flat_radius_by_area_mm": edge.flat_radius_by_area_mm,
    }
    return {
        "flat_length_mm": edge.flat_length_mm,
        "finished_length_mm": edge.finished_length_mm,
        "take_up_mm": edge.take_up_mm,
        "strain": edge.strain,
        "thickness_mm": edge.thickness_mm,
        # An edge that is straight on the flat has no radius there.
        **{key: radius_mm for key, radius_mm in radii.items() if math.isfinite(radius_mm)},
    }


def _line(line: Line) -> dict[str, Any]:
    return {
        "name": line.name,
        "from_start_mm": line.from_start_mm,
        "from_edge_mm": line.from_edge_mm,
    }


def _pass(each: Pass) -> dict[str, Any]:
    return {
        "line": each.line,
        "wedge_deg": math.degrees(each.wedge_rad),
        "take_up_mm": each.take_up_mm,
        "gathers": each.gathers,
        "rounds": each.rounds,
        "spacing_mm": each.spacing_mm,
        "section_angle_deg": math.degrees(each.section_angle_rad),
        "edge_length_mm": each.edge_length_mm,
    }
