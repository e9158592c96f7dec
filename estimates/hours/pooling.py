"""What the hammer stages tell each other.

A metal that is slow to gather is, as a rule, slow to blend and to smooth; a hand that was quicker at one stage was
quicker at the others. So a hammer stage does not start from the first rates alone, but from what the *other*
hammer stages have learned about metal, method and second hand:

    coefficient of stage k = first rates' + c + d_k,    c shared by the hammer stages, d_k peculiar to the stage

``c`` is learned from the other stages' panels (never the stage's own, which it is about to learn from), and the
stage's prior is widened by ``d``: the share of a factor's spread that is peculiar to a stage, assumed.
Layout is marking and cutting and keeps to itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from estimates.hours.regression import Belief

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from estimates.hours.design import Design

    Array = NDArray[np.float64]

HAMMER_STAGES: Final = ("gathering", "blending", "smoothing")
PECULIAR_SHARE: Final = 0.25
"""Share of a factor's prior variance that is peculiar to one stage; assumed."""


@dataclass(frozen=True, slots=True, eq=False)
class Lesson:
    """What one stage's past panels have to teach: one row for each kind of work met.

    ``values`` are the kinds' mean log hours per unit of the driver, ``weights`` their panels' weights together,
    ``within`` the sum of squares about those means.
    """

    design: Design
    first: Belief
    rows: Array
    values: Array
    weights: Array
    within: float


def prior(stage: str, lessons: Mapping[str, Lesson]) -> Belief:
    """Return the belief a stage starts from: its first rates, and what the other hammer stages have learned."""
    own = lessons[stage]
    others = [lessons[name] for name in HAMMER_STAGES if name != stage and len(lessons[name].values)]
    if stage not in HAMMER_STAGES or not others:
        return own.first
    return _taught(own, _learn_together(own, others), len(others))


def _learn_together(own: Lesson, others: Sequence[Lesson]) -> Belief:
    """Return the belief about ``c`` (in the own stage's order of shared coefficients), then the stages' own rest."""
    import numpy as np

    shared = own.design.shared
    width = len(shared) + sum(len(other.design.apart) for other in others)
    rows, sds, start = [], _prior_sd(own, shared) * np.sqrt(1 - PECULIAR_SHARE), len(shared)
    for other in others:
        block = np.zeros((len(other.values), width))
        block[:, : len(shared)] = other.rows[:, other.design.shared]
        block[:, start : start + len(other.design.apart)] = other.rows[:, other.design.apart]
        sds = np.concatenate([sds, _prior_sd(other, other.design.apart)])
        start += len(other.design.apart)
        rows.append(block)
    values = np.concatenate([other.values - other.rows @ other.first.mean for other in others])
    weights = np.concatenate([other.weights for other in others])
    first = Belief.independent([0.0] * width, sds.tolist(), own.first.df, own.first.spread)
    return first.learn(np.vstack(rows), values, weights, sum(other.within for other in others))


def _taught(own: Lesson, together: Belief, teachers: int) -> Belief:
    """Return the own first belief, with the shared coefficients moved and narrowed to what others know."""
    import numpy as np

    shared = own.design.shared
    known = together.covariance_root()[: len(shared)]
    variances = _prior_sd(own, range(len(own.first.mean))) ** 2
    covariance = np.diag(variances)
    peculiar = PECULIAR_SHARE * variances[shared] * (1 + 1 / teachers)
    covariance[np.ix_(shared, shared)] = together.spread**2 * known @ known.T + np.diag(peculiar)
    mean = own.first.mean.copy()
    mean[shared] += together.mean[: len(shared)]
    return Belief.correlated(mean, covariance, own.first.df, own.first.spread)


def _prior_sd(lesson: Lesson, places: Sequence[int] | range) -> Array:
    import numpy as np

    return lesson.first.spread / np.diagonal(lesson.first.root)[list(places)]
