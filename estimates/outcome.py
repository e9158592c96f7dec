"""How work came out against what was said of it, in words: on the closing page, past panels and a job's estimate.

A percentage says how far off something was while that is not far: from twice on, a factor is said instead (8 times,
never 700 %). Against next to nothing a factor says nothing either, and the words are that next to nothing was said.
No figure is cut off.
"""

from dataclasses import dataclass
from decimal import Decimal

from estimates.hours import Move, Score
from shop.figures import LEAST_HOURS, figure, hours

LEAST_RATE = 0.0005  # hours a unit; less is read as 0.000
TWICE = 2.0
SAME = 0.005

Hours = float | Decimal


@dataclass(frozen=True, slots=True)
class Outcome:
    """How hours lie against their range. ``is_over`` where they are past its high end."""

    words: str
    is_over: bool = False


def came_out(taken: Hours, low: Hours, high: Hours) -> Outcome:
    """Say how the hours that work took lie against the range it was estimated at.

    >>> came_out(5, 4, 6).words, came_out(6.5, 4, 6).words, came_out(48, 4, 6).words
    ('inside the range', '0.5 h over', '42 h over, 8 times its high end')
    >>> came_out(3, 4, 6).words, came_out(0.5, 4, 6).words
    ('under the middle', 'under the middle, which was 8 times as long')
    >>> came_out(0, 4, 6).words, came_out(2, 0, 0).words, came_out(2, 0.01, 0.02).words
    ('no hours written down', 'nothing was estimated', 'next to nothing was estimated')
    """
    spent, first, last = float(taken), float(low), float(high)
    if not spent:
        return Outcome("no hours written down")
    if not last:
        return Outcome("nothing was estimated")
    if last < LEAST_HOURS:
        return Outcome("next to nothing was estimated")
    over = round(spent - last, 6)
    if over >= LEAST_HOURS:
        far = f", {times(spent / last)} its high end" if spent / last >= TWICE else ""
        return Outcome(f"{hours(over)} h over{far}", is_over=True)
    if spent >= first:
        return Outcome("inside the range")
    if spent < LEAST_HOURS:
        return Outcome("next to no hours written down")
    far = f", which was {times(first / spent)} as long" if first / spent >= TWICE else ""
    return Outcome(f"under the middle{far}")


def ends_at(middle: Hours, low: Hours, high: Hours) -> str:
    """Say where the middle of what a job will have taken lies in the range it was estimated at.

    >>> ends_at(20, 18, 22), ends_at(25, 18, 22)
    ('its middle is inside the range estimated', 'its middle is 3 h past the range estimated')
    >>> ends_at(176, 18, 22), ends_at(7, 0, 0)
    ('its middle is 154 h past the range estimated, 8 times its high end', 'nothing was estimated')
    """
    end, first, last = float(middle), float(low), float(high)
    if last < LEAST_HOURS:
        return "next to nothing was estimated" if last else "nothing was estimated"
    if end - last >= LEAST_HOURS:
        far = f", {times(end / last)} its high end" if end / last >= TWICE else ""
        return f"its middle is {hours(end - last)} h past the range estimated{far}"
    if first - end >= LEAST_HOURS:
        return f"its middle is {hours(first - end)} h under the range estimated"
    return "its middle is inside the range estimated"


def rate_moved(move: Move) -> str:
    """Say how a panel moved a rate: 6 % slower, 8 times as long.

    Where the rate was next to nothing before, that is said.
    """
    before, after = max(move.before, 0.0), max(move.after, 0.0)
    if before < LEAST_RATE:
        return "next to nothing, as before" if after < LEAST_RATE else "from next to nothing"
    ratio = after / before
    if abs(ratio - 1) < SAME:
        return "as before"
    if ratio >= TWICE:
        return f"{times(ratio)} as long"
    if after < LEAST_RATE:
        return "to next to nothing"
    if ratio <= 1 / TWICE:
        return f"{times(1 / ratio)} as quick"
    return f"{abs(move.change) * 100:.0f} % {'slower' if ratio > 1 else 'quicker'}"


def off_by(error: float) -> str:
    """Say how far a middle lay from what work took, from its error as a share of that: 12 %, a factor of 8.

    An error of one or more is always a middle that was too long.

    >>> off_by(0.12), off_by(7), off_by(1197.79)
    ('12 %', 'a factor of 8', 'a factor of 1\\u2009199')
    """
    if error >= TWICE - 1:
        return f"a factor of {times(1 + error).removesuffix(' times')}"
    return f"{error * 100:.0f} %"


def bias_words(score: Score) -> str:
    """Say whether work takes longer or shorter than the middle said.

    >>> bias_words(Score(20, 0.8, 0.8, 0.5, 0.2, 1.1))
    'Half the time work takes at least 10 % longer than the middle said.'
    >>> bias_words(Score(20, 0.8, 0.8, 0.5, 0.2, 8.0))
    'Half the time work takes at least 8 times what the middle said.'
    """
    bias = score.bias
    if bias >= TWICE:
        return f"Half the time work takes at least {times(bias)} what the middle said."
    if bias <= 1 / TWICE:
        return f"Half the time the middle said at least {times(1 / bias)} what work takes."
    change = round((bias - 1) * 100)
    if not change:
        return "The middle is where it should be."
    how = f"{change} % longer" if change > 0 else f"{-change} % less"
    return f"Half the time work takes at least {how} than the middle said."


def of_the_price(margin_share: float | Decimal) -> str:
    """Say what is left of a price, from the margin as a share of it; a loss as great as the price is a factor.

    >>> of_the_price(0.258), of_the_price(-0.086), of_the_price(-1196.79)
    ('25.8 % of the price stays.', 'A loss of 8.6 % of the price.', 'The job cost 1\\u2009198 times its price.')
    """
    share = float(margin_share)
    if share <= 1 - TWICE:
        return f"The job cost {times(1 - share)} its price."
    percent = f"{hours(abs(share) * 100)} % of the price"
    return f"A loss of {percent}." if share < 0 else f"{percent} stays."


def times(factor: float) -> str:
    """Write a factor: below ten to a tenth, from there whole.

    >>> times(2.46), times(8), times(1198.79)
    ('2.5 times', '8 times', '1\\u2009199 times')
    """
    return f"{figure(factor) if factor >= 9.95 else hours(factor)} times"
