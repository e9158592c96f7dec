"""Readings at the bench: what is still to lose or gain, how many gathers that is, and the plan from here.

A section angle, a crown height or a thickness is read back to the edge length that the plan has at that value;
between two passes the plan is taken as straight. What is left is then shared over the passes to come, or falls
to the last line worked where none is to come. What has gone past is undone first: the passes to come then bend the
section and leave the edge at its finished length.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from jobs.forming.correction import Correction, PassTaken
from jobs.forming.dimension import check_length, check_number
from jobs.forming.errors import ImpossibleShape
from jobs.forming.passes import NO_WORK_MM, gathers_needed, rounds_needed
from jobs.forming.result import Edge, Pass, Work

Kind = Literal["edge", "angle", "height", "thickness"]

WORDS: dict[Kind, str] = {
    "edge": "Edge length",
    "angle": "Section angle",
    "height": "Crown height",
    "thickness": "Thickness",
}


@dataclass(frozen=True, slots=True)
class Reading:
    """A tape or gauge reading: ``edge``, ``height`` and ``thickness`` in mm, ``angle`` in radians."""

    kind: Kind
    value: float


@dataclass(frozen=True, slots=True)
class Replan:
    """Where the panel stands after a reading, and the passes from here.

    ``target`` is what the reading should have been after ``done_pass``, ``edge_length_mm`` the edge that it stands for.
    ``left_mm`` is still to lose (positive) or to gain (negative) at the edge, ``behind_mm`` how much of it the
    passes done should have taken already. ``gathers`` on ``line`` are the next to be made; ``is_past`` says
    that it has gone past what is finished, so that what is left is to be undone: about ``gathers_over`` gathers.
    ``left_to_read`` is from the reading to its last target, in the reading's own unit.
    """

    done_pass: int
    reading: Reading
    target: float
    edge_length_mm: float
    left_mm: float
    behind_mm: float
    left_to_read: float
    is_past: bool
    line: str
    gathers: int
    gathers_left: int
    gathers_over: int
    passes: tuple[Pass, ...]


def replan(work: Work, done_pass: int, reading: Reading, step_mm: float = 0.0) -> Replan:
    """Return where a panel stands after a pass, and what the passes to come look like from here.

    Parameters
    ----------
    work
        The plan.
    done_pass
        The number of the last pass done, 0 before the first.
    reading
        What was read.
    step_mm
        What the tape is read to, mm: an edge that reads as the finished one does has its finished length. 0 for
        figures that were never on a tape.

    Raises
    ------
    ImpossibleShape
        For a pass the plan does not have, or a reading that this form has no target for.

    Limits: what one gather takes is the marking's; a shop learns its own from ``correction_from``.
    """
    edge = _edge_of(work)
    if isinstance(done_pass, bool) or not 0 <= done_pass <= len(work.passes):
        raise ImpossibleShape("done_pass", f"The plan has passes 1 to {len(work.passes)}.")
    edge_mm = _edge_length(work, edge, reading)
    planned_mm = work.passes[done_pass - 1].edge_length_mm if done_pass else edge.flat_length_mm
    left_mm = _left(edge, edge_mm, step_mm)
    last = target_of(work, len(work.passes), reading.kind)
    is_past = _is_past(work, left_mm, reading.value - last)
    passes = _share_out(work, done_pass, 0.0 if is_past else left_mm)
    following = next((each for each in passes if each.gathers), None)
    return Replan(
        done_pass=done_pass,
        reading=reading,
        target=target_of(work, done_pass, reading.kind),
        edge_length_mm=edge_mm,
        left_mm=left_mm,
        behind_mm=edge_mm - planned_mm,
        left_to_read=last - reading.value,
        is_past=is_past,
        line=following.line if following else _line_to_work(work, done_pass, reading),
        gathers=following.gathers if following else 0,
        gathers_left=sum(each.gathers for each in passes),
        gathers_over=round(abs(left_mm) / work.marking.gather_mm) if is_past else 0,
        passes=passes,
    )


def target_of(work: Work, done_pass: int, kind: Kind) -> float:
    """Return what should be read after a pass, 0 being the flat sheet; mm, or radians for ``angle``."""
    edge = _edge_of(work)
    return [value for value, _ in _curve(work, edge, kind)][done_pass]


def readings_for(work: Work) -> tuple[Kind, ...]:
    """Return the kinds of reading that this plan has targets for."""
    if not work.passes:
        return ()
    has_height = work.passes[0].height_mm is not None
    kept = abs(_edge_of(work).take_up_mm) < NO_WORK_MM
    if kept:
        return ("angle", "height") if has_height else ("angle",)
    return ("edge", "angle", "height", "thickness") if has_height else ("edge", "angle", "thickness")


def correction_from(work: Work, taken: Mapping[int, int]) -> Correction:
    """Return what the second hand should know: pass number to gathers really made on the first.

    Raises ``ImpossibleShape`` for a pass the plan does not have, or gathers that are no whole number.

    >>> from jobs.forming import FORMS, Marking, Sheet, build, work_out
    >>> arch = build("arch", {each.name: each.example for each in FORMS["arch"].dimensions})
    >>> first = work_out(arch, Sheet(1.2), Marking())
    >>> second = work_out(arch, Sheet(1.2), Marking(), correction_from(first, {2: 15}))
    >>> first.passes[1].gathers, second.passes[1].gathers
    (12, 15)
    """
    planned = {each.number: each.gathers for each in work.passes}
    for number, gathers in taken.items():
        if number not in planned:
            raise ImpossibleShape("done_pass", f"The plan has passes 1 to {len(work.passes)}.")
        if isinstance(gathers, bool) or not isinstance(gathers, int) or gathers < 0:
            raise ImpossibleShape("gathers", "Gathers made must be a whole number, 0 or more.")
    return Correction(tuple(PassTaken(number, planned[number], taken[number]) for number in sorted(taken)))


def _left(edge: Edge, edge_mm: float, step_mm: float) -> float:
    """Return what is still to lose or gain; nothing where the tape cannot tell the edge from the finished one."""
    left_mm = edge_mm - edge.finished_length_mm
    if step_mm and math.floor(edge_mm / step_mm + 0.5) == math.floor(edge.finished_length_mm / step_mm + 0.5):
        return 0.0
    return 0.0 if abs(left_mm) < NO_WORK_MM else left_mm


def _line_to_work(work: Work, done_pass: int, reading: Reading) -> str:
    """Return the line to go on with where there is nothing to count: the first whose target is not reached yet."""
    if abs(work.edges[0].take_up_mm) >= NO_WORK_MM:
        return work.passes[max(0, done_pass - 1)].line
    targets = [(each.line, target_of(work, each.number, reading.kind)) for each in work.passes]
    return next((line for line, target in targets if reading.value < target), work.passes[-1].line)


def _is_past(work: Work, left_mm: float, beyond: float) -> bool:
    take_up_mm = work.edges[0].take_up_mm
    if abs(take_up_mm) < NO_WORK_MM:
        # The edge keeps its length; angle and height only ever grow.
        return beyond > NO_WORK_MM
    return left_mm * take_up_mm < 0 and abs(left_mm) > NO_WORK_MM


def _edge_of(work: Work) -> Edge:
    if not work.edges or not work.passes:
        raise ImpossibleShape("done_pass", "This shape has no passes: nothing is gathered or stretched.")
    return work.edges[0]


def _edge_length(work: Work, edge: Edge, reading: Reading) -> float:
    """Return the edge length that a reading stands for."""
    _refuse_unknown(work, reading.kind)
    if reading.kind == "edge":
        check_length("reading", WORDS["edge"], reading.value)
        return reading.value
    if reading.kind == "thickness":
        check_length("reading", WORDS["thickness"], reading.value)
        return edge.flat_length_mm * work.sheet.thickness_mm / reading.value
    if check_number("reading", WORDS[reading.kind], reading.value) < 0:
        raise ImpossibleShape("reading", f"{WORDS[reading.kind]} must be 0 or more.")
    return _read_off(_curve(work, edge, reading.kind), reading.value)


def _refuse_unknown(work: Work, kind: Kind) -> None:
    if kind not in readings_for(work):
        what = WORDS[kind].lower() if kind in WORDS else "such thing"
        raise ImpossibleShape("reading", f"There is no {what} to read on this shape.")


def _curve(work: Work, edge: Edge, kind: Kind) -> list[tuple[float, float]]:
    """Return pairs of reading and edge length, the flat sheet first, then after each pass."""
    _refuse_unknown(work, kind)
    lengths_mm = [edge.flat_length_mm, *(each.edge_length_mm for each in work.passes)]
    if kind == "edge":
        return [(length_mm, length_mm) for length_mm in lengths_mm]
    if kind == "thickness":
        swell = work.sheet.thickness_mm * edge.flat_length_mm
        return [(swell / length_mm, length_mm) for length_mm in lengths_mm]
    if kind == "angle":
        values = [0.0, *(each.section_angle_rad for each in work.passes)]
    else:
        values = [0.0, *(each.height_mm or 0.0 for each in work.passes)]
    return list(zip(values, lengths_mm, strict=True))


def _read_off(curve: Sequence[tuple[float, float]], value: float) -> float:
    """Return the edge length at a reading, straight between passes and straight on beyond the last."""
    pieces = list(pairwise(curve))
    (low, low_mm), (high, high_mm) = next((piece for piece in pieces if value <= piece[1][0]), pieces[-1])
    return low_mm + (high_mm - low_mm) * (value - low) / (high - low)


def _share_out(work: Work, done_pass: int, left_mm: float) -> tuple[Pass, ...]:
    """Return the passes to come, taking up together what is left; nothing, and at the finished edge, for nothing left."""
    finished_mm = work.edges[0].finished_length_mm
    coming = work.passes[done_pass:]
    planned_mm = math.fsum(each.take_up_mm for each in coming)
    if abs(planned_mm) < NO_WORK_MM:
        # Nothing more was planned: what is left falls to the last line worked, over again.
        if not left_mm:
            return coming
        again = _retaken(work, work.passes[max(0, done_pass - 1)], left_mm, finished_mm)
        return (again, *(replace(each, edge_length_mm=finished_mm) for each in coming))
    passes, length_mm = [], finished_mm + left_mm
    for each in coming:
        share_mm = left_mm * each.take_up_mm / planned_mm
        length_mm -= share_mm
        passes.append(_retaken(work, each, share_mm, length_mm))
    return tuple(passes)


def _retaken(work: Work, planned: Pass, take_up_mm: float, edge_length_mm: float) -> Pass:
    """Return a pass with another take-up, its gathers, rounds and spacing following."""
    gather_mm = work.marking.gather_mm
    gathers = gathers_needed(take_up_mm, gather_mm)
    uncorrected = gathers_needed(planned.take_up_mm, gather_mm)
    if uncorrected:
        # A plan corrected by the first hand keeps its proportion.
        gathers = round(gathers * planned.gathers / uncorrected)
    rounds = rounds_needed(gathers, planned.line_length_mm, work.marking.die_width_mm)
    return replace(
        planned,
        take_up_mm=take_up_mm,
        gathers=gathers,
        rounds=rounds,
        spacing_mm=planned.line_length_mm * rounds / gathers if gathers else 0.0,
        edge_length_mm=edge_length_mm,
    )
