"""What a shape asks of the metal: flats, gathers, passes and check lengths. Pure Python, no Django.

To read it, begin with ``result`` and ``sheet``, the words everything else is said in. Each form then has a module of its
own: ``arch`` and ``tray`` rest on ``flange``, ``sweep`` and ``crown`` on ``strip``, ``fold`` on ``bend``; ``dome`` and
``roll`` stand alone. ``passes`` shares the work out over lines (``bands`` over those of a section that curves up to its
edge), ``sector``, ``tray_plan``, ``outline`` and ``rectangle`` lay the flat out, ``cautions`` warns. From a finished
``Work``, ``readings`` and ``replanned`` go on at the bench, ``standing``, ``taped`` and ``along`` answer three more
questions, ``report`` and ``said`` write it down, and ``figured`` explains it.

>>> import math
>>> arch = build("arch", {"outside_radius_mm": 300, "turn_rad": math.pi, "bend_radius_mm": 25, "depth_mm": 60})
>>> work = work_out(arch, Sheet(thickness_mm=1.2), Marking())
>>> [(each.line, each.gathers) for each in work.passes]
[('start', 4), ('centre', 19), ('stop', 9)]
"""

from __future__ import annotations

from jobs.forming.correction import NONE, Correction
from jobs.forming.errors import ImpossibleShape
from jobs.forming.figured import explain
from jobs.forming.form import Form
from jobs.forming.forms import FORMS, build, values
from jobs.forming.outline import mirror
from jobs.forming.readings import Reading, Replan, correction_from, readings_for, replan
from jobs.forming.result import Chapter, Step, Work
from jobs.forming.sheet import Marking, Sheet

__all__ = [
    "FORMS",
    "Chapter",
    "Correction",
    "Form",
    "ImpossibleShape",
    "Marking",
    "Reading",
    "Replan",
    "Sheet",
    "Step",
    "Work",
    "build",
    "correction_from",
    "explain",
    "mirror",
    "readings_for",
    "replan",
    "values",
    "work_out",
]


def work_out(form: Form, sheet: Sheet, marking: Marking, correction: Correction | None = None) -> Work:
    """Return all that a form asks of a sheet, or raise ``ImpossibleShape``.

    ``correction`` is what the first hand of a pair taught; the plan of the second hand starts from it.
    """
    return form.work_out(sheet, marking, correction or NONE)
