"""Hours as people see them: a middle and a high end, and the distribution behind both."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Self

from estimates.hours import student

OWNERS_WORD_DF: Final = 30.0
"""Degrees of freedom given to a range that the owner states; assumed: as firm as thirty past panels."""
_GREATEST_LOG: Final = 709.0  # that a float's exponential can hold


@dataclass(frozen=True, slots=True)
class HoursRange:
    """Hours whose logarithm follows Student's t: ``log(hours) = mean_log + scale · t(df)``.

    ``exp(mean_log)`` is the middle (P50). The mean of such hours is infinite for any finite ``df`` and is
    therefore never used: only quantiles are. No hours at all are ``mean_log`` of minus infinity, ``scale`` 0.
    """

    mean_log: float
    scale: float
    df: float

    @classmethod
    def none(cls) -> HoursRange:
        """Return the range of no hours, 0 to 0."""
        return HoursRange(-math.inf, 0.0, math.inf)

    @classmethod
    def between(cls, p50: float, p80: float, df: float = OWNERS_WORD_DF) -> HoursRange:
        """Return the range with this middle and this high end, hours.

        Raises
        ------
        ValueError
            Unless ``0 <= p50 <= p80``, both finite, and ``p80`` is 0 where ``p50`` is.
        """
        if not (0 <= p50 <= p80 < math.inf) or (p50 == 0 < p80):
            raise ValueError(f"Hours run from low to high, both 0 or both above it; {p50} to {p80} do not.")
        if p80 == 0:
            return cls.none()
        scale = math.log(p80 / p50) / student.quantile(0.8, df)
        return HoursRange(math.log(p50), scale, df)

    @property
    def is_zero(self) -> bool:
        """Whether there is nothing to do."""
        return self.mean_log == -math.inf

    def quantile(self, p: float) -> float:
        """Return the hours that are enough with probability ``p``, between 0 and 1 and neither."""
        beyond_middle = self.scale * student.quantile(p, self.df) if self.scale else 0.0
        return math.exp(min(self.mean_log + beyond_middle, _GREATEST_LOG))

    @property
    def p50(self) -> float:
        """The middle: as likely over as under, hours."""
        return self.quantile(0.5)

    @property
    def p80(self) -> float:
        """The high end: enough four times in five, hours."""
        return self.quantile(0.8)

    def at(self, confidence: Sequence[float]) -> tuple[float, ...]:
        """Return the hours at each confidence asked for."""
        return tuple(self.quantile(p) for p in confidence)

    def times(self, factor: float) -> Self:
        """Return the same range, ``factor`` times as long (more than 0)."""
        return replace(self, mean_log=self.mean_log + math.log(factor))


@dataclass(frozen=True, slots=True)
class Nearest:
    """A past panel like this one, with what its stage took."""

    panel: str
    hours: float
    hours_per_unit: float


@dataclass(frozen=True, slots=True)
class StageHours(HoursRange):
    """The hours of one stage and what they rest on.

    ``n_past`` is the number of past panels that taught this stage's rate (0: first rates or the owner's word).
    ``loadings`` is the part of ``scale`` that comes from not knowing the rates, on independent axes: panels
    with like loadings run over together. ``unsaid`` marks a stage of the shop's own whose hours nobody knows yet; until
    somebody says them they are none.
    """

    stage: str = ""
    n_past: int = 0
    nearest: tuple[Nearest, ...] = ()
    note: str = ""
    loadings: tuple[float, ...] = ()
    unsaid: bool = False

    @classmethod
    def not_needed(cls, stage: str, n_past: int, driver: str) -> StageHours:
        """Return the hours of a stage whose driver is 0."""
        return StageHours(
            -math.inf, 0.0, math.inf, stage, n_past, note=f"No {driver}: nothing to do at this stage."
        )

    @classmethod
    def by_owner(cls, stage: str, p50: float, p80: float) -> StageHours:
        """Return the hours of a stage of the shop's own (trimming, welding), given by the owner."""
        said = HoursRange.between(p50, p80)
        return StageHours(said.mean_log, said.scale, said.df, stage, note="By the owner's word.")

    @classmethod
    def nobody_knows(cls, stage: str) -> StageHours:
        """Return the hours of a stage of the shop's own that has neither the owner's word nor a past panel."""
        return StageHours(-math.inf, 0.0, math.inf, stage, note="Nobody has said its hours yet.", unsaid=True)
