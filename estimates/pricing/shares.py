"""Sharing a whole out so that the parts add up to it again."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

HOUR_STEP = Decimal("0.01")


def share_out(total: Decimal, weights: Sequence[Decimal], step: Decimal) -> tuple[Decimal, ...]:
    """Share a total out in proportion to weights, in whole steps that add up to it.

    Parameters
    ----------
    total
        A whole number of steps, nought or more.
    weights
        Nought or more; where all are nought, everybody gets the same.
    step
        The smallest part, such as 0.01.

    The steps that rounding down leaves over go to the largest remainders, first come first served.

    >>> [str(part) for part in share_out(Decimal("1.00"), [Decimal(1)] * 3, Decimal("0.01"))]
    ['0.34', '0.33', '0.33']
    """
    steps = total / step
    if total < 0 or steps != steps.to_integral_value() or any(weight < 0 for weight in weights):
        raise ValueError("Only a whole number of steps can be shared out, by weights of nought or more.")
    if not weights:
        raise ValueError("There is nobody to share with.")
    fair = [Fraction(weight) for weight in weights] if any(weights) else [Fraction(1)] * len(weights)
    each = Fraction(steps) / sum(fair)
    exact = [each * weight for weight in fair]
    whole = [part.numerator // part.denominator for part in exact]
    left_over = int(steps) - sum(whole)
    for index in sorted(range(len(exact)), key=lambda i: whole[i] - exact[i])[:left_over]:
        whole[index] += 1
    return tuple(part * step for part in whole)


def as_hours(hours: float) -> Decimal:
    """Return reckoned hours as a Decimal to 0.01 h: where the hours model's floats become money's Decimals.

    Raises ``ValueError`` where they are negative or not finite.

    >>> as_hours(12.345678)
    Decimal('12.35')
    """
    exact = Decimal(repr(float(hours)))
    if not exact.is_finite() or exact < 0:
        raise ValueError(f"{hours} is no number of hours.")
    return exact.quantize(HOUR_STEP, ROUND_HALF_UP)


def share_hours(total_hours: Decimal, stage_hours: Sequence[Decimal]) -> tuple[Decimal, ...]:
    """Share a job's hours at one confidence over its stages, in proportion to the stages' own hours at it.

    The P80 of a job is less than the sum of its stages' P80, because not everything goes wrong at once. A price
    needs lines that add up, so each stage gets its share of the job's figure, to 0.01 h. Our own rule.

    >>> [str(h) for h in share_hours(Decimal("18"), [Decimal("12"), Decimal("8")])]
    ['10.80', '7.20']
    """
    return share_out(total_hours.quantize(HOUR_STEP, ROUND_HALF_UP), stage_hours, HOUR_STEP)
