"""The lines to mark on the metal: how each is drawn, what is written at it, and where its label points."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jobs.drawings.gathers import ordinal
from jobs.drawings.letters import Box
from jobs.drawings.place import Placement
from jobs.drawings.scene import Path, Run, bounds, ends, extent, on_circle
from jobs.forming import values
from jobs.forming.errors import WriteLength
from jobs.forming.result import Arc, Line, Point, Straight, Work

SAME_MM = 0.05
EDGE_RAD = math.radians(20)
"""Where an edge that goes round is named: above the middle of the right side, where the trim line's name points."""
MOST_NAMED = 9
"""More lines than this between start and stop are not all named: their labels would fill the page."""
NOT_CUT = {
    "gathers": "A wedge is metal to gather in: nothing is cut out of it.",
    "stretches": "A wedge is metal to stretch out: nothing is cut into it.",
}
LINE_ROLES = {kind: kind for kind in ("start", "centre", "stop", "pass", "bend", "edge")}


@dataclass(frozen=True, slots=True)
class Tag:
    """A line of the pattern with the point its label speaks of and the words of the label."""

    role: str
    anchor: Point
    order: float
    text: str


def line_paths(work: Work, place: Placement) -> tuple[Path, ...]:
    """Return the lines to mark, each in the dash of its kind."""
    return tuple(Path(LINE_ROLES[one.kind], place.runs(one.path)) for one in work.lines if one.path)


def centre_marks(blank: Box, arm: float) -> Path:
    """Return short ticks across the blank's sides at their middles, ``arm`` to either side."""
    x, y = (blank.left + blank.right) / 2, (blank.top + blank.bottom) / 2
    ticks = (
        Straight((x, blank.top - arm), (x, blank.top + arm)),
        Straight((x, blank.bottom - arm), (x, blank.bottom + arm)),
        Straight((blank.left - arm, y), (blank.left + arm, y)),
        Straight((blank.right - arm, y), (blank.right + arm, y)),
    )
    return Path("mark", ticks)


def tags_of(work: Work, place: Placement, write_length: WriteLength) -> list[Tag]:
    """One label for every different text; of lines that share one, the rightmost carries it."""
    found: dict[str, Tag] = {}
    upright = [one for one in work.lines if _is_upright(one.path)]
    rings = [one for one in work.lines if one.path and is_ring(one.path)]
    for line in named(work.lines)[0]:
        text = line_text(line, write_length)
        runs = place.runs(line.path)
        anchor = _ring_anchor(runs, rings.index(line), len(rings)) if line in rings else _right_end(runs)
        if line in upright:
            anchor = _part_way(runs, upright.index(line), len(upright))
        if text not in found or anchor[0] > found[text].anchor[0]:
            found[text] = Tag(LINE_ROLES[line.kind], anchor, -anchor[0], text)
    return [*found.values(), *_edge_tag(work, place, write_length), *_trim_tag(work, place, write_length)]


def _edge_tag(work: Work, place: Placement, write_length: WriteLength) -> Iterator[Tag]:
    """The edge that is worked, named where no line says which of the outline's sides it is."""
    spots = [place.point(spot) for spot in _edge_spots(work)]
    if not spots:
        return
    from_start = max((one.from_start_mm + one.from_edge_mm for one in work.lines), default=0.0)
    text = f"edge: {write_length(from_start)}" if from_start else "edge"
    anchor = max(spots)  # either hand is named at its right
    yield Tag("outline", anchor, -anchor[0], text)


def _edge_spots(work: Work) -> list[Point]:
    """Points of the edge on the by-length flat near its ends, on a side of a tray between two corners."""
    box = bounds(work.by_length.runs)
    if work.form.name == "tray":
        sides = values(work.form)["sides"].split()
        x, y = box.right * 0.3, box.bottom * 0.3
        spots = {
            "front": (box.right, y),
            "back": (box.left, y),
            "right": (x, box.top),
            "left": (x, box.bottom),
        }
        mirror = {"right": (-x, box.top), "left": (-x, box.bottom)}
        return [one[side] for one in (spots, mirror) for side in sides if side in one]
    if not work.edges:
        return []
    radius = work.edges[0].flat_radius_by_length_mm
    if math.isinf(radius):
        return [(box.right, box.bottom), (box.left, box.bottom)]
    arc = next(
        run for run in work.by_length.runs if isinstance(run, Arc) and abs(run.radius_mm - radius) < SAME_MM
    )
    low, high = sorted((arc.start_rad, arc.start_rad + arc.sweep_rad))
    # Of a curve that goes round past its right side the foremost point, each line having its own place further down.
    angles = (min(max(one, low), high) for one in (EDGE_RAD, math.pi - EDGE_RAD))
    return [on_circle(arc.centre, radius, one) for one in angles]


def edge_course(work: Work) -> tuple[str, tuple[Run, ...]] | None:
    """The edge that is worked as it runs on the by-length flat, named; of a strip one of its two."""
    if not work.edges:
        return None
    radius = work.edges[0].flat_radius_by_length_mm
    top = bounds(work.by_length.runs).bottom - SAME_MM
    runs = tuple(
        run
        for run in work.by_length.runs
        if (isinstance(run, Arc) and abs(run.radius_mm - radius) < SAME_MM)
        or (math.isinf(radius) and isinstance(run, Straight) and min(run.start[1], run.end[1]) > top)
    )
    return ("edge", runs) if runs else None


def _trim_tag(work: Work, place: Placement, write_length: WriteLength) -> Iterator[Tag]:
    """The trim line with how far it runs outside the outline; without trim there is none."""
    if not work.marking.trim_mm:
        return
    corners = [point for run in place.runs(work.trimmed.runs) for point in extent(run)]
    trim = max(corners, key=lambda point: (round(point[0], 3), -point[1]))
    yield Tag("trim", trim, -trim[0], trim_text(work, write_length))


def trim_text(work: Work, write_length: WriteLength) -> str:
    """Return what is written at the trim line."""
    return f"trim line: {write_length(work.marking.trim_mm)} out"


def line_text(line: Line, write_length: WriteLength) -> str:
    """Return what is written at a line: its name, and after a colon how far it is from the start line.

    Without the colon, ring 3 at 3/4 in would read as three and three quarters.
    """
    name = bare_name(line)
    return f"{name}: {write_length(line.from_start_mm)}" if line.from_start_mm else name


def bare_name(line: Line) -> str:
    """Return a line's name without its side: the two sides of a strip say the same."""
    name = line.name.partition(",")[0]
    return f"{name} line" if line.kind in ("start", "centre", "stop") else name


def measured_from(lines: Sequence[Line]) -> str:
    """Return where the tape starts and how it lies; nothing where no line has a distance."""
    if not any(one.from_start_mm for one in lines):
        return ""
    return f"Distances are from the {origin(lines)}, taped on the flat blank, outside face up."


def origin(lines: Sequence[Line]) -> str:
    """Return what the distances of some lines are measured from."""
    if all(one.kind == "bend" for one in lines):
        return "edge of the first leg"
    at_zero = [one for one in lines if one.from_start_mm == 0 and one.kind in ("start", "stop", "centre")]
    return f"{at_zero[0].kind} line" if at_zero else "middle"


def named(lines: Sequence[Line], most: int = MOST_NAMED) -> tuple[list[Line], str]:
    """Return the lines to name, and the remark that says so where those are not all.

    Of many lines, those with a name of their own are named and every so many of the others.
    """
    told = [one for one in lines if one.path]
    own = [one for one in told if one.kind not in ("pass", "bend")]
    rest = [one for one in told if one.kind in ("pass", "bend")]
    texts = len({one.name.partition(",")[0] for one in rest})
    step = max(1, math.ceil(texts / most))
    if step == 1:
        return told, ""
    return [*own, *rest[::step]], f"Only every {ordinal(step)} of the lines between is named."


def is_ring(path: Sequence[Run]) -> bool:
    """Tell whether a course ends where it begins."""
    return math.dist(ends(path[0])[0], ends(path[-1])[1]) < 1e-6


def _is_upright(path: Sequence[Run]) -> bool:
    """Tell whether a line runs up the drawing, so that its right end says nothing."""
    if len(path) != 1 or not isinstance(path[0], Straight):
        return False
    (ax, ay), (bx, by) = path[0].start, path[0].end
    return abs(bx - ax) < abs(by - ay) / 4


def _part_way(runs: Sequence[Run], index: int, count: int) -> Point:
    """A point of an upright line, each line at a height of its own."""
    (ax, ay), (bx, by) = sorted(ends(runs[0]), key=lambda point: point[1])
    part = (index + 0.5) / count
    return (ax + (bx - ax) * part, ay + (by - ay) * part)


def _right_end(runs: Sequence[Run]) -> Point:
    return max(ends(runs[0])[0], ends(runs[-1])[1])


def _ring_anchor(runs: Sequence[Run], index: int, count: int) -> Point:
    """A point at the right of a ring, each ring a little further round than the one before."""
    if len(runs) == 1 and isinstance(runs[0], Arc):
        angle = math.radians(-40 + 80 * (index + 0.5) / count)
        return on_circle(runs[0].centre, runs[0].radius_mm, angle)
    return max(point for run in runs for point in extent(run))


def letter(index: int) -> str:
    """Return A, B, ... Z, AA, AB, ... for 0, 1, ...

    >>> [letter(0), letter(25), letter(26), letter(52)]
    ['A', 'Z', 'AA', 'BA']
    """
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(ord("A") + rest) + text
    return text
