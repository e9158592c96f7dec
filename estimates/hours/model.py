"""The hours model: what is known of every rate, and the hours of a panel or a job that follow from it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Final

from estimates.hours.design import SECOND_HAND, Design
from estimates.hours.nearest import Shelf
from estimates.hours.own import OwnRecord
from estimates.hours.panels import DRIVERS, Drivers
from estimates.hours.ranges import HoursRange, StageHours
from estimates.hours.regression import Belief
from estimates.hours.totals import alike, total
from estimates.hours.unlike import Unlike

GREATEST_SHARE: Final = 0.99
"""Most of a panel's spread that it may have in common with others, so that their correlations stay proper."""

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
        mean_log = math.log(amount) + self._mean_log(bearing)
        loadings = self._loadings(bearing)
        scale = math.sqrt(self.spread**2 + sum(loading * loading for loading in loadings))
        nearest = self.shelf.nearest(drivers.kind, amount)
        note = "" if self.n_past else "No past panel has this stage on record: first rates only."
        return StageHours(mean_log, scale, self.df, self.stage, self.n_past, nearest, note, loadings)

    def per_unit(self, drivers: Drivers) -> HoursRange:
        """Return the rate for work like this, hours per unit of the driver, and how well it is known."""
        bearing = self.design.bearing(drivers.kind)
        return HoursRange(self._mean_log(bearing), math.hypot(*self._loadings(bearing)), self.df)

    def middle_per_unit(self, drivers: Drivers) -> float:
        """Return the middle of that rate, hours per unit of the driver."""
        return math.exp(self._mean_log(self.design.bearing(drivers.kind)))

    def second_hand_factor(self) -> HoursRange:
        """Return what the second hand takes against the first (unit learning curve), as a range of the factor."""
        place = self.design.places[SECOND_HAND]
        return HoursRange(self.mean[place], self.spread * math.hypot(*self.roots[place]), self.df)

    def _mean_log(self, bearing: Sequence[tuple[int, float]]) -> float:
        return sum(self.mean[place] * by for place, by in bearing)

    def _loadings(self, bearing: Sequence[tuple[int, float]]) -> tuple[float, ...]:
        sums = [0.0] * len(self.mean)
        for place, by in bearing:
            sums = [so_far + part * by for so_far, part in zip(sums, self.roots[place], strict=True)]
        return tuple(self.spread * sum_ for sum_ in sums)


@dataclass(frozen=True, slots=True)
class Model:
    """All rates, and how far stages go over together.

    ``left_out`` names panels the owner left out, and why; ``unlike`` those the owner may want to look at; ``own`` is
    what past panels took at stages of the shop's own.
    """

    rates: dict[str, StageRate]
    correlation: float
    on: date
    half_life_days: float | None
    n_past: int
    left_out: tuple[tuple[str, str], ...]
    unlike: tuple[Unlike, ...] = ()
    own: Mapping[str, OwnRecord] = field(default_factory=dict)

    def own_stage(self, stage: str, said: tuple[float, float] | None) -> StageHours:
        """Return the hours of a stage of the shop's own; ``said`` is the range the owner gave it, P50 and P80."""
        if record := self.own.get(stage):
            return record.estimate(stage, said)
        return StageHours.by_owner(stage, *said) if said else StageHours.nobody_knows(stage)

    def estimate(
        self,
        drivers: Drivers,
        confidence: Confidence = USUAL_CONFIDENCE,
        own_stages: Sequence[StageHours] = (),
    ) -> PanelHours:
        """Return the hours of a panel; ``own_stages`` are those of the shop's own it goes through (:meth:`own_stage`)."""
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
    axes = [_shares_of_scale(panel) for panel in panels]
    count = range(len(panels))
    shared = {(i, j): _dot(axes[i], axes[j]) for i in count for j in range(i)}
    correlations = tuple(tuple(shared.get((max(i, j), min(i, j)), 1.0) for j in count) for i in count)
    return total([panel.total for panel in panels], correlations)


def _shares_of_scale(panel: PanelHours) -> dict[str, list[float]]:
    """Return by stage a panel total's loadings on what is not known of the rates, as shares of its scale.

    A stage bears on the total's logarithm by its share of the hours. The shares' squares add up to less than 1;
    the rest is the panel's own.
    """
    whole = sum(stage.p50 for stage in panel.stages.values())
    if not whole or not panel.total.scale:
        return {}
    shares = {
        name: [loading * stage.p50 / whole / panel.total.scale for loading in stage.loadings]
        for name, stage in panel.stages.items()
    }
    length = math.sqrt(_dot(shares, shares))
    if length < GREATEST_SHARE:
        return shares
    return {name: [share * GREATEST_SHARE / length for share in axes] for name, axes in shares.items()}


def _dot(first: dict[str, list[float]], second: dict[str, list[float]]) -> float:
    return math.fsum(
        a * b
        for stage in first.keys() & second.keys()
        for a, b in zip(first[stage], second[stage], strict=False)
    )
