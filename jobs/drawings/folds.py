"""Sections of tray and fold: straight bends seen from their end."""

from __future__ import annotations

import math

from jobs.drawings.bends import degrees, line_marks, listed, pass_remarks
from jobs.drawings.courses import Course, Piece, two_sided
from jobs.drawings.view import Mark, Round, Span, Turn, View, WriteLength
from jobs.forming import values
from jobs.forming.fold import OUTSIDE, Fold
from jobs.forming.result import Pass, Straight, Work


def fold_course(work: Work) -> Course:
    """Return a fold's mid-surface; every bend turns the same way."""
    form = work.form
    if not isinstance(form, Fold):
        raise TypeError("only a fold has legs")
    angle = form.bend_angle_rad
    bend = Piece((form.bend_radius_mm + work.sheet.thickness_mm / 2) * angle, -angle)
    first, *others = form.straights(work.sheet)
    pieces = [Piece(first)]
    for straight in others:
        pieces += [bend, Piece(straight)]
    # The middle leg, or the middle bend, lies level.
    return Course((0.0, 0.0), angle * form.bends / 2, tuple(pieces))


def fold_view(work: Work, write: WriteLength, after: Pass | None) -> View:
    """The section of a folded sheet, its legs numbered in order."""
    given, course = values(work.form), fold_course(work)
    angle = given["bend_angle_rad"]
    rho = given["bend_radius_mm"] + work.sheet.thickness_mm / 2
    marks, reached = [], 0.0
    for index, piece in enumerate(course.pieces):
        if index % 2 == 0:
            leg = index // 2
            middle, _ = course.at(reached + piece.length_mm / 2)
            marks.append(Mark(f"leg {leg + 1}: {write(given['leg_mm'][leg])}", middle, "leg_mm"))
        reached += piece.length_mm
    start, heading = course.at(course.pieces[0].length_mm)
    centre = (start[0] + rho * math.sin(heading), start[1] - rho * math.cos(heading))
    measured = "over the outside" if given["measured"] == OUTSIDE else "on the straight parts"
    inside = f"inside radius {write(given['bend_radius_mm'])}, each bend {degrees(angle)}"
    return View(
        title="Section of the folds",
        description=f"{len(given['leg_mm'])} legs; {inside}.",
        thickness_mm=work.sheet.thickness_mm,
        metal=course.runs(),
        marks=tuple(_spaced(marks)),
        rounds=(
            Round(
                centre, given["bend_radius_mm"], heading + math.pi / 2 - angle / 2, inside, "bend_radius_mm"
            ),
        ),
        remarks=(f"Legs are measured {measured}. Laid flat: {write(work.flat_length_mm or 0.0)}.",),
    )


def _spaced(marks: list[Mark], most: int = 16) -> list[Mark]:
    """Name so many legs only that the column stays shorter than a page."""
    step = math.ceil(len(marks) / most)
    return marks[::step]


def tray_course(work: Work, after: Pass | None = None) -> tuple[Course, tuple[str, str], str]:
    """Return the section through a tray, its two sides, and the field of its size.

    It is taken along the length where an end has a flange, else across the width.
    """
    given = values(work.form)
    sides = given["sides"].split()
    ends, size = (
        (("back", "front"), "length_mm")
        if {"front", "back"} & set(sides)
        else (("right", "left"), "width_mm")
    )
    rho = given["bend_radius_mm"] + work.sheet.thickness_mm / 2
    angle = after.section_angle_rad if after else given["bend_angle_rad"]
    inset = work.sheet.thickness_mm / 2 + rho * math.sin(given["bend_angle_rad"])
    developed = work.flat_length_mm or 0.0
    bent = min(rho * angle, developed)

    def half(side: str) -> tuple[Piece, ...]:
        if side not in sides:
            return (Piece(given[size] / 2),)
        return (Piece(given[size] / 2 - inset), Piece(bent, angle), Piece(developed - bent))

    return two_sided(half(ends[0]), half(ends[1])), ends, size


def tray_view(work: Work, write: WriteLength, after: Pass | None) -> View:
    """The section through a tray, flanges turned up."""
    given, thickness = values(work.form), work.sheet.thickness_mm
    course, ends, size = tray_course(work, after)
    finished = tray_course(work)[0]
    angle = after.section_angle_rad if after else given["bend_angle_rad"]
    rho = given["bend_radius_mm"] + thickness / 2
    total = course.length_mm
    right = ends[1] in given["sides"].split()
    # Where only the left end has a flange its lines are measured from that end.
    marks = line_marks(
        work, write, course, lambda one: total - one.from_edge_mm if right else one.from_edge_mm
    )
    edge = course.end() if right else course.start
    side = 1.0 if right else -1.0
    start = side * (given[size] / 2 - thickness / 2 - rho * math.sin(given["bend_angle_rad"]))
    bottom, half = -thickness / 2, given[size] / 2
    across = "along the length" if size == "length_mm" else "across the width"
    height = edge[1] - bottom
    text = write(given["depth_mm"] if after is None else height)
    outer = min(-half, course.start[0], course.end()[0])
    spans = [Span((outer, edge[1]), (outer, bottom), text, -22, "depth_mm")]
    if after is None:
        spans.append(Span((-half, bottom), (half, bottom), write(given[size]), -30, size))
    inside = f"inside radius {write(given['bend_radius_mm'])}"
    bend = f"bend {degrees(angle)}"
    rounds = (
        Round(
            (start, rho), given["bend_radius_mm"], -math.pi / 2 + side * angle / 2, inside, "bend_radius_mm"
        ),
    )
    lead = (Straight(edge, (outer, edge[1])),) if edge[0] != outer else ()
    return View(
        title=f"Section {across}" if after is None else f"Section {across} after pass {after.number}",
        description=f"Depth {text}, {bend}, {inside}; {listed(work.lines, write)}.",
        thickness_mm=thickness,
        metal=course.runs(),
        strokes=(
            *((("section-before", finished.runs()),) if after else ()),
            *((("extension", lead),) if lead and not right else ()),
        ),
        points=(edge,) if after else (),
        marks=(*marks, Mark("edge", edge)),
        spans=tuple(spans),
        rounds=rounds if after is None and given["bend_radius_mm"] > 0 else (),
        turns=(_corner_turn(start, rho, angle, side, bend),),
        remarks=pass_remarks(after, write),
    )


def _corner_turn(start: float, rho: float, angle: float, side: float, text: str) -> Turn:
    if angle > math.radians(140):
        return Turn((start, rho), -math.pi / 2, side * angle, text, "bend_angle_rad", 22.0)
    level = 0.0 if side > 0 else math.pi
    return Turn((start + side * rho * math.tan(angle / 2), 0.0), level, side * angle, text, "bend_angle_rad")
