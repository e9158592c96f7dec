"""What flanges on curved edges share: lines, stations and warnings."""

from __future__ import annotations

from collections.abc import Iterator

from jobs.forming import cautions
from jobs.forming.arcs import cosine_drop
from jobs.forming.flange import Flange
from jobs.forming.passes import Station, line_names, line_offsets, section_angles
from jobs.forming.result import Caution, Pass
from jobs.forming.sheet import Marking, Sheet


def marked_lines(stop_mm: float, line_count: int) -> Iterator[tuple[str, str, float]]:
    """Yield name, kind and distance from the start line of every line to mark, in order.

    The centre line is marked even where an even number of passes puts none on it.
    """
    names = line_names(line_count)
    offsets_mm = line_offsets(stop_mm, line_count)
    for index, (name, offset_mm) in enumerate(zip(names, offsets_mm, strict=True)):
        if line_count % 2 == 0 and index == line_count // 2:
            yield "centre", "centre", stop_mm / 2
        yield name, "pass" if name.startswith("line") else name, offset_mm


def stations(shape: Flange, turn_rad: float, line_count: int) -> list[Station]:
    """Return where each pass works: c_k = θ (cos φ_{k-1} - cos φ_k) at its line."""
    angles = section_angles(shape.bend_angle_rad, line_count)
    found, before = [], 0.0
    for name, offset_mm, angle in zip(
        line_names(line_count), line_offsets(shape.bend_mm, line_count), angles, strict=True
    ):
        found.append(
            Station(
                line=name,
                from_start_mm=offset_mm,
                from_edge_mm=shape.developed_mm - offset_mm,
                line_length_mm=turn_rad * max(0.0, shape.start_radius_mm + shape.sign * offset_mm),
                wedge_rad=turn_rad * cosine_drop(before, angle),
                section_angle_rad=angle,
            )
        )
        before = angle
    return found


def flange_warnings(
    shape: Flange,
    inside_radius_mm: float,
    passes: tuple[Pass, ...],
    sheet: Sheet,
    marking: Marking,
    times: int = 1,
) -> tuple[Caution, ...]:
    """Return the warnings that a curved flange can give."""
    edge_strain = shape.edge_radius_mm / shape.flat_edge_radius_mm - 1
    return cautions.kept(
        cautions.strain(edge_strain, sheet),
        cautions.bend(inside_radius_mm, sheet),
        cautions.trim(abs(shape.flat_edge_radius_mm - shape.flat_edge_radius_by_area_mm), marking),
        cautions.crowded(passes, marking),
        cautions.narrow(shape.developed_mm, marking),
        cautions.coarse(passes, marking),
        cautions.swells(1 / (1 + edge_strain)),
        cautions.undrawn(passes, times),
    )
