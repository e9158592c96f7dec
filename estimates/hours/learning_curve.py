"""The learning curve: what the second of two like panels costs against the first.

This is the *unit* model: the n-th unit takes ``first · n^b`` with ``b = log2(rate)``, so at 80 % the second unit
takes 0.80 of the first. The cumulative-average model shares the formula and means something else by it (second
unit 0.60 at 80 %); it is not used here.

References
----------
T. P. Wright, Factors Affecting the Cost of Airplanes, J. Aeronautical Sciences 3 (1936) 122, for the power law;
the unit reading of it is commonly named after J. R. Crawford (from memory).
"""

from __future__ import annotations

import math


def exponent(rate: float) -> float:
    """Return ``b`` for a learning rate such as 0.8.

    >>> round(exponent(0.8), 6)
    -0.321928
    """
    if not 0 < rate < math.inf:
        raise ValueError(f"A learning rate is more than 0 (0.8 for 80 %), and {rate} is not.")
    return math.log2(rate)


def unit_factor(n: int, rate: float) -> float:
    """Return the hours of unit ``n`` (from 1) against those of the first.

    >>> round(unit_factor(3, 0.8), 4)
    0.7021
    """
    if n < 1:
        raise ValueError(f"Units are counted from 1, and {n} is before that.")
    return float(n ** exponent(rate))


def cumulative_factor(n: int, rate: float) -> float:
    """Return the hours of the first ``n`` units together against those of the first.

    >>> round(cumulative_factor(4, 0.8), 4)
    3.1421
    """
    return math.fsum(unit_factor(unit, rate) for unit in range(1, n + 1))


def doublings(n: int) -> float:
    """Return log2 of a unit's number: what the logarithm of the rate is multiplied by in a regression."""
    return math.log2(n)
