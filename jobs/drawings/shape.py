"""The panel from above or from the side: what the plan curve, the turn and the sizes over all are."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from jobs.drawings.bends import degrees
from jobs.drawings.crowns import Crowned
from jobs.drawings.folds import fold_course
from jobs.drawings.laid_out import lay_out
from jobs.drawings.lettered import LENGTH_RADIUS, with_letters
from jobs.drawings.scene import Run, Scene, bounds, on_circle
from jobs.drawings.view import Mark, Round, Span, Turn, View
from jobs.forming import values
from jobs.forming.errors import WriteLength, in_millimetres
from jobs.forming.outline import rectangle
from jobs.forming.result import Arc, Point, Straight, Work
from jobs.forming.sector import sector
from jobs.forming.taped import finished_outside_mm
from jobs.forming.tray_plan import OUTWARD, TrayPlan

FAR_CENTRE_RAD = math.radians(55)
"""Arcs that turn less have their centre so far off that showing it would shrink the panel."""
ORIGIN: Point = (0.0, 0.0)


def side_view(
    work: Work,
    *,
    write_length: WriteLength = in_millimetres,
    mirrored: bool = False,
    highlight: str | None = None,
    letters: bool = False,
    width: float = 520.0,
    height: float = 300.0,
) -> Scene:
    """Draw the panel from above or from the side, to scale, with radius, turn and sizes.

    Parameters are those of ``section.section``.
    """
    view = VIEWS[work.form.name](work, write_length)
    if letters:
        view = with_letters(view, work.form.name)
    return lay_out(view, width=width, height=height, mirrored=mirrored, highlight=highlight)


def _arch(work: Work, write: WriteLength) -> View:
    """From above: the web inside the curve (gathered) or outside it (stretched), the bend at its border."""
    given, turn = values(work.form), values(work.form)["turn_rad"]
    outside = given["outside_radius_mm"]
    inner, outer = _start_radius(work), outside
    web = given["web_mm"] or 0.45 * (work.flat_length_mm or 0.0)
    if given["stretch"]:
        lo, hi = outside, max(inner, outside) + web
    else:
        lo, hi = max(0.0, inner - web), outer
    ring = sector(lo, hi, turn).runs
    first = math.pi / 2 - turn / 2
    start = (Arc(ORIGIN, inner, first, turn),) if inner > 1e-6 else ()
    rounds, turns, marks = _plan_curve(outside, turn, write, "outside radius", "outside_radius_mm")
    if given["stretch"] and turn < FAR_CENTRE_RAD:  # below the arc stands the dimension over its ends
        rounds = tuple(replace(one, outside=True) for one in rounds)
    return View(
        title="From above",
        description=f"Outside radius {write(outside)}, turn {degrees(turn)}.",
        fills=(("kraft", ring),),
        strokes=(("outline", ring), ("start", start)),
        marks=(
            *marks,
            *((Mark("start line", on_circle(ORIGIN, inner, first + turn * 0.25)),) if start else ()),
        ),
        spans=_over_ends(outside, (lo, hi), turn, write),
        rounds=rounds,
        turns=turns,
        remarks=(_edge_remark(work, write),),
    )


def _start_radius(work: Work) -> float:
    """Return the start line's plan radius, taken from its course on the flat."""
    for one in work.lines:
        if one.kind == "start" and isinstance(one.path[0], Arc):
            return one.path[0].radius_mm
    return 0.0


def _plan_curve(
    radius: float, turn: float, write: WriteLength, word: str, name: str
) -> tuple[tuple[Round, ...], tuple[Turn, ...], tuple[Mark, ...]]:
    """Radius line and turn of an arc astride the y axis; the turn is only written where the centre is far off."""
    text, first = f"turn {degrees(turn)}", math.pi / 2 - turn / 2
    far = turn < FAR_CENTRE_RAD
    rounds = (Round(ORIGIN, radius, first + turn * 0.38, f"{word} {write(radius)}", name, whole=not far),)
    if far:
        return rounds, (), (Mark(text, on_circle(ORIGIN, radius, first + turn * 0.15), "turn_rad"),)
    return rounds, (Turn(ORIGIN, first, turn, text, "turn_rad", 30.0, radius),), ()


def _over_ends(radius: float, ring: tuple[float, float], turn: float, write: WriteLength) -> tuple[Span, ...]:
    """The chord over the outside's ends, or the whole width once the curve has passed its widest.

    ``ring`` is the least and the greatest radius drawn, so that the dimension stands clear below the panel.
    """
    half = min(turn / 2, math.pi / 2)
    x, y = radius * math.sin(half), radius * math.cos(half)
    ends = [one * math.cos(turn / 2) for one in ring]
    low = min(*ends, 0.0 if turn >= FAR_CENTRE_RAD else y)
    return (Span((-x, low), (x, low), write(2 * x), -26),)


def _edge_remark(work: Work, write: WriteLength) -> str:
    if not work.edges:
        return ""
    edge, more_mm = work.edges[0], finished_outside_mm(work)
    finished = edge.finished_length_mm
    outside = f", taped on the outside face {write(finished + more_mm)}" if more_mm else ""
    return f"Along {edge.name}: flat {write(edge.flat_length_mm)}, finished {write(finished)}{outside}."


def _sweep(work: Work, write: WriteLength) -> View:
    """From the side: crown above, edge below, stop line dashed between them."""
    given = values(work.form)
    radius, turn, drop = given["crown_radius_mm"], given["turn_rad"], given["drop_mm"]
    ring = sector(radius - drop, radius, turn).runs if drop else ()
    crown: tuple[Run, ...] = (Arc(ORIGIN, radius, math.pi / 2 - turn / 2, turn),)
    rounds, turns, marks = _plan_curve(radius, turn, write, "crown radius", "crown_radius_mm")
    return View(
        title="From the side",
        description=f"Crown radius {write(radius)}, turn {degrees(turn)}, drop {write(drop)}.",
        fills=(("kraft", ring),) if ring else (),
        strokes=(("outline", ring or crown),),
        marks=marks,
        spans=_over_ends(radius, (radius - drop, radius), turn, write),
        rounds=rounds,
        turns=turns,
        remarks=(f"Along the crown: {write(turn * radius)}. {_edge_remark(work, write)}",),
    )


def _crown(work: Work, write: WriteLength) -> View:
    """The other section of a crowned panel: along its length."""
    given = values(work.form)
    length, high = given["length_mm"], given["length_height_mm"]
    along = Crowned(0.0, length / 2, high)
    course = along.course()
    left, right = course.start, course.end()
    spans = [Span(left, right, write(length), -30, "length_mm")]
    if high:
        spans.append(Span((left[0], 0.0), left, write(high), -22, "length_height_mm"))
    rounds = (
        (Round((0.0, -along.radius_mm), along.radius_mm, math.pi / 2 - along.angle_rad / 2,
               f"radius {write(along.radius_mm)}", LENGTH_RADIUS),) if high else ()
    )  # fmt: skip
    return View(
        title="Section along the length",
        description=f"Length {write(length)}, height {write(high)}.",
        thickness_mm=work.sheet.thickness_mm,
        metal=course.runs(),
        spans=tuple(spans),
        rounds=rounds,
        remarks=(f"Along the middle: {write(course.length_mm)}.",),
    )


def _dome(work: Work, write: WriteLength) -> View:
    diameter = values(work.form)["diameter_mm"]
    ring: tuple[Run, ...] = (Arc(ORIGIN, diameter / 2, 0.0, math.tau),)
    r = diameter / 2
    cross = (Straight((-r, 0.0), (r, 0.0)), Straight((0.0, -r), (0.0, r)))
    return View(
        title="From above",
        description=f"Round, {write(diameter)} across.",
        fills=(("kraft", ring),),
        strokes=(("outline", ring), ("centre", cross)),
        spans=(Span((-r, -r), (r, -r), write(diameter), -28, "diameter_mm"),),
        remarks=(_edge_remark(work, write),),
    )


def _plate(title: str, x: float, y: float, names: tuple[str, str], write: WriteLength) -> View:
    """A rectangle with its two sizes."""
    runs = rectangle(x, y).runs
    return View(
        title=title,
        description=f"{write(x)} by {write(y)}.",
        fills=(("kraft", runs),),
        strokes=(("outline", runs),),
        spans=(
            Span((-x / 2, -y / 2), (x / 2, -y / 2), write(x), -28, names[0]),
            Span((-x / 2, y / 2), (-x / 2, -y / 2), write(y), -22, names[1]),
        ),
    )


def _roll(work: Work, write: WriteLength) -> View:
    """From above: as wide as the curve is over the outside of its ends, as deep as the sheet is wide."""
    given = values(work.form)
    outside, half = given["radius_mm"] + work.sheet.thickness_mm, min(given["turn_rad"] / 2, math.pi / 2)
    return _plate("From above", 2 * outside * math.sin(half), given["width_mm"], ("", "width_mm"), write)


def _fold(work: Work, write: WriteLength) -> View:
    """From above: over the outside of the folds, as deep as the sheet is wide."""
    course, half = fold_course(work), work.sheet.thickness_mm / 2
    box = bounds((*course.offset(half), *course.offset(-half)))
    return _plate("From above", box.right - box.left, values(work.form)["width_mm"], ("", "width_mm"), write)


def _tray(work: Work, write: WriteLength) -> View:
    """From above: the outside at the stop lines; corners between two flanges are round."""
    given = values(work.form)
    x, y, r = given["length_mm"] / 2, given["width_mm"] / 2, given["corner_radius_mm"]
    sides = given["sides"].split()
    outside = TrayPlan(x, y, inset_mm=0.0, start_radius_mm=r, sides=frozenset(sides))
    outline = outside.outline(0.0).runs
    rounds = tuple(
        Round(centre, r, first + math.pi / 4, f"corner radius {write(r)}", "corner_radius_mm")
        for centre, first in [*outside.gathered_corners()][-1:]
    )
    named = "all round" if len(sides) == 4 else f"on {', '.join(sides)}"
    # Off the middle, where the figure of the width stands; of a slim tray all names stand at the other end.
    aside = min(y / 2, y - r)
    open_sides = [Mark(side, (ex * x, ey * y if ey else -aside)) for side, (ex, ey) in OUTWARD.items()]
    return View(
        title="From above",
        description=f"{write(2 * x)} by {write(2 * y)} over the outside, flange {named}.",
        fills=(("kraft", outline),),
        strokes=(("outline", outline),),
        marks=tuple(open_sides) if len(sides) < 4 else (),
        both_sides=aside > 0.12 * x,
        spans=(
            Span((-x, -y), (x, -y), write(2 * x), -28, "length_mm"),
            Span((-x, y), (-x, -y), write(2 * y), -22, "width_mm"),
        ),
        rounds=rounds,
        remarks=(f"Flange {named}, {write(given['depth_mm'])} deep.",),
    )


VIEWS: dict[str, Callable[[Work, WriteLength], View]] = {
    "arch": _arch,
    "sweep": _sweep,
    "crown": _crown,
    "dome": _dome,
    "roll": _roll,
    "fold": _fold,
    "tray": _tray,
}
