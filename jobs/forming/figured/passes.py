"""The passes, one after another: where to work, how far to turn, how much to take up, what to read then."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from jobs.forming.figured.words import CUT_OUT_HERE, LET_IN_HERE, chapter, fine, num, step
from jobs.forming.passes import NO_WORK_MM, gathers_needed, the_line
from jobs.forming.result import Chapter, Pass, Step, Work
from jobs.forming.taped import finished_outside_mm

OUR_WAY = "our own way"
CONVENTION = "our own way of sharing it out; only the sum is geometry"


@dataclass(frozen=True, slots=True)
class Worked:
    """One pass with what stood before it: the section's angle and the edge's length; ``last`` where none follows."""

    each: Pass
    angle_before_rad: float
    edge_before_mm: float
    last: bool


PassSteps = Callable[[Work, Worked], tuple[Step | None, ...]]


def pass_chapters(work: Work, own_steps: PassSteps, face: tuple[str, str]) -> tuple[Chapter, ...]:
    """Return a chapter for each pass; ``own_steps`` gives those of the shape, the rest is alike for all.

    ``face`` are formula and figures of what a tape on the finished edge's outside face reads more.
    """
    chapters, angle_rad = [], 0.0
    edge_mm = work.edges[0].flat_length_mm if work.edges else 0.0
    for each in work.passes:
        done = Worked(each, angle_rad, edge_mm, each.number == len(work.passes))
        chapters.append(
            chapter(
                f"Pass {each.number}, along {the_line(each.line)}",
                *own_steps(work, done),
                *_take_up_steps(work, done),
                _on_the_face(work, face) if done.last else None,
                words=_words(work, done),
            )
        )
        angle_rad, edge_mm = each.section_angle_rad, each.edge_length_mm
    return tuple(chapters)


def _words(work: Work, done: Worked) -> str:
    if done.each.number > 1:
        return ""
    if abs(work.edges[0].take_up_mm) < NO_WORK_MM:
        return "The edge keeps its length, so nothing is gathered: the section's angle and height tell how far it is."
    return (
        "The curve is made as a polygon, one line after another. How the length is shared out over the lines is our "
        "own way, by wedge and by distance from the edge; the shares add up to the whole."
    )


def wedge(work: Work, done: Worked, formula: str, figures: str, more: str = "") -> Step:
    """Return the wedge that a pass closes, or opens where the edge gains; ``more`` says what its formula needs."""
    words = (LET_IN_HERE if work.edges[0].take_up_mm < 0 else CUT_OUT_HERE) + more
    return step(
        "Wedge",
        formula,
        figures,
        done.each.wedge_rad,
        "rad",
        words=words if done.each.number == 1 else "",
        source="gauss",
    )


def line_length(done: Worked, formula: str, figures: str) -> Step | None:
    """Return the length of the pass's line on the flat, on which its gathers have to find room."""
    if not done.each.gathers:
        return None
    return step("Length of the line", formula, figures, done.each.line_length_mm)


def _take_up_steps(work: Work, done: Worked) -> tuple[Step | None, ...]:
    each, whole_mm = done.each, work.edges[0].take_up_mm
    if abs(whole_mm) < NO_WORK_MM:
        return ()
    sign, verb = ("+", "gains") if whole_mm < 0 else ("−", "takes")
    levers = math.fsum(math.degrees(one.wedge_rad) * one.from_edge_mm for one in work.passes)
    return (
        _all_shares(work, levers) if each.number == 1 else None,
        step(
            f"Length this pass {verb}",
            "T · c_k l_k / Σ c_k l_k",
            f"{num(abs(whole_mm))} × {_lever(each)} / {fine(levers)}",
            abs(each.take_up_mm),
            source=CONVENTION,
        ),
        *_gather_steps(work, each, verb),
        step(
            "Edge length then",
            f"edge before {sign} this pass",
            f"{num(done.edge_before_mm)} {sign} {num(abs(each.take_up_mm))}",
            each.edge_length_mm,
            words="To read on the tape." if each.number == 1 else "",
        ),
    )


def _lever(each: Pass) -> str:
    return f"{fine(math.degrees(each.wedge_rad))} × {fine(each.from_edge_mm)}"


def _all_shares(work: Work, levers: float) -> Step:
    """Return what every pass's share is measured against."""
    return step(
        "Wedge times distance, all passes",
        "Σ c_k l_k",
        " + ".join(_lever(one) for one in work.passes),
        levers,
        "figure",
        words="Wedge in degrees, times how far the line is from the edge; those of the other passes come below.",
        source=OUR_WAY,
    )


def _gather_steps(work: Work, each: Pass, verb: str) -> tuple[Step, ...]:
    """Return how many gathers a pass is planned at, how many the first hand really took, and the room they have."""
    marking, (one, many) = (
        work.marking,
        ("stretch", "Stretches") if verb == "gains" else ("gather", "Gathers"),
    )
    planned = gathers_needed(each.take_up_mm, marking.gather_mm)
    steps = [
        step(
            many,
            f"length this pass {verb} / g",
            f"{num(abs(each.take_up_mm))} / {num(marking.gather_mm)}, rounded up",
            planned,
            "1",
            source=f"what one {one} {verb}: the shop's own",
        )
    ]
    if each.gathers != planned:
        steps.append(
            step(
                f"{many}, as the first hand took them",
                "as written down at the bench for this pass",
                str(each.gathers),
                each.gathers,
                "1",
                words="The other hand of the pair was made first: its count goes before the plan.",
                source="the shop's own",
            )
        )
    if each.gathers:
        steps += _room_steps(each, marking.die_width_mm, many.lower())
    return tuple(steps)


def _room_steps(each: Pass, die_mm: float, many: str) -> list[Step]:
    """Return how many fit on the line side by side, and so the rounds and the distance between gathers."""
    line_mm = each.line_length_mm
    fit = max(1, math.floor(line_mm / die_mm + 1e-9))
    die = "width of the die: the shop's own"
    steps = [
        step(
            "Fit side by side",
            "line / b",
            f"{num(line_mm)} / {num(die_mm)}, rounded down",
            fit,
            "1",
            source=die,
        )
        if line_mm >= die_mm
        else step("Fit side by side", "one, the line being shorter than b", "1", 1, "1", source=die),
        step("Rounds", f"{many} / fit side by side", f"{each.gathers} / {fit}, rounded up", each.rounds, "1"),
    ]
    if each.gathers > 1:
        figures = f"{num(line_mm)} × {each.rounds} / {each.gathers}"
        steps.append(step("Apart", f"line · rounds / {many}", figures, each.spacing_mm))
    return steps


def _on_the_face(work: Work, face: tuple[str, str]) -> Step | None:
    """Return what a tape on the outside face of the finished edge reads more or less, where it can tell."""
    more_mm = finished_outside_mm(work)
    if not more_mm:
        return None
    formula, figures = face
    return step(
        f"{'More' if more_mm > 0 else 'Less'} on the outside face",
        formula,
        figures,
        abs(more_mm),
        words="The edge's length is that of the middle of the sheet; its outside face lies half the thickness further "
        + ("out." if more_mm > 0 else "in."),
    )
