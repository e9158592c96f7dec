"""The section of a flange on a curved edge: arch, and the corner and sides of a tray."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from jobs.drawings.courses import Course, Piece
from jobs.drawings.marked import LINE_ROLES, line_text, named
from jobs.drawings.view import Mark, Round, Span, Turn, View
from jobs.forming import values
from jobs.forming.errors import WriteLength
from jobs.forming.passes import the_line
from jobs.forming.result import Line, Pass, Straight, Work

DRAWN_SHORT = ", drawn short"


def degrees(angle_rad: float) -> str:
    """Write an angle in degrees to a tenth.

    >>> degrees(math.pi / 2), degrees(math.radians(22.5))
    ('90°', '22.5°')
    """
    return f"{math.degrees(angle_rad):.1f}".removesuffix(".0") + "°"


# Arch


def arch_course(work: Work, web_mm: float, after: Pass | None = None) -> Course:
    """Return web, bend and flange of an arch, finished or as they stand after a pass.

    The lines worked so far have bent their own share of the bend; the rest of the flange is still straight.
    """
    given = values(work.form)
    rho = given["bend_radius_mm"] + work.sheet.thickness_mm / 2
    angle = after.section_angle_rad if after else given["bend_angle_rad"]
    developed = work.flat_length_mm or 0.0
    bent = min(rho * angle, developed)
    return Course(
        (-web_mm, 0.0), 0.0, (Piece(web_mm), Piece(bent, -angle), Piece(max(0.0, developed - bent)))
    )


def arch_view(work: Work, write: WriteLength, after: Pass | None) -> View:
    """The section across the flange: web to the left, flange turned down at the right."""
    given, thickness = values(work.form), work.sheet.thickness_mm
    developed = work.flat_length_mm or 0.0
    short = max(0.45 * developed, 3 * thickness)
    ordered = given.get("web_mm", 0.0)  # a tray has its web anyway
    web = min(ordered or short, short)
    course = arch_course(work, web, after)
    finished = arch_course(work, web)
    edge = course.end()
    left = min(-web, edge[0])
    top = thickness / 2
    angle = after.section_angle_rad if after else given["bend_angle_rad"]
    rho = given["bend_radius_mm"] + thickness / 2
    marks = line_marks(work, write, course, lambda one: web + one.from_start_mm)
    inside = Round(
        (0.0, -rho), given["bend_radius_mm"], math.pi / 2 - angle / 2,
        f"inside radius {write(given['bend_radius_mm'])}", "bend_radius_mm",
    )  # fmt: skip
    drop = top - edge[1]
    depth = Span(
        (left, top), (left, edge[1]), write(given["depth_mm"] if after is None else drop), -22, "depth_mm"
    )
    return View(
        title="Section across the flange" if after is None else f"Section after pass {after.number}",
        description=_arch_words(work, write, after, drop),
        thickness_mm=thickness,
        metal=course.runs(),
        strokes=(
            *((("section-before", finished.runs()),) if after else ()),
            ("extension", (Straight(edge, (left, edge[1])),)),
        ),
        points=(edge,) if after else (),
        marks=(Mark(_web_words(ordered, web, write), (-web, 0.0), "web_mm"), *marks, Mark("edge", edge)),
        spans=(depth,),
        rounds=(inside,) if given["bend_radius_mm"] > 0 and after is None else (),
        turns=(_bend_turn(rho, angle),),
        remarks=pass_remarks(after, write),
    )


def _web_words(ordered: float, drawn: float, write: WriteLength) -> str:
    """Say how far the web goes on, and that there is more of it than is drawn."""
    if not ordered:
        return "web, cut short"
    return f"web {write(ordered)}" + (DRAWN_SHORT if drawn < ordered else "")


def line_marks(
    work: Work, write: WriteLength, course: Course, along_mm: Callable[[Line], float]
) -> list[Mark]:
    """Return the lines of one side as ticks across a section, named as on the flat pattern."""
    told = named(work.lines)[0]
    marks = []
    for one in work.lines:
        if "," in one.name:
            continue
        point, heading = course.at(along_mm(one))
        text = line_text(one, write) if one in told else ""
        marks.append(Mark(text, point, role=LINE_ROLES[one.kind], heading_rad=heading))
    return marks


def _bend_turn(rho: float, angle: float) -> Turn:
    """The bend angle, about the corner the two flats point at; past 140 degrees about the bend's centre."""
    text = f"bend {degrees(angle)}"
    if angle > math.radians(140):
        return Turn((0.0, -rho), math.pi / 2, -angle, text, "bend_angle_rad", 22.0)
    return Turn((rho * math.tan(angle / 2), 0.0), 0.0, -angle, text, "bend_angle_rad")


def _arch_words(work: Work, write: WriteLength, after: Pass | None, drop: float) -> str:
    given = values(work.form)
    if after:
        return (
            f"After pass {after.number} along {the_line(after.line)} the section stands at "
            f"{degrees(after.section_angle_rad)}; its edge is {write(drop)} below the web's outside face."
        )
    return (
        f"Bend of {degrees(given['bend_angle_rad'])} with inside radius {write(given['bend_radius_mm'])}, "
        f"depth {write(given['depth_mm'])}; {listed(work.lines, write)}."
    )


def listed(lines: Sequence[Line], write: WriteLength) -> str:
    """Say which lines there are, those of two sides once."""
    return ", ".join(dict.fromkeys(line_text(one, write) for one in lines)) or "no lines"


def pass_remarks(after: Pass | None, write: WriteLength) -> tuple[str, ...]:
    """Say what to read after a pass, and what stands dashed behind it; nothing of the finished section."""
    if after is None:
        return ()
    return (
        f"Stands at {degrees(after.section_angle_rad)}. Edge on the tape: {write(after.edge_length_mm)}. "
        "Dashed: finished.",
    )
