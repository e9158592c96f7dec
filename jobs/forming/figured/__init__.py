"""How a panel's figures were figured: plain words, the formula, the panel's own figures in it, and the result.

One module for each kind of shape, in the order of its formulas; what every shape shares stands in ``sheet`` (blank and
mass) and ``passes``. Nothing here is on the way of working a shape out.
"""

from __future__ import annotations

from collections.abc import Callable

from jobs.forming.figured.arch import arch_chapters
from jobs.forming.figured.dome import dome_chapters
from jobs.forming.figured.fold import fold_chapters
from jobs.forming.figured.roll import roll_chapters
from jobs.forming.figured.strip import crown_chapters, sweep_chapters
from jobs.forming.figured.tray import tray_chapters
from jobs.forming.result import Chapter, Work

__all__ = ["explain"]

BY_FORM: dict[str, Callable[..., tuple[Chapter, ...]]] = {
    "arch": arch_chapters,
    "sweep": sweep_chapters,
    "tray": tray_chapters,
    "crown": crown_chapters,
    "dome": dome_chapters,
    "roll": roll_chapters,
    "fold": fold_chapters,
}


def explain(work: Work) -> tuple[Chapter, ...]:
    """Return how the figures of ``work`` were figured, in the order a person would.

    >>> from jobs.forming import Marking, Sheet, build, work_out
    >>> roll = build("roll", {"width_mm": 400, "radius_mm": 199.4, "turn_rad": 1.5})
    >>> chapters = explain(work_out(roll, Sheet(1.2), Marking()))
    >>> [each.title for each in chapters]
    ['The flat', 'Sheet and mass']
    >>> chapters[0].steps[1].figures
    '1.5 rad × 200'
    """
    return BY_FORM[work.form.name](work.form, work)
