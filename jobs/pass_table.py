"""Which columns the table of a panel's passes needs."""

from dataclasses import dataclass

from jobs.drawings.gathers import noun
from jobs.forming import Work


@dataclass(frozen=True, slots=True)
class PassColumns:
    """``counted``: there are gathers or stretches to count, called ``noun``; ``crowned``: a height is read."""

    noun: str
    counted: bool
    crowned: bool


def columns_of(work: Work) -> PassColumns:
    """The columns of a panel's passes; where the edge keeps its length there is nothing to count."""
    return PassColumns(
        noun(work).capitalize(),
        any(one.gathers for one in work.passes),
        any(one.height_mm is not None for one in work.passes),
    )
