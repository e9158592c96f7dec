"""The hours model: what is known of every rate, and the hours of a panel or a job that follow from it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from estimates.hours.design import SECOND_HAND, Design
from estimates.hours.nearest import Shelf
from estimates.hours.panels import DRIVERS, STAGES, Drivers
from estimates.hours.ranges import HoursRange, StageHours
from estimates.hours.regression import Belief
from estimates.hours.totals import Correlations, alike, total

Confidence = tuple[float, ...]
USUAL_CONFIDENCE: Final[Confidence] = (0.5, 0.8)


@dataclass(frozen=True, slots=True)
class PanelHours:
    """The hours of one panel, stage by stage and together.

    ``confidence`` says which ends of the ranges the shop looks at; every range answers for any other.
    """

    stages: dict[str, StageHours]
    total: HoursRange
    correlation: float
    confidence: Confidence = USUAL_CONFIDENCE


@dataclass(frozen=True, slots=True)
class StageRate:
    """What is known of one stage's rate. Plain numbers: cheap to keep, copy and pickle.

    ``roots[i]`` is coefficient i's row of the covariance root, in units of the residual ``spread``.
    """

    stage: str
    design: Design
    mean: tuple[float, ...]
    roots: tuple[tuple[float, ...], ...]
    spread: float
    df: float
    n_past: int
    shelf: Shelf

    @classmethod
    def of(cls, stage: str, design: Design, belief: Belief, shelf: Shelf, n_past: int) -> StageRate:
        """Return the plain numbers of a belief."""
        roots = tuple(tuple(row) for row in belief.covariance_root().tolist())
        mean = tuple(belief.mean.tolist())
        return cls(stage, design, mean, roots, belief.spread, float(belief.df), n_past, shelf)

    def estimate(self, drivers: Drivers) -> StageHours:
        """Return the predictive distribution of the stage's hours for a panel."""
        amount = drivers.amount(self.stage)
        if not amount:
            return StageHours.not_needed(self.stage, self.n_past, DRIVERS[self.stage].meaning)
        bearing = self.design.bearing(drivers.kind)
        mean_log = math.log(amount) + sum(self.mean[place] * by for place, by in bearing)
        loadings = self._loadings(bearing)
        scale = math.sqrt(self.spread**2 + sum(loading * loading for loading in loadings))
        nearest = self.shelf.nearest(drivers.kind, amount)
        note = "" if self.n_past else "No past panel has this stage on record: first rates only."
        return StageHours(mean_log, scale, self.df, self.stage, self.n_past, nearest, note, loadings)

    def per_unit(self, drivers: Drivers) -> HoursRange:
        """Return the rate for work like this, hours per unit of the driver, and how well it is known."""
        bearing = self.design.bearing(drivers.kind)
        mean_log = sum(self.mean[place] * by for place, by in bearing)
        return HoursRange(mean_log, math.hypot(*self._loadings(bearing)), self.df)

    def second_hand_factor(self) -> HoursRange:
        """Return what the second hand takes against the first (unit learning curve), as a range of the factor."""
        place = self.design.places[SECOND_HAND]
        return HoursRange(self.mean[place], self.spread * math.hypot(*self.roots[place]), self.df)

    def _loadings(self, bearing: Sequence[tuple[int, float]]) -> tuple[float, ...]:
        axes = zip(*(self.roots[place] for place, _ in bearing), strict=True)
        multipliers = [by for _, by in bearing]
        return tuple(
            self.spread * sum(part * by for part, by in zip(axis, multipliers, strict=True)) for axis in axes
        )


@dataclass(frozen=True, slots=True)
class Model:
    """All rates, and how far stages go over together. ``left_out`` names panels the owner left out, and why."""

    rates: dict[str, StageRate]
    correlation: float
    on: date
    half_life_days: float | None
    n_past: int
    left_out: tuple[tuple[str, str], ...]

    def estimate(
        self,
        drivers: Drivers,
        confidence: Confidence = USUAL_CONFIDENCE,
        own_stages: Sequence[StageHours] = (),
    ) -> PanelHours:
        """Return the hours of a panel; ``own_stages`` are the shop's own, with hours the owner gives."""
        stages = {stage: rate.estimate(drivers) for stage, rate in self.rates.items()}
        stages |= {own.stage: own for own in own_stages}
        return panel_hours(stages, self.correlation, confidence)


def panel_hours(
    stages: dict[str, StageHours], correlation: float, confidence: Confidence = USUAL_CONFIDENCE
) -> PanelHours:
    """Put stages together to a panel; use it again when the owner overrides one of them."""
    whole = total(list(stages.values()), alike(len(stages), correlation))
    return PanelHours(stages, whole, correlation, confidence)


def job_total(panels: Sequence[PanelHours]) -> HoursRange:
    """Return the hours of all panels of a job.

    Panels that rest on the same rates are wrong together; what is peculiar to each is independent.
    """
    loadings = [_total_loadings(panel) for panel in panels]
    return total([panel.total for panel in panels], _correlations([p.total for p in panels], loadings))


def _total_loadings(panel: PanelHours) -> tuple[float, ...]:
    """Return a panel total's loadings on the axes of all stages, each by the stage's share of the hours."""
    middle = {name: stage.p50 for name, stage in panel.stages.items()}
    whole = sum(middle.values()) or 1.0
    return tuple(
        loading * middle[name] / whole for name in STAGES for loading in _padded(panel.stages.get(name))
    )


def _padded(stage: StageHours | None, axes: int = 64) -> tuple[float, ...]:
    loadings = () if stage is None else stage.loadings
    return loadings + (0.0,) * (axes - len(loadings))


def _correlations(wholes: Sequence[HoursRange], loadings: Sequence[tuple[float, ...]]) -> Correlations:
    def correlation(i: int, j: int) -> float:
        if i == j:
            return 1.0
        scales = wholes[i].scale * wholes[j].scale
        shared = sum(a * b for a, b in zip(loadings[i], loadings[j], strict=True))
        return max(0.0, min(shared / scales, 0.999)) if scales else 0.0

    return tuple(tuple(correlation(i, j) for j in range(len(wholes))) for i in range(len(wholes)))
