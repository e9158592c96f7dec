"""Stages of the shop's own, such as trimming: nothing of the shape stands behind their hours, so the hours are learned.

    log(hours) = middle + spread · ε

with the regression of the other stages and one coefficient. The range the owner gave, where there is one, is the prior
and counts as :data:`WORD_WORTH` past panels; without it the past panels speak alone, about a spread of
:data:`FIRST_SPREAD` that counts as as many. Metal, method and hand are not asked after: such stages are few and small.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from estimates.hours import student
from estimates.hours.panels import PastPanel
from estimates.hours.ranges import StageHours
from estimates.hours.regression import Belief

WORD_WORTH: Final = 3.0
"""Past panels that the owner's range counts for once there are some; assumed."""
FIRST_SPREAD: Final = 0.25
"""Log standard deviation where the owner has given no range; assumed, as for the stages with a driver."""
LEAST_SPREAD: Final = 0.1
"""The owner's range says at least this: hours given without a range are not known to the minute; assumed."""


@dataclass(frozen=True, slots=True)
class OwnRecord:
    """What past panels took at one stage: how many, their weight, mean log hours and squares about that mean."""

    count: int
    weight: float
    mean_log: float
    within: float

    @classmethod
    def of(cls, hours: Sequence[float], weights: Sequence[float]) -> OwnRecord:
        """Return the record of at least one panel; weights count against the heaviest of them."""
        most = max(weights)
        shares = [weight / most for weight in weights]
        logs = [math.log(each) for each in hours]
        whole = math.fsum(shares)
        mean = math.fsum(share * log for share, log in zip(shares, logs, strict=True)) / whole
        within = math.fsum(share * (log - mean) ** 2 for share, log in zip(shares, logs, strict=True))
        return cls(len(logs), whole, mean, within)

    def estimate(self, stage: str, said: tuple[float, float] | None) -> StageHours:
        """Return the hours of the stage for a panel to come; ``said`` is the owner's range, P50 and P80."""
        import numpy as np

        belief = _first(said).learn(
            np.ones((1, 1)), np.array([self.mean_log]), np.array([self.weight]), self.within
        )
        middle, scale, df = belief.predict(np.ones(1))
        unsure = belief.spread * float(belief.covariance_root()[0, 0])
        return StageHours(middle, scale, df, stage, self.count, loadings=(unsure,))


def _first(said: tuple[float, float] | None) -> Belief:
    """Return the owner's word as a belief whose prediction is that range, or one that knows the spread alone."""
    import numpy as np

    if said is None:
        # A flat middle takes one degree of freedom, as in ``Belief.flat``.
        return Belief(np.zeros(1), np.zeros((0, 1)), WORD_WORTH - 1, (WORD_WORTH - 1) * FIRST_SPREAD**2)
    low, high = said
    scale = math.log(high / low) / student.quantile(0.8, WORD_WORTH)
    spread = max(scale / math.sqrt(1 + 1 / WORD_WORTH), LEAST_SPREAD)
    root = np.array([[math.sqrt(WORD_WORTH)]])
    return Belief(np.array([math.log(low)]), root, WORD_WORTH, WORD_WORTH * spread**2)


def own_records(used: Iterable[PastPanel], weights: Iterable[float]) -> dict[str, OwnRecord]:
    """Return by its slug the record of every stage of the shop's own that past panels have hours of."""
    found: dict[str, tuple[list[float], list[float]]] = {}
    for panel, weight in zip(used, weights, strict=True):
        for slug, hours in panel.own_hours:
            each = found.setdefault(slug, ([], []))
            each[0].append(hours)
            each[1].append(float(weight))
    return {slug: OwnRecord.of(*each) for slug, each in found.items()}
