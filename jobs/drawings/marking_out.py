"""What it takes to lay the blank out with rule, square and compass, in words under its drawing.

The labels give each line's distance from the start line. Here stand the distances from the edge and from each other,
the radii and where their centre is, and chord and rise where that lies off the sheet.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence

from jobs.drawings.bends import degrees
from jobs.drawings.marked import bare_name
from jobs.drawings.runs import bounds
from jobs.forming import values
from jobs.forming.errors import WriteLength
from jobs.forming.result import Arc, Line, Straight, Work

MOST_LISTED = 4
"""More lines than this are told by the first, the last and the step between."""
SAME_MM = 0.05
TIMES = "\u00a0×\u00a0"  # not broken at the end of a row


def marking_out(work: Work, write: WriteLength) -> list[str]:
    """Return what the blank can be laid out from, beside its dimensions and labels: a paragraph for each way."""
    return [one for one in WAYS[work.form.name](work, write) if one]


# Distances of the lines


def line_gaps(lines: Sequence[Line], write: WriteLength) -> str:
    """Return how far the lines are from the edge and from each other; nothing where there are none."""
    rows = _by_distance(lines)
    if not rows:
        return ""
    listed = rows
    if len(rows) > MOST_LISTED:
        rows, listed = _even(rows), [rows[0], rows[-1]]
    told = ", ".join(f"{bare_name(one)} {write(one.from_edge_mm)}" for one in listed)
    return f"From the edge: {told}{_steps(_gaps(rows), write)}."


def _even(rows: list[Line]) -> list[Line]:
    """Lines without the centre line where it stands between two of an even number, off their step."""
    others = [one for one in rows if one.kind != "centre" or one in (rows[0], rows[-1])]
    gaps = _gaps(others)
    return others if max(gaps) - min(gaps) <= SAME_MM else rows


def _gaps(rows: Sequence[Line]) -> list[float]:
    return [after.from_edge_mm - one.from_edge_mm for one, after in itertools.pairwise(rows)]


def _by_distance(lines: Sequence[Line]) -> list[Line]:
    """Lines from the edge inwards; of the same line on two sides, one."""
    found = {bare_name(one): one for one in lines if one.path}
    return sorted(found.values(), key=lambda one: one.from_edge_mm)


def _steps(gaps: Sequence[float], write: WriteLength) -> str:
    if not gaps:
        return ""
    if max(gaps) - min(gaps) <= SAME_MM:
        return f"; {write(gaps[0])} apart"
    *first, last = gaps
    if max(first) - min(first) <= SAME_MM:
        return f"; {write(first[0])} apart, the last {write(last)}"
    return f"; {_listed(gaps, write)} apart"


def _listed(lengths: Sequence[float], write: WriteLength) -> str:
    *first, last = map(write, lengths)
    return f"{', '.join(first)} and {last}" if first else last


def _without_trim(work: Work, write: WriteLength) -> str:
    if not work.marking.trim_mm:
        return "No trim: the outline is the cut."
    box = bounds(work.by_length.runs)
    return f"Without trim {write(box.right - box.left)}{TIMES}{write(box.bottom - box.top)}."


# Forms


def _fan(work: Work, write: WriteLength) -> Iterator[str]:
    """A flange on a curved edge: arcs about one centre."""
    yield line_gaps(work.lines, write)
    turn = values(work.form)["turn_rad"]
    edge = work.edges[0].flat_radius_by_length_mm
    radii = [("edge", edge), *_radii(work.lines), *_web_end(work, edge)]
    told = ", ".join(f"{name} {write(radius)}" for name, radius in radii)
    lowest = bounds(work.trimmed.runs).top
    side = "below" if lowest > 0 else "above"
    ends = "" if turn > math.tau - 1e-9 else f"; the ends run to it, at {degrees(turn)}"
    centre = f"Their centre is on the middle line, {write(abs(lowest))} {side} the blank's lower side{ends}."
    yield f"Radii about one centre: {told}. {centre}"
    if lowest > 0 and turn < math.pi:
        name, radius = max(radii, key=lambda one: abs(one[1] - edge))
        farthest = [(f"{name[0].upper()}{name[1:]}", radius)] if radius != edge else []
        yield " ".join(_chord(*one, turn, write) for one in (("Edge", edge), *farthest))


def _radii(lines: Sequence[Line]) -> list[tuple[str, float]]:
    """Names and radii of the lines that are arcs, from the edge inwards; of many, the first and the last."""
    rows = [
        (bare_name(one), one.path[0].radius_mm) for one in _by_distance(lines) if isinstance(one.path[0], Arc)
    ]
    rows = [one for one in rows if one[1] > SAME_MM]
    return rows if len(rows) <= MOST_LISTED else [rows[0], rows[-1]]


def _web_end(work: Work, edge_mm: float) -> list[tuple[str, float]]:
    """Where a web ordered on the blank ends."""
    if not values(work.form)["web_mm"]:
        return []
    arcs = [run.radius_mm for run in work.by_length.runs if isinstance(run, Arc)]
    ends = [radius for radius in arcs if abs(radius - edge_mm) > SAME_MM]
    return [("end of the web", radius) for radius in ends]


def _chord(name: str, radius_mm: float, turn_rad: float, write: WriteLength) -> str:
    """Chord, rise, and rise over the quarters of the chord, for an arc whose centre no compass reaches."""
    half = radius_mm * math.sin(turn_rad / 2)
    foot = radius_mm * math.cos(turn_rad / 2)
    quarter = math.sqrt(radius_mm**2 - (half / 2) ** 2) - foot
    rise, higher = write(radius_mm - foot), write(quarter)
    return f"{name}: straight from end to end {write(2 * half)}, rise {rise}, at a quarter {higher}."


def _disc(work: Work, write: WriteLength) -> Iterator[str]:
    """A dome: circles about the middle."""
    yield line_gaps(work.lines, write)
    edge, trim = bounds(work.by_length.runs).right, bounds(work.trimmed.runs).right
    told = f", trim line {write(trim)}" if work.marking.trim_mm else ""
    yield f"All circles are about the middle; radius of the edge {write(edge)}{told}."


def _strip(work: Work, write: WriteLength) -> Iterator[str]:
    """A sweep or a crown: a rectangle, its lines along both long sides."""
    yield line_gaps(work.lines, write)
    stops = [
        one.path[0].start[1] for one in work.lines if one.kind == "stop" and isinstance(one.path[0], Straight)
    ]
    apart = f" The stop lines are {write(max(stops) - min(stops))} apart." if len(stops) > 1 else ""
    yield _without_trim(work, write) + apart


def _roll(work: Work, write: WriteLength) -> Iterator[str]:
    yield f"Start and stop line are the ends of the sheet. {_without_trim(work, write)}"


def _folded(work: Work, write: WriteLength) -> Iterator[str]:
    """Straight bends: from each to the next, and from the last to the edge."""
    bends = sorted((one for one in work.lines if one.kind == "bend"), key=lambda one: one.from_start_mm)
    gaps = [after.from_start_mm - one.from_start_mm for one, after in itertools.pairwise(bends)]
    between = f"From bend to bend {_listed(gaps, write)}. " if gaps else ""
    last = f"From the last bend to the last edge {write(bends[-1].from_edge_mm)}. " if bends else ""
    yield f"{between}{last}{_without_trim(work, write)}"


def _tray(work: Work, write: WriteLength) -> Iterator[str]:
    """A rectangle whose corners between two flanges are arcs, each about a centre as far in as its radius."""
    yield f"{line_gaps(work.lines, write)} {_without_trim(work, write)}".strip()
    if not work.edges:
        return
    edge = work.edges[0].flat_radius_by_length_mm
    starts = {
        run.radius_mm for one in work.lines if one.kind == "start" for run in one.path if isinstance(run, Arc)
    }
    start = f", of the start line {write(max(starts))}" if starts and max(starts) > SAME_MM else ""
    yield f"Round corners: radius of the edge {write(edge)}{start}, about a point {write(edge)} in from both edges."


WAYS: dict[str, Callable[[Work, WriteLength], Iterator[str]]] = {
    "arch": _fan,
    "sweep": _strip,
    "dome": _disc,
    "crown": _strip,
    "roll": _roll,
    "fold": _folded,
    "tray": _tray,
}
