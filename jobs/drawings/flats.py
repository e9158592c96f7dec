"""The two flats of a panel over each other, and the trim round them: between the two lies the true blank."""

from __future__ import annotations

from jobs.drawings.laid_out import lay_out
from jobs.drawings.scene import Scene
from jobs.drawings.view import Mark, View
from jobs.forming import Work
from jobs.forming.errors import WriteLength, in_millimetres
from jobs.forming.outline import flatten
from jobs.forming.result import Outline, Point


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
        description="The flat with lengths kept and the flat with area kept, one over the other.",
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
                ("lengths kept", work.by_length, 0.5),
                ("area kept", work.by_area, 0.2),
            )
        ),
        remarks=(f"Trim {write_length(work.marking.trim_mm)}. The true blank lies between the two flats.",),
    )
    return lay_out(view, width=width, height=height, mirrored=mirrored)


def _towards(outline: Outline, part: float) -> Point:
    """Return the point of an outline that reaches furthest to the right and upwards, up counting for ``part``."""
    return max(flatten(outline.runs, 0.5), key=lambda point: point[0] + part * point[1])
