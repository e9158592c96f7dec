"""Sections of forms that curve in one sweep: sweep, dome, crown, roll."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from jobs.drawings.bends import degrees, line_marks, listed, pass_remarks
from jobs.drawings.courses import Course, Piece, symmetrical
from jobs.drawings.lettered import SECTION_RADIUS
from jobs.drawings.view import Mark, Round, Span, Turn, View
from jobs.forming import values
from jobs.forming.arcs import angle_from_chord, arc_from_chord, radius_from_chord
from jobs.forming.crown import Crown
from jobs.forming.dome import Dome
from jobs.forming.errors import WriteLength
from jobs.forming.result import Pass, Work
from jobs.forming.standing import standing_after
from jobs.forming.sweep import Sweep


@dataclass(frozen=True, slots=True)
class Crowned:
    """Half of a section that falls away on both sides alike: flat middle, then an arc down to the edge."""

    flat_mm: float
    side_mm: float
    drop_mm: float

    @property
    def angle_rad(self) -> float:
        """How far the section has turned down at the edge."""
        return angle_from_chord(2 * self.side_mm, self.drop_mm) / 2

    @property
    def radius_mm(self) -> float:
        """Radius of the curved part; infinite for no drop."""
        return radius_from_chord(2 * self.side_mm, self.drop_mm) if self.drop_mm else math.inf

    @property
    def arc_mm(self) -> float:
        """Length along the curved part of a side."""
        return arc_from_chord(2 * self.side_mm, self.drop_mm) / 2

    def course(self) -> Course:
        """Return the finished section from left to right, its middle at the origin."""
        return symmetrical((Piece(self.flat_mm / 2), Piece(self.arc_mm, -self.angle_rad)))

    def course_after(self, work: Work, after: Pass) -> Course:
        """Return the section as it stands after a pass: so many of the equal bands are turned.

        Worked from the edge inwards the outer bands are curved and the middle is still flat; worked outwards
        the middle is curved and the rest runs on straight.
        """
        angles = standing_after(work, after.number)
        band_mm = self.arc_mm / max(each.number for each in work.passes)
        curved = [Piece(band_mm, before - then) for before, then in pairwise([0.0, *angles])]
        straight = Piece(self.arc_mm - band_mm * len(angles))
        pieces = (*curved, straight) if work.stretch_angle_rad else (straight, *curved)
        return symmetrical((Piece(self.flat_mm / 2), *pieces))


def crowned_of(work: Work) -> Crowned:
    """Return the section of a sweep, of a dome, or of a crowned panel across its width."""
    form = work.form
    if isinstance(form, Sweep):
        return Crowned(form.flat_mm, (form.width_mm - form.flat_mm) / 2, form.drop_mm)
    if isinstance(form, Dome):
        return Crowned(0.0, form.rim_mm, form.height_mm)
    if isinstance(form, Crown):
        return Crowned(0.0, form.width_mm / 2, form.width_height_mm)
    raise TypeError(f"a {form.name} does not fall away alike on both sides")


def _crowned_view(
    work: Work, write: WriteLength, after: Pass | None, names: tuple[str, str], across: str
) -> View:
    """The section of anything that falls away alike on both sides; ``names`` are its width and drop fields."""
    crowned = crowned_of(work)
    finished = crowned.course()
    course = crowned.course_after(work, after) if after else finished
    total = course.length_mm
    marks = line_marks(work, write, course, lambda one: total - one.from_edge_mm)
    (x, y), (left, _) = course.end(), course.start
    drop = crowned.drop_mm if after is None or after.height_mm is None else after.height_mm
    width = 2 * crowned.side_mm + crowned.flat_mm
    spans = []
    if after is None:
        spans.append(Span((left, y), (x, y), write(width), -30, names[0]))
    if drop:
        spans.append(Span((left, 0.0), (left, y), write(drop), -22, names[1]))
    return View(
        title=f"Section {across}" if after is None else f"Section {across} after pass {after.number}",
        description=_words(work, write, after, drop, width),
        thickness_mm=work.sheet.thickness_mm,
        metal=course.runs(),
        strokes=(("section-before", finished.runs()),) if after else (),
        points=(course.end(), course.start) if after else (),
        marks=(*marks, Mark("edge", (x, y))),
        spans=tuple(spans),
        rounds=_radius(crowned, write) if after is None else (),
        remarks=_after_remarks(after, write, drop),
    )


def _radius(crowned: Crowned, write: WriteLength) -> tuple[Round, ...]:
    if not crowned.drop_mm:
        return ()
    r = crowned.radius_mm
    angle = math.pi / 2 - crowned.angle_rad / 2
    return (Round((crowned.flat_mm / 2, -r), r, angle, f"radius {write(r)}", SECTION_RADIUS),)


def _words(work: Work, write: WriteLength, after: Pass | None, drop: float, width: float) -> str:
    if after is None:
        return f"Width {write(width)}, height {write(drop)}; {listed(work.lines, write)}."
    return f"After pass {after.number} along {after.line} the edge stands {write(drop)} below the middle."


def _after_remarks(after: Pass | None, write: WriteLength, drop: float) -> tuple[str, ...]:
    if after is None:
        return ()
    return (f"Height to read over the middle: {write(drop)}.", *pass_remarks(after, write))


def sweep_view(work: Work, write: WriteLength, after: Pass | None) -> View:
    """The section across a sweep."""
    view = _crowned_view(work, write, after, ("width_mm", "drop_mm"), "across")
    flat_mm = crowned_of(work).flat_mm
    return _with_flat(view, flat_mm, write) if after is None and flat_mm else view


def _with_flat(view: View, flat_mm: float, write: WriteLength) -> View:
    half = flat_mm / 2
    return replace(view, spans=(*view.spans, Span((-half, 0.0), (half, 0.0), write(flat_mm), 24, "flat_mm")))


def dome_view(work: Work, write: WriteLength, after: Pass | None) -> View:
    """The section through the middle of a dome."""
    return _crowned_view(work, write, after, ("diameter_mm", "height_mm"), "through the middle")


def crown_view(work: Work, write: WriteLength, after: Pass | None) -> View:
    """The section across the width of a crowned panel."""
    return _crowned_view(work, write, after, ("width_mm", "width_height_mm"), "across the width")


def roll_pieces(work: Work) -> tuple[Piece]:
    """Return half of a rolled sheet, from its middle outwards."""
    given = values(work.form)
    half = given["turn_rad"] / 2
    return (Piece(half * (given["radius_mm"] + work.sheet.thickness_mm / 2), -half),)


def roll_view(work: Work, write: WriteLength, after: Pass | None) -> View:
    """The section across a roll."""
    given = values(work.form)
    rho = given["radius_mm"] + work.sheet.thickness_mm / 2
    course, turn = symmetrical(roll_pieces(work)), given["turn_rad"]
    centre = (0.0, -rho)
    turned = Turn(centre, math.pi / 2 + turn / 2, -turn, f"turn {degrees(turn)}", "turn_rad", 24.0)
    far = turn < math.radians(165)  # else the centre is near the ends, clear of the dimension over them
    return View(
        title="Section of the roll",
        description=f"Inside radius {write(given['radius_mm'])}, turn {degrees(turn)}.",
        thickness_mm=work.sheet.thickness_mm,
        metal=course.runs(),
        marks=(Mark(turned.text, course.at(course.length_mm * 0.7)[0], "turn_rad"),) if far else (),
        spans=_roll_spans(given["radius_mm"], work.sheet.thickness_mm, turn, write),
        rounds=(Round(centre, given["radius_mm"], math.pi / 2 - min(turn, math.pi) / 5,
                      f"inside radius {write(given['radius_mm'])}", "radius_mm"),),
        turns=() if far else (turned,),
        remarks=(f"Along the middle of the sheet's thickness: {write(course.length_mm)}. Sizes are over the outside.",),
    )  # fmt: skip


def _roll_spans(radius: float, thickness: float, turn: float, write: WriteLength) -> tuple[Span, ...]:
    """What a square reads with the ends on the bench: over the ends, or over the whole once they turn in under it;
    and the height. ``radius`` is the inside radius.
    """
    outside, rho, half = radius + thickness, radius + thickness / 2, min(turn / 2, math.pi)
    wide = 2 * outside * math.sin(min(half, math.pi / 2))
    lowest = (radius if half < math.pi / 2 else outside) * math.cos(half)
    top, low = thickness / 2, lowest - rho
    return (
        Span((-wide / 2, low), (wide / 2, low), write(wide), -30),
        Span((-wide / 2, top), (-wide / 2, low), write(top - low), -22),
    )
