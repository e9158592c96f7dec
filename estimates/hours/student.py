"""Student's t distribution, without a statistics library in the running shop.

The distribution function is a regularised incomplete beta function,

    P(T > t) = I_x(df/2, 1/2) / 2,    x = df / (df + t²),    t >= 0,

taken from its continued fraction, evaluated by the modified Lentz method.

References
----------
NIST Digital Library of Mathematical Functions, 8.17.22 (continued fraction) and 8.17.4 (reflection).
W. J. Lentz, Applied Optics 15 (1976) 668, with the modification of Thompson and Barnett (1986).
"""

from __future__ import annotations

import math
from functools import lru_cache
from statistics import NormalDist
from typing import Final

_NORMAL = NormalDist()
_TINY: Final = 1e-300
_ENOUGH: Final = 1e-16
_SMALLEST_TAIL: Final = 1e-100
# Beyond this many degrees of freedom t and normal agree to about 1e-9, and the fraction would need many terms.
_AS_GOOD_AS_NORMAL: Final = 1e9


def upper_tail(t: float, df: float) -> float:
    """Return the probability that Student's t with ``df`` degrees of freedom lies above ``t``.

    Keeps its relative accuracy far out in the upper tail. ``df`` may be infinite (the normal distribution).

    >>> round(upper_tail(2.086, 20), 4)
    0.025
    """
    _refuse_bad_df(df)
    if t < 0:
        return 1 - upper_tail(-t, df)
    if df > _AS_GOOD_AS_NORMAL:
        return 0.5 * math.erfc(t / math.sqrt(2))
    return 0.5 * _incomplete_beta(t, df)


@lru_cache(maxsize=4096)
def quantile(p: float, df: float) -> float:
    """Return the value that Student's t with ``df`` degrees of freedom stays below with probability ``p``.

    >>> round(quantile(0.975, 10), 6)
    2.228139

    Raises
    ------
    ValueError
        Unless ``df > 0`` and ``p`` lies between 0 and 1, the nearer of them no closer than 1e-105.
    """
    _refuse_bad_df(df)
    if not 0 < p < 1:
        raise ValueError(f"A probability lies between 0 and 1, and {p} does not.")
    if p > 0.5:
        # The tail below is the one asked for; 1 - p is exact there (Sterbenz).
        return upper_quantile(1 - p, df)
    return -upper_quantile(p, df)


def upper_quantile(tail: float, df: float) -> float:
    """Return the value that t lies above with probability ``tail``, from 1e-105 to one half.

    Starts from Wallace's approximation (D. L. Wallace, Annals of Mathematical Statistics 30 (1959) 1124; from
    memory), then Newton's method on the logarithms of both, where a heavy tail is straight.

    Raises
    ------
    ValueError
        For a tail outside that range.
    """
    if not 1e-5 * _SMALLEST_TAIL <= tail <= 0.5:
        raise ValueError(f"A tail lies between 1e-105 and 0.5, and {tail} does not.")
    if tail == 0.5:
        return 0.0
    if df > _AS_GOOD_AS_NORMAL:
        return -_NORMAL.inv_cdf(tail)
    z = -_NORMAL.inv_cdf(tail) * (8 * df + 3) / (8 * df + 1)
    t = math.sqrt(df * math.expm1(min(z * z / df, 600.0)))
    for _ in range(30):
        above = upper_tail(t, df)
        step = above * math.log(above / tail) / (t * _density(t, df))
        t *= math.exp(max(-200.0, min(step, 200.0)))
        if abs(step) <= 1e-8:  # the next step would be its square
            break
    return t


def beyond(cut: float, share: float, df: float) -> float:
    """Return the value that t, known to lie above ``cut``, exceeds with probability ``share``.

    Where the tail is too small for a float, its leading power takes over: ``P(T > t)`` falls as
    ``(df + t²)^(−df/2)``, or as ``exp(−t²/2)`` for the normal.
    """
    tail = upper_tail(cut, df)
    if tail > _SMALLEST_TAIL:
        return max(
            cut, -quantile(tail * share, df) if tail * share > 0.5 else upper_quantile(tail * share, df)
        )
    if df > _AS_GOOD_AS_NORMAL:
        return math.sqrt(cut * cut - 2 * math.log(share))
    return math.sqrt(cut * cut + (df + cut * cut) * math.expm1(-2 * math.log(share) / df))


def _refuse_bad_df(df: float) -> None:
    if not df > 0:
        raise ValueError(f"Degrees of freedom are more than 0, and {df} is not.")


def _density(t: float, df: float) -> float:
    log_norm = math.lgamma((df + 1) / 2) - math.lgamma(df / 2) - 0.5 * math.log(df * math.pi)
    return math.exp(log_norm - (df + 1) / 2 * math.log1p(t * t / df))


def _incomplete_beta(t: float, df: float) -> float:
    """Return I_x(df/2, 1/2) at x = df / (df + t²), from whichever end the fraction converges quickly."""
    a, b = df / 2, 0.5
    x, rest = df / (df + t * t), t * t / (df + t * t)
    if rest == 0:
        return 1.0
    log_front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    log_front += -a * math.log1p(t * t / df) + b * math.log(rest)
    if x < (a + 1) / (a + b + 2):
        return math.exp(log_front) * _beta_fraction(a, b, x) / a
    return 1 - math.exp(log_front) * _beta_fraction(b, a, rest) / b


def _beta_fraction(a: float, b: float, x: float) -> float:
    """Return the continued fraction of DLMF 8.17.22."""
    c, d = 1.0, 1 / _away_from_zero(1 - (a + b) * x / (a + 1))
    value = d
    for m in range(1, 1000):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1 / _away_from_zero(1 + term * d)
            c = _away_from_zero(1 + term / c)
            value *= c * d
        if abs(c * d - 1) < _ENOUGH:
            break
    return value


def _away_from_zero(number: float) -> float:
    return number if abs(number) > _TINY else _TINY
