"""What the first hand of a pair taught: how many gathers each pass really took."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PassTaken:
    """The gathers one pass was planned at and the gathers it took."""

    number: int
    planned: int
    taken: int


@dataclass(frozen=True, slots=True)
class Correction:
    """The passes of a first hand, to start the second hand's plan from.

    >>> Correction((PassTaken(1, planned=7, taken=9),)).gathers(1, 7)
    9
    >>> Correction((PassTaken(1, planned=7, taken=9),)).gathers(2, 5)
    5
    """

    passes: tuple[PassTaken, ...] = ()

    def gathers(self, number: int, planned: int) -> int:
        """Return the corrected gathers of a pass: the first hand's, in proportion where the plan differs."""
        for done in self.passes:
            if done.number == number and done.taken > 0:
                return round(planned * done.taken / done.planned) if done.planned else done.taken
        return planned


NONE = Correction()
