"""The section of a fold: straight bends seen from their end."""

from __future__ import annotations

import math

from jobs.drawings.bends import degrees
from jobs.drawings.courses import Course, Piece
from jobs.drawings.view import Mark, Round, View
from jobs.forming import values
from jobs.forming.errors import WriteLength
from jobs.forming.fold import OUTSIDE, Fold
from jobs.forming.result import Pass, Work


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
        both_sides=True,
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
