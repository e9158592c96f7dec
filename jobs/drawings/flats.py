"""The two flats of a panel over each other, and the trim round them: between the two lies the true blank."""

from __future__ import annotations

import math

from jobs.drawings.laid_out import lay_out
from jobs.drawings.scene import Scene, polyline
from jobs.drawings.view import Mark, View
from jobs.forming import Work
from jobs.forming.assembly import ALONG_Y
from jobs.forming.errors import WriteLength, in_millimetres
from jobs.forming.method import kept_in_the_flat
from jobs.forming.outline import flatten
from jobs.forming.rectangle import extent
from jobs.forming.result import Outline, Point, Straight


def both_flats(
    work: Work,
    *,
    write_length: WriteLength = in_millimetres,
    mirrored: bool = False,
    width: float = 330.0,
    height: float = 260.0,
) -> Scene:
    """Draw the flat with lengths kept, the flat with area kept (dotted) and the trim (dashed), to scale.

    Parameters are those of ``section.section``.
    """
    view = View(
        title="The two flats",
        description=f"The flat with {kept_in_the_flat(work)} and the flat with area kept, one over the other.",
        fills=(("kraft", work.by_length.runs),),
        strokes=(
            ("trim", work.trimmed.runs),
            ("outline", work.by_length.runs),
            ("outline-area", work.by_area.runs),
        ),
        marks=tuple(
            Mark(text, _towards(outline, part))
            for text, outline, part in (
                ("trim", work.trimmed, 0.8),
                (kept_in_the_flat(work), work.by_length, 0.5),
                ("area kept", work.by_area, 0.2),
            )
        ),
        remarks=("The true blank lies between the two flats.",),
    )
    return lay_out(view, width=width, height=height, mirrored=mirrored)


def at_the_edge(
    work: Work,
    *,
    write_length: WriteLength = in_millimetres,
    mirrored: bool = False,
    width: float = 330.0,
    height: float = 200.0,
) -> Scene:
    """Draw a piece of the edge as large as there is room: the two flats and the trim line beyond them.

    On the whole flat the two may lie within one line's width. Parameters are those of ``section.section``.
    """
    trim_mm, apart_mm = work.marking.trim_mm, _apart_mm(work)
    out = 1 if work.stretch_angle_rad else -1  # too little metal in the flat puts its edge further out
    way = "outwards" if out > 0 else "inwards"
    reach = max(trim_mm, apart_mm)
    long = 1.2 * reach

    def level(y: float) -> tuple[Straight]:
        return (Straight((0.0, y), (long, y)),)

    corners = ((0.0, 0.0), (0.0, -1.2 * reach), (long, -1.2 * reach), (long, 0.0))
    view = View(
        title="At the edge, larger",
        description=f"The two flats lie {write_length(apart_mm)} apart, the trim line {write_length(trim_mm)} out.",
        fills=(("kraft", polyline(corners, closed=True)),),
        strokes=(("trim", level(trim_mm)), ("outline", level(0.0)), ("outline-area", level(out * apart_mm))),
        marks=(
            *((Mark(f"trim line: {write_length(trim_mm)} out", (long, trim_mm)),) if trim_mm else ()),
            Mark(kept_in_the_flat(work), (long, 0.0)),
            Mark(f"area kept: {write_length(apart_mm)} {way}", (long, out * apart_mm)),
        ),
    )
    return lay_out(view, width=width, height=height, mirrored=mirrored)


def _apart_mm(work: Work) -> float:
    """Return how far the two flats lie apart at the edge."""
    edge = work.edges[0]
    if math.isfinite(edge.flat_radius_by_length_mm):
        return abs(edge.flat_radius_by_length_mm - edge.flat_radius_by_area_mm)
    wide = [extent(outline, ALONG_Y) for outline in (work.by_length, work.by_area)]
    return abs(wide[0] - wide[1]) / 2


def _towards(outline: Outline, part: float) -> Point:
    """Return the point of an outline that reaches furthest to the right and upwards, up counting for ``part``."""
    return max(flatten(outline.runs, 0.5), key=lambda point: point[0] + part * point[1])
