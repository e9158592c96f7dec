"""The passes, one after another: where to work, how far to turn, how much to take up, what to read then."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from jobs.forming.figured.words import chapter, deg, fine, num, step
from jobs.forming.passes import NO_WORK_MM, gathers_needed, the_line
from jobs.forming.result import Chapter, Pass, Step, Work

CONVENTION = "our own way of sharing it out; only the sum is geometry"
SHOPS_GATHER = "what one gather takes: the shop's own"


@dataclass(frozen=True, slots=True)
class Worked:
    """One pass with what stood before it: the section's angle and the edge's length; ``last`` where none follows."""

    each: Pass
    angle_before_rad: float
    edge_before_mm: float
    last: bool


PassSteps = Callable[[Work, Worked], tuple[Step, ...]]


def pass_chapters(work: Work, own_steps: PassSteps) -> tuple[Chapter, ...]:
    """Return a chapter for each pass; ``own_steps`` gives those of the shape, the rest is alike for all."""
    chapters, angle_rad = [], 0.0
    edge_mm = work.edges[0].flat_length_mm if work.edges else 0.0
    for each in work.passes:
        done = Worked(each, angle_rad, edge_mm, each.number == len(work.passes))
        chapters.append(
            chapter(
                f"Pass {each.number}, along {the_line(each.line)}",
                *own_steps(work, done),
                *_take_up_steps(work, done),
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


def wedge(work: Work, done: Worked, formula: str, figures: str) -> Step:
    """Return the wedge that a pass closes."""
    return step(
        "Wedge",
        formula,
        figures,
        done.each.wedge_rad,
        "rad",
        words="What one would have to cut out of the sheet instead, all the wedges of this pass together."
        if done.each.number == 1
        else "",
        source="gauss",
    )


def _take_up_steps(work: Work, done: Worked) -> tuple[Step, ...]:
    each, whole_mm = done.each, work.edges[0].take_up_mm
    if abs(whole_mm) < NO_WORK_MM:
        return ()
    sign, gathers = ("+", "Stretches") if whole_mm < 0 else ("−", "Gathers")
    levers = math.fsum(math.degrees(one.wedge_rad) * one.from_edge_mm for one in work.passes)
    return (
        step(
            "Length this pass gains" if whole_mm < 0 else "Length this pass takes",
            "T · c_k l_k / Σ c_k l_k",
            f"{num(abs(whole_mm))} × {fine(math.degrees(each.wedge_rad))} × {fine(each.from_edge_mm)} / {fine(levers)}",
            abs(each.take_up_mm),
            source=CONVENTION,
        ),
        *_gather_steps(work, each, gathers),
        step(
            "Edge length then",
            f"edge before {sign} this pass",
            f"{num(done.edge_before_mm)} {sign} {num(abs(each.take_up_mm))}",
            each.edge_length_mm,
            words="To read on the tape." if each.number == 1 else "",
        ),
    )


def _gather_steps(work: Work, each: Pass, name: str) -> tuple[Step, ...]:
    """Return how many gathers a pass is planned at, how many the first hand really took, and the room they have."""
    marking = work.marking
    planned = gathers_needed(each.take_up_mm, marking.gather_mm)
    steps = [
        step(
            name,
            "length this pass takes / g",
            f"{num(abs(each.take_up_mm))} / {num(marking.gather_mm)}, rounded up",
            planned,
            "1",
            source=SHOPS_GATHER,
        )
    ]
    if each.gathers != planned:
        steps.append(
            step(
                f"{name}, as the first hand took them",
                "as many more or fewer as there",
                str(each.gathers),
                each.gathers,
                "1",
            )
        )
    if each.gathers:
        steps += _room_steps(each, marking.die_width_mm)
    return tuple(steps)


def _room_steps(each: Pass, die_mm: float) -> tuple[Step, ...]:
    """Return how many fit on the line side by side, and so the rounds and the distance between gathers."""
    line_mm = each.line_length_mm
    fit = max(1, math.floor(line_mm / die_mm + 1e-9))
    room = (
        step("Fit side by side", "line / b", f"{num(line_mm)} / {num(die_mm)}, rounded down", fit, "1")
        if line_mm >= die_mm
        else step("Fit side by side", "one, the line being shorter than b", "1", 1, "1")
    )
    return (
        room,
        step("Rounds", "gathers / fit side by side", f"{each.gathers} / {fit}, rounded up", each.rounds, "1"),
        step(
            "Apart",
            "line · rounds / gathers",
            f"{num(line_mm)} × {each.rounds} / {each.gathers}",
            each.spacing_mm,
        ),
    )


def _band(work: Work, done: Worked) -> int:
    """The band that a pass works, 1 being where the curve begins: gathering goes inwards from the edge."""
    return done.each.number if work.stretch_angle_rad else len(work.passes) + 1 - done.each.number


def band_angles(work: Work, done: Worked, whole_rad: float) -> tuple[float, float]:
    """Return the finished section's angle at both borders of the band that a pass works, inner and outer."""
    band, count = _band(work, done), len(work.passes)
    return whole_rad * (band - 1) / count, whole_rad * band / count


def band_place(work: Work, done: Worked, whole_mm: float, letter: str, whence: str) -> tuple[Step, ...]:
    """Return where the line of an equal band lies: how far from where the curve begins, and from the edge."""
    each, band, count = done.each, _band(work, done), len(work.passes)
    return (
        step(
            f"Line, from the {whence}",
            f"{letter} (band − 1/2) / m",
            f"{num(whole_mm)} × ({band} − 1 / 2) / {count}",
            each.from_start_mm,
            words=f"Equal bands, each worked along its middle; this is band {band}, counted from the {whence}.",
        ),
        step("Line, from the edge", f"{letter} − from the {whence}",
             f"{num(whole_mm)} − {num(each.from_start_mm)}", each.from_edge_mm),
    )  # fmt: skip


def band_angle(work: Work, done: Worked, letter: str, whole_rad: float) -> Step:
    """Return how far the section has turned after a pass, each band turning it alike."""
    each, count = done.each, len(work.passes)
    return step(
        "Section angle then",
        f"{letter} · k / m",
        f"{deg(whole_rad)} × {each.number} / {count}",
        each.section_angle_rad,
        "rad",
    )


def band_height(work: Work, done: Worked, height_mm: float, letter: str) -> Step:
    """Return the height over the middle after a pass: the polygon's, scaled to the height ordered."""
    share = (done.each.height_mm or 0.0) / height_mm
    return step(
        "Crown height then",
        f"{letter} · H_k / H_m",
        f"{num(height_mm)} × {share:.4f}",
        done.each.height_mm or 0.0,
        words="What the lines worked so far make of the whole height." if done.each.number == 1 else "",
        source=CONVENTION,
    )
