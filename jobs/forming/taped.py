"""What a tape on the outside face reads more than the middle of the sheet, for which all lengths are figured."""

from __future__ import annotations

import math

from jobs.forming.arch import Arch
from jobs.forming.arcs import QUARTER
from jobs.forming.crown import Crown
from jobs.forming.dome import Dome
from jobs.forming.result import Work
from jobs.forming.sweep import Sweep
from jobs.forming.tray import Tray

TELLING_MM = 0.3
"""Less than this is lost between two divisions of a tape (common practice, no source)."""


def outside_mm(work: Work, section_angle_rad: float) -> float:
    """Return how much longer the first edge is on the outside face than in the middle of the sheet, mm.

    turn · t/2 · (how squarely the face looks outwards): sin φ for a flange or a rim, cos ψ for the edge of a strip

    Parameters
    ----------
    work
        The panel.
    section_angle_rad
        The angle its section stands at, radians: that of a pass.

    Returns
    -------
    Less than nothing for a stretched flange, whose outside face looks towards the middle of its curve.

    Limits: the face is taken to lie half the thickness off the middle, whatever gathering has added there.

    >>> from jobs.forming import Marking, Sheet, build, work_out
    >>> dome = build("dome", {"diameter_mm": 200, "height_mm": 100})
    >>> round(outside_mm(work_out(dome, Sheet(2.0), Marking()), math.pi / 2), 3)  # a half ball: 2π · 1 mm
    6.283

    Source: circumferences at radii half a thickness apart.
    """
    form, half_mm = work.form, work.sheet.thickness_mm / 2
    if isinstance(form, Arch):
        sign = -1 if form.stretch else 1
        return sign * form.turn_rad * half_mm * math.sin(section_angle_rad)
    if isinstance(form, Tray):
        return QUARTER * half_mm * math.sin(section_angle_rad)
    if isinstance(form, Dome):
        return math.tau * half_mm * math.sin(section_angle_rad)
    if isinstance(form, Sweep | Crown):
        return form.strip().turn_rad * half_mm * math.cos(section_angle_rad)
    return 0.0


def at_each(work: Work) -> str:
    """Return where gathers are counted and the edge is read, where there is more than one such place; else nothing.

    >>> from jobs.forming import FORMS, Marking, Sheet, build, work_out
    >>> tray = build("tray", {each.name: each.example for each in FORMS["tray"].dimensions})
    >>> at_each(work_out(tray, Sheet(1.2), Marking()))
    'at each corner'
    """
    name = work.edges[0].name if work.edges else ""
    return f"at {name}" if name.startswith(("each ", "either ")) else ""


def finished_outside_mm(work: Work) -> float:
    """Return what the finished edge reads more on its outside face, mm; 0 where no tape can tell or none is asked."""
    if not any(one.gathers for one in work.passes):
        return 0.0
    more_mm = outside_mm(work, work.passes[-1].section_angle_rad)
    return more_mm if abs(more_mm) >= TELLING_MM else 0.0
