"""Which columns the table of a panel's passes needs."""

from dataclasses import dataclass

from jobs.drawings.gathers import noun
from jobs.forming import Work
from jobs.forming.taped import at_each, finished_outside_mm


@dataclass(frozen=True, slots=True)
class PassColumns:
    """``counted``: there are gathers or stretches to count, called ``noun``; ``crowned``: a height is read.

    ``outside_mm`` is what a tape on the outside face of the finished edge reads more than the middle of the sheet; 0
    where a tape cannot tell. ``at_each`` says where gathers are counted, where there is more than one such place.
    """

    noun: str
    counted: bool
    crowned: bool
    outside_mm: float
    at_each: str

    @property
    def inside_mm(self) -> float:
        return -self.outside_mm


def columns_of(work: Work) -> PassColumns:
    """The columns of a panel's passes; where the edge keeps its length there is nothing to count."""
    is_counted = any(one.gathers for one in work.passes)
    return PassColumns(
        noun(work).capitalize(),
        is_counted,
        any(one.height_mm is not None for one in work.passes),
        finished_outside_mm(work),
        at_each(work) if is_counted else "",
    )
