"""Passes: which line to work, how much it takes up, how many gathers that is and what to read afterwards."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from jobs.forming.correction import Correction
from jobs.forming.result import Edge, Pass
from jobs.forming.sheet import Marking

# Take-up below this is rounding, not work.
NO_WORK_MM = 1e-9


@dataclass(frozen=True, slots=True)
class Station:
    """One line to work along: where it is, its length on the flat, and what the shape asks of it."""

    line: str
    from_start_mm: float
    from_edge_mm: float
    line_length_mm: float
    wedge_rad: float
    section_angle_rad: float
    height_mm: float | None = None


def line_offsets(stop_mm: float, line_count: int) -> tuple[float, ...]:
    """Return the distances of equally spaced lines from the start line to the stop line, mm.

    >>> line_offsets(40.0, 3)
    (0.0, 20.0, 40.0)
    """
    return tuple(stop_mm * index / (line_count - 1) for index in range(line_count))


def line_names(line_count: int) -> tuple[str, ...]:
    """Return what the lines are called, from start to stop.

    >>> line_names(4)
    ('start', 'line 2', 'line 3', 'stop')
    """
    inner = [f"line {index + 1}" for index in range(1, line_count - 1)]
    if line_count % 2:
        inner[line_count // 2 - 1] = "centre"
    return ("start", *inner, "stop")


def the_line(name: str) -> str:
    """Return what a line is called in a sentence: the centre line, but line 2 and ring 3.

    >>> the_line("centre"), the_line("line 2")
    ('the centre line', 'line 2')
    """
    return name if name[-1:].isdigit() else f"the {name} line"


def section_angles(bend_angle_rad: float, line_count: int) -> tuple[float, ...]:
    """Return the angle the section stands at after each pass, radians.

    The bend is stood for by a polygon: the turn at each inner line is φ/(n - 1), at both ends half of that.

    >>> [round(math.degrees(angle), 6) for angle in section_angles(math.pi / 2, 3)]
    [22.5, 67.5, 90.0]
    """
    turn_rad = bend_angle_rad / (line_count - 1)
    return (*(turn_rad * (index - 0.5) for index in range(1, line_count)), bend_angle_rad)


def gathers_needed(take_up_mm: float, gather_mm: float) -> int:
    """Return how many gathers of a size take up a length, whole ones.

    >>> gathers_needed(35.0, 5.0), gathers_needed(-36.0, 5.0), gathers_needed(0.0, 5.0)
    (7, 8, 0)
    """
    if abs(take_up_mm) < NO_WORK_MM:
        return 0
    return max(1, math.ceil(abs(take_up_mm) / gather_mm - 1e-9))


def rounds_needed(gathers: int, line_length_mm: float, die_width_mm: float) -> int:
    """Return how often a line is gone over, gathers standing no closer than one die's width in one round.

    >>> rounds_needed(9, 200.0, 25.0)
    2
    """
    fit = max(1, math.floor(line_length_mm / die_width_mm + 1e-9))
    return math.ceil(gathers / fit)


def plan(
    stations: Sequence[Station], edge: Edge, marking: Marking, correction: Correction
) -> tuple[Pass, ...]:
    """Return one pass for each station, in the order given.

    T_k = T · c_k l_k / Σ c l

    Parameters
    ----------
    stations
        The lines to work, with wedge c_k (radians) and distance from the edge l_k (mm).
    edge
        The edge, with its whole take-up T.

    Returns
    -------
    Passes whose take-ups add up to the edge's take-up. ``spacing_mm`` is the distance on the line between
    the gathers of one round.

    Source: a bend as a polygon of hinges; the wedge that each hinge closes grows with the distance to the
    edge. The split over the lines is our own; its sum is geometry.
    """
    levers = [station.wedge_rad * station.from_edge_mm for station in stations]
    whole = math.fsum(levers)
    edge_length_mm = edge.flat_length_mm
    passes = []
    for number, (station, lever) in enumerate(zip(stations, levers, strict=True), start=1):
        take_up_mm = edge.take_up_mm * lever / whole if whole and lever else 0.0  # never minus nought
        edge_length_mm -= take_up_mm
        passes.append(_one_pass(number, station, take_up_mm, edge_length_mm, marking, correction))
    return tuple(passes)


def _one_pass(
    number: int,
    station: Station,
    take_up_mm: float,
    edge_length_mm: float,
    marking: Marking,
    correction: Correction,
) -> Pass:
    gathers = correction.gathers(number, gathers_needed(take_up_mm, marking.gather_mm))
    rounds = rounds_needed(gathers, station.line_length_mm, marking.die_width_mm)
    return Pass(
        number=number,
        line=station.line,
        from_start_mm=station.from_start_mm,
        from_edge_mm=station.from_edge_mm,
        line_length_mm=station.line_length_mm,
        wedge_rad=station.wedge_rad,
        take_up_mm=take_up_mm,
        gathers=gathers,
        rounds=rounds,
        spacing_mm=station.line_length_mm * rounds / gathers if gathers else 0.0,
        section_angle_rad=station.section_angle_rad,
        edge_length_mm=edge_length_mm,
        height_mm=station.height_mm,
    )
