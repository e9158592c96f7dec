"""Linear regression with a conjugate prior: the arithmetic of learning, and nothing about panels.

    y = X β + σ ε,    β | σ² ~ N(m, σ² (RᵀR)⁻¹),    σ² ~ scaled inverse χ²(df, sum_sq / df)

A belief is (m, R, df, sum_sq). Learning rows stacks them under R and factors the stack by Householder QR, so
that neither the normal equations nor a difference of large squares is ever formed:

    [R; √w X] δ ≈ [0; √w (y − X m)],    m' = m + δ,    R'ᵀR' = RᵀR + Xᵀ w X,
    df' = df + Σ w,    sum_sq' = sum_sq + |remainder|²

What is learned is a belief again, so panels may be learned one by one or all at once.

References
----------
A. Gelman et al., Bayesian Data Analysis, chapter 14 (conjugate regression; from memory).
A. Björck, Numerical Methods for Least Squares Problems (QR with refinement; from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Belief:
    """What is believed of the coefficients and of the spread about them.

    ``root`` is the root of the coefficients' precision in units of the residual variance. ``df`` counts how
    many observations the spread rests on; ``sum_sq`` is ``df`` times its square.
    """

    mean: Array
    root: Array
    df: float
    sum_sq: float

    @classmethod
    def independent(cls, mean: Sequence[float], sd: Sequence[float], df: float, spread: float) -> Belief:
        """Return a prior of independent coefficients with these means and standard deviations."""
        import numpy as np

        return cls(np.array(mean, float), np.diag(spread / np.array(sd, float)), df, df * spread**2)

    @classmethod
    def correlated(cls, mean: Array, covariance: Array, df: float, spread: float) -> Belief:
        """Return a prior of coefficients with this mean and this covariance."""
        import numpy as np

        root = np.linalg.cholesky(np.linalg.inv(covariance)).T * spread
        return cls(mean, root.astype(np.float64), df, df * spread**2)

    @classmethod
    def flat(cls, coefficients: int) -> Belief:
        """Return the prior ``p(β, σ²) ∝ 1/σ²``, under which learning is ordinary least squares.

        A normal prior of vanishing precision brings σ⁻ᵏ with it; taking that back is what makes ``df`` −k here,
        so that n rows leave n − k degrees of freedom.
        """
        import numpy as np

        return cls(np.zeros(coefficients), np.zeros((0, coefficients)), -float(coefficients), 0.0)

    @property
    def spread(self) -> float:
        """Scale of the residuals; after :meth:`flat`, the residual standard deviation."""
        return math.sqrt(self.sum_sq / self.df)

    def learn(self, rows: Array, values: Array, weights: Array | None = None, within: float = 0.0) -> Belief:
        """Return the belief after seeing ``values`` at ``rows``.

        A weight of ½ counts as half an observation. A row may stand for several observations: give their mean as
        its value, the sum of their weights as its weight, and add their squares about that mean to ``within``.

        Raises
        ------
        ValueError
            If rows and prior together leave a coefficient undetermined.
        """
        import numpy as np

        weights = np.ones(len(values)) if weights is None else weights
        by = np.sqrt(weights)
        stack = np.vstack([self.root, rows * by[:, None]])
        target = np.concatenate([np.zeros(len(self.root)), (values - rows @ self.mean) * by])
        shift, root, remainder = _least_squares(stack, target)
        return Belief(
            self.mean + shift, root, self.df + float(weights.sum()), self.sum_sq + remainder + within
        )

    def covariance_root(self) -> Array:
        """Return C with ``C Cᵀ = (RᵀR)⁻¹``: the coefficients' covariance is ``spread² C Cᵀ``."""
        import numpy as np

        inverse: Array = np.linalg.inv(self.root).astype(np.float64)
        return inverse

    def predict(self, row: Array) -> tuple[float, float, float]:
        """Return centre, scale and degrees of freedom of Student's t for a new observation at ``row``."""
        leverage = row @ self.covariance_root()
        scale = self.spread * math.sqrt(1 + float(leverage @ leverage))
        return float(row @ self.mean), scale, self.df


def _least_squares(rows: Array, target: Array) -> tuple[Array, Array, float]:
    """Return solution, triangular factor and remaining sum of squares, columns scaled and refined once."""
    import numpy as np

    sizes = np.linalg.norm(rows, axis=0)
    if len(rows) < rows.shape[1] or not sizes.all():
        raise ValueError("These rows leave a coefficient undetermined.")
    q, triangle = np.linalg.qr(rows / sizes)
    if abs(triangle.diagonal()).min() < 1e-13:
        raise ValueError("These rows leave a coefficient undetermined.")
    solution = np.linalg.solve(triangle, q.T @ target)
    remainder = target - (rows / sizes) @ solution
    solution = solution + np.linalg.solve(triangle, q.T @ remainder)
    remainder = target - (rows / sizes) @ solution
    return solution / sizes, triangle * sizes, float(remainder @ remainder)
