"""Past panels unlike all others: a slip of the pen, or a panel that fell off the bench.

They are named, never dropped: leaving one out is the owner's decision. What the others say of a panel is had from the
finished regression without learning anything again, by the deletion formulas for least squares:

    rest's expectation = y − r / (1 − h),    rest's sum of squares = S − r² / (1 − h)

with residual r and leverage h; prior and other panels are the rest.

References
----------
R. D. Cook, S. Weisberg, Residuals and Influence in Regression (1982), section 2.2 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from estimates.hours.regression import Belief

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

FAR: Final = 6.0
"""Scales of the log from what the rest expects; assumed. By chance alone hardly any shop would ever see it."""


@dataclass(frozen=True, slots=True)
class Unlike:
    """A stage of a past panel that took hours nobody would have expected from all the others."""

    panel: str
    stage: str
    hours: float
    expected_hours: float


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
