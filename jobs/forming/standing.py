"""How the section of a dome or a strip stands while it is being worked: for explanations, drawings and gauges."""

from __future__ import annotations

from jobs.forming.bands import polygon_height_mm, standing_rad
from jobs.forming.dome import Dome, rim_angle_rad
from jobs.forming.result import Pass, Work


def standing_after(work: Work, number: int) -> list[float]:
    """Return the angle of the section beyond each line worked up to a pass, radians, from the inmost outwards.

    >>> import math
    >>> from jobs.forming import Marking, Sheet, build, work_out
    >>> work = work_out(build("dome", {"diameter_mm": 600, "height_mm": 150}), Sheet(1.2), Marking())
    >>> [round(math.degrees(angle), 2) for angle in standing_after(work, 2)]
    [30.42, 49.65]
    """
    hinges = _hinges(work, number)
    angle_of = rim_angle_rad if isinstance(work.form, Dome) else None
    return standing_rad([each.wedge_rad for each in hinges], work.passes[0].section_angle_rad, angle_of)


def polygon_heights(work: Work) -> list[float]:
    """Return the height of the polygon before the first pass and after each, mm."""
    whole_mm = work.passes[0].from_start_mm + work.passes[0].from_edge_mm
    return [0.0] + [
        polygon_height_mm(
            [each.from_start_mm for each in _hinges(work, done.number)],
            whole_mm,
            standing_after(work, done.number),
        )
        for done in work.passes
    ]


def _hinges(work: Work, number: int) -> list[Pass]:
    """The lines worked up to a pass, from the inmost outwards; one gone over again is one line."""
    worked = {each.number: each for each in work.passes if each.number <= number}
    return sorted(worked.values(), key=lambda each: each.from_start_mm)
