"""Past panels unlike all others: a slip of the pen, or a panel that fell off the bench.

They are named, never dropped: leaving one out is the owner's decision. What the others say of a panel is had from the
finished regression without learning anything again, by the deletion formulas for least squares:

    rest's expectation = y − r / (1 − h),    rest's sum of squares = S − r² / (1 − h)

with residual r and leverage h; prior and other panels are the rest.

A panel that has not joined the past yet is held against what was predicted for it instead (:func:`surprises`). There
nothing is learned yet and an answer costs a word, so the owner is asked much sooner.

References
----------
R. D. Cook, S. Weisberg, Residuals and Influence in Regression (1982), section 2.2 (from memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from estimates.hours.panels import STAGES, PastPanel
from estimates.hours.ranges import HoursRange
from estimates.hours.regression import Belief

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

FAR: Final = 6.0
"""Scales of the log from what the rest expects; assumed. By chance alone hardly any shop would ever see it."""
CENTRAL: Final = 0.98
"""Share of stages that lie within what is called expected; assumed. By chance alone one stage in fifty does not."""


@dataclass(frozen=True, slots=True)
class Unlike:
    """A stage of a past panel that took hours nobody would have expected from all the others."""

    panel: str
    stage: str
    hours: float
    expected_hours: float

    def __str__(self) -> str:
        return (
            f"{self.panel}: {self.stage} took {self.hours:g} h where the other panels say "
            f"{self.expected_hours:.2g} h; leave it out if something went wrong."
        )


def far_off(
    belief: Belief, rows: Array, row_of: NDArray[np.intp], values: Array, weights: Array
) -> list[tuple[int, float]]:
    """Return which observations lie ``FAR`` from what the rest expects, and the log they lie above it by.

    ``belief`` has learned all of them; ``row_of`` says which row each was made at.
    """
    import numpy as np

    leverage = weights * ((rows @ belief.covariance_root()) ** 2).sum(axis=1)[row_of]
    residual = values - (rows @ belief.mean)[row_of]
    above_rest = residual / (1 - leverage)
    rest = np.maximum(belief.sum_sq - weights * residual * above_rest, 1e-12) / (belief.df - weights)
    scales = above_rest / np.sqrt(rest / (1 - leverage))
    return [(int(i), float(above_rest[i])) for i in np.flatnonzero(abs(scales) > FAR)]


@dataclass(frozen=True, slots=True)
class Surprise:
    """A stage whose hours lie outside the central ``CENTRAL`` of what was predicted, ``low`` to ``high`` hours."""

    stage: str
    hours: float
    low: float
    high: float


def surprises(predicted: Mapping[str, HoursRange], panel: PastPanel) -> list[Surprise]:
    """Return the stages of a finished panel whose hours lie far outside what was predicted for them.

    ``predicted`` must not have seen the panel. A stage that would teach nothing (no hours, or next to nothing to do)
    is not among them, however long it took, and neither is one of the shop's own that nothing was predicted for.
    """
    taken = [(stage, panel.hours(stage)) for stage in STAGES if panel.hours_per_unit(stage) is not None]
    taken += [
        (slug, spent) for slug, spent in panel.own_hours if slug in predicted and not predicted[slug].is_zero
    ]
    found = []
    for stage, hours in taken:
        if hours is None:
            continue
        low, high = predicted[stage].at(((1 - CENTRAL) / 2, (1 + CENTRAL) / 2))
        if not low <= hours <= high:
            found.append(Surprise(stage, hours, low, high))
    return found
