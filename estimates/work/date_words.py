"""What is said of a date: how likely it is kept, and what would be kept.

The chance and the days come out of one simulation, and their words must not quarrel: a day that is kept four times in
five is said to be kept 8 times in 10 and no less, and the day before it less than that. So a chance is rounded down.
"""

from datetime import date
from math import floor

from estimates.work.dates import Expected
from shop.figures import day


def in_ten(chance: float | None) -> str:
    """A chance as people say it, never better than it is: 3 in 10.

    >>> in_ten(0.39), in_ten(0.8), in_ten(0.7995), in_ten(0.01), in_ten(0.99), in_ten(None)
    ('3 in 10', '8 in 10', '7 in 10', 'less than 1 in 20', 'at least 19 in 20', 'no chance can be named')
    """
    if chance is None:
        return "no chance can be named"
    if chance < 0.05:
        return "less than 1 in 20"
    if chance >= 0.95:
        return "at least 19 in 20"
    tenths = floor(round(chance * 10, 6))  # 0.7 × 10 must be 7, whatever binary fractions make of it
    return f"{tenths} in 10" if tenths else "less than 1 in 10"


def so_often(share: float) -> str:
    """How often a promise at a share is kept: four times in five, 9 times in 10, 85 times in 100.

    >>> so_often(0.5), so_often(0.8), so_often(0.9), so_often(0.85)
    ('every other time', 'four times in five', '9 times in 10', '85 times in 100')
    """
    hundredths = round(share * 100)
    usual = {50: "every other time", 80: "four times in five"}
    if hundredths in usual:
        return usual[hundredths]
    return f"{hundredths // 10} times in 10" if hundredths % 10 == 0 else f"{hundredths} times in 100"


def less_likely(share: float) -> str:
    """What is wrong with a promise at risk.

    >>> less_likely(0.8)
    'less likely than the 80 % the shop promises at'
    """
    return f"less likely than the {round(share * 100)} % the shop promises at"


def would_be_kept(on: date | None, share: float, today: date) -> str:
    """The day to promise instead, in a sentence; nothing where there is none."""
    return f"{day(on, today)} would be kept {so_often(share)}." if on else ""


def waits_for_metal(on: date, today: date, *, is_ordered: bool) -> str:
    """What a job waits for, in a sentence."""
    if is_ordered:
        return f"It waits for a sheet that is expected on {day(on, today)}; its dates count that."
    return f"It waits for a sheet that is not ordered yet; its dates count on one by {day(on, today)}."


def chance_words(one: Expected, today: date) -> str:
    """How likely the date that counts is kept, and where it is at risk what is wrong with it and what would be kept."""
    if one.chance is None:
        return ""
    said = f"{in_ten(one.chance)} that {day(one.job.deadline, today)} is kept"
    if not one.at_risk:
        return f"{said}{'' if one.job.promised_on else ', which is wanted and not promised'}."
    instead = would_be_kept(one.safe, one.confidence, today)
    return f"{said}, {less_likely(one.confidence)}. {instead}".rstrip()


def wait_words(one: Expected, today: date) -> str:
    """What a job waits for before it can go on; nothing where its metal is there."""
    return waits_for_metal(one.wait.on, today, is_ordered=one.wait.is_ordered) if one.wait else ""
