"""Sums of hours that go over together.

The exponential of Student's t has no mean, so totals cannot be made by adding means and variances. They are made
by a seeded simulation: the same ``DRAWS`` draws for every sum, antithetic (each draw with its mirror image) and
rescaled to the exact correlation, so that the same parts give the same total, and a longer part never a shorter
total. The answer is the log-t range that passes through the simulated P50 and P80. Against
independent draws, from 8 degrees of freedom on, both stand within 1 %, P20 within 3 % and P95 within 5 %; on 3
degrees of freedom (first rates only) P80 stands within 2 % (tests/reference/test_hours_lognormal_sums.py).

All parts share one draw of how wrong the spread may be: a panel that surprises does so in all its stages. That is
assumed, and errs on the wide side.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from estimates.hours import student
from estimates.hours.ranges import HoursRange

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

DRAWS: Final = 8192
MOST_STAGES: Final = 12
"""Sums of more parts than this are jobs, not panels."""
_SEED: Final = 20_260_114

Correlations = tuple[tuple[float, ...], ...]


def alike(count: int, correlation: float) -> Correlations:
    """Return the correlations of ``count`` parts, each with each the same."""
    return tuple(tuple(1.0 if i == j else correlation for j in range(count)) for i in range(count))


def total(parts: Sequence[HoursRange], correlations: Correlations) -> HoursRange:
    """Return the range of the sum of ``parts``, whose logarithms are correlated as given.

    Parts of no hours add nothing. A single part comes back unchanged.

    >>> ten = HoursRange.between(10, 12)
    >>> both = total([ten, ten], alike(2, 0.0))
    >>> 19.9 < both.p50 < 20.3, both.p80 < 24
    (True, True)
    """
    import numpy as np

    busy = [i for i, part in enumerate(parts) if not part.is_zero]
    if not busy:
        return HoursRange.none()
    if len(busy) == 1:
        part = parts[busy[0]]
        return HoursRange(part.mean_log, part.scale, part.df)
    kept = tuple(tuple(correlations[i][j] for j in busy) for i in busy)
    at_work = [parts[i] for i in busy]
    draws = _draws(kept, tuple(round(part.df, 2) for part in at_work))
    middle = np.array([[part.mean_log] for part in at_work])
    scale = np.array([[part.scale] for part in at_work])
    longest = float(middle.max())
    # In place: fresh memory for every step of a sum this small costs more than the sum.
    hours = draws * scale
    hours += middle - longest
    # A hundred such parts still add up to a float; only the last draws of an absurd scale come near.
    np.minimum(hours, 700.0, out=hours)
    np.exp(hours, out=hours)
    p50, p80 = _quantiles(hours.sum(axis=0), (0.5, 0.8))
    df = _shared_df(at_work, longest)
    return HoursRange(longest + math.log(p50), math.log(p80 / p50) / student.quantile(0.8, df), df)


def _quantiles(sums: Array, shares: Sequence[float]) -> list[float]:
    """Return sample quantiles, between neighbours by the line through them."""
    import numpy as np

    places = [share * (len(sums) - 1) for share in shares]
    below = [math.floor(place) for place in places]
    ordered = np.partition(sums, sorted({*below, *(i + 1 for i in below)}))
    return [
        float(ordered[i] + (place - i) * (ordered[i + 1] - ordered[i]))
        for i, place in zip(below, places, strict=True)
    ]


def _shared_df(parts: Sequence[HoursRange], longest: float) -> float:
    """Return the degrees of freedom of the whole: those of the parts, each by its share of the spread."""
    weights = [(math.exp(part.mean_log - longest) * part.scale) ** 2 for part in parts]
    if not sum(weights):
        return min(part.df for part in parts)
    inverse = sum(weight / part.df for weight, part in zip(weights, parts, strict=True))
    return sum(weights) / inverse if inverse else math.inf


def _draws(correlations: Correlations, dfs: tuple[float, ...]) -> Array:
    """Return the draws, kept for the next panel of the same model; those of a whole job are large and its own."""
    return _kept_draws(correlations, dfs) if len(dfs) <= MOST_STAGES else _student_draws(correlations, dfs)


def _student_draws(correlations: Correlations, dfs: tuple[float, ...]) -> Array:
    """Return ``DRAWS`` draws of correlated Student's t, one row for each part."""
    import numpy as np

    root = np.linalg.cholesky(np.array(correlations) + 1e-9 * np.eye(len(dfs)))
    # Small enough that handing it to the threads of a linear algebra library costs more than it saves.
    normals: Array = np.einsum("ij,jd->id", root, _normal_draws(len(dfs)))
    draws: Array = normals * np.array([_surprise(df) for df in dfs])
    return draws


_kept_draws = lru_cache(maxsize=64)(_student_draws)


@lru_cache(maxsize=8)
def _normal_draws(parts: int) -> Array:
    """Return independent standard normals whose sample mean is exactly 0 and covariance exactly 1."""
    import numpy as np

    half = np.random.default_rng(_SEED).standard_normal((parts, DRAWS // 2))
    draws = np.concatenate([half, -half], axis=1)
    exact: Array = np.linalg.inv(np.linalg.cholesky(draws @ draws.T / DRAWS)) @ draws
    return exact


@lru_cache(maxsize=256)
def _surprise(df: float) -> Array:
    """Return the factor that turns a normal into Student's t, large in the same draws whatever ``df`` is."""
    import numpy as np

    if math.isinf(df):
        return np.ones(DRAWS)
    chance = np.random.default_rng(_SEED + 1)
    half = np.sort(np.sqrt(0.5 * df / chance.standard_gamma(0.5 * df, DRAWS // 2)))
    half = half[np.random.default_rng(_SEED + 2).permutation(DRAWS // 2)]
    return np.concatenate([half, half])
