"""Hours, money, dates and counts as the shop writes them, the same on screen and on paper.

Thin spaces part thousands, en dashes join ranges, a unit follows its figure after a space. Lengths and angles
have their own module, :mod:`shop.lengths`.
"""

from __future__ import annotations

import datetime as dt
from decimal import ROUND_HALF_UP, Decimal

from shop.lengths import MINUS, THIN_SPACE

EN_DASH = "\u2013"
NO_BREAK = "\u00a0"
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "March", "April", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")

Number = int | float | Decimal


def figure(value: Number, decimals: int = 0) -> str:
    """Write a number with a fixed count of decimals, thin spaces between thousands and a true minus.

    >>> figure(2545), figure(-1057.25, 1)
    ('2\\u2009545', '\\u22121\\u2009057.3')
    """
    exact = value if isinstance(value, Decimal) else Decimal(repr(value))
    rounded = exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    sign = MINUS if rounded < 0 else ""
    return sign + f"{abs(rounded):,.{decimals}f}".replace(",", THIN_SPACE)


def hours(value: Number) -> str:
    """Write measured hours to a tenth, without the unit and without an empty decimal.

    >>> hours(14.3), hours(Decimal("40.0")), hours(0)
    ('14.3', '40', '0')
    """
    return figure(value, 1).removesuffix(".0")


def hours_between(low: Number, high: Number) -> str:
    """Write an estimate as a range to the half hour, below one hour to the tenth.

    Both ends the same once rounded are written once. Hours without a range are known, and written to the tenth.

    >>> hours_between(11.6, 15.4), hours_between(0.31, 0.52), hours_between(4.7, 4.7)
    ('11.5\\u201315.5\\xa0h', '0.3\\u20130.5\\xa0h', '4.7\\xa0h')
    """
    if low == high:
        return f"{hours(low)}{NO_BREAK}h"
    first, second = _estimated(low), _estimated(high)
    joined = first if first == second else f"{first}{EN_DASH}{second}"
    return f"{joined}{NO_BREAK}h"


def _estimated(value: Number) -> str:
    """Half hours are as fine as an estimate reads; under an hour they would be too coarse."""
    exact = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
    if exact < 1:
        return hours(exact)
    return hours((exact * 2).quantize(Decimal(1), ROUND_HALF_UP) / 2)


def money(amount: Number, symbol: str = "€", decimals: int = 2) -> str:
    """Write an amount to the currency's own decimals.

    >>> money(Decimal("2545"))
    '€\\xa02\\u2009545.00'
    """
    return f"{symbol}{NO_BREAK}{figure(amount, decimals)}"


def money_between(low: Number, high: Number, symbol: str = "€") -> str:
    """Write a range of money in whole units.

    >>> money_between(4180, Decimal("4990.4"))
    '€\\xa04\\u2009180\\u20134\\u2009990'
    """
    first, second = figure(low), figure(high)
    return f"{symbol}{NO_BREAK}{first if first == second else first + EN_DASH + second}"


def day(value: dt.date, today: dt.date | None = None) -> str:
    """Write a date with its weekday, and with its year where that is not the year of ``today``.

    >>> day(dt.date(2026, 5, 15)), day(dt.date(2027, 1, 4), today=dt.date(2026, 5, 14))
    ('Fri 15 May', 'Mon 4 Jan 2027')
    """
    year = f" {value.year}" if today and value.year != today.year else ""
    return f"{DAYS[value.weekday()]} {value.day} {MONTHS[value.month - 1]}{year}"


def full_day(value: dt.date) -> str:
    """Write a date with weekday and year, as what binds people carries it.

    >>> full_day(dt.date(2026, 5, 15))
    'Fri 15 May 2026'
    """
    return f"{day(value)} {value.year}"


def days_between(first: dt.date, last: dt.date, today: dt.date | None = None) -> str:
    """Write a span of days; one day is written once.

    >>> days_between(dt.date(2026, 5, 27), dt.date(2026, 6, 1))
    'Wed 27 May\\u2009\\u2013\\u2009Mon 1 June'
    """
    if first == last:
        return day(first, today)
    return f"{day(first, today)}{THIN_SPACE}{EN_DASH}{THIN_SPACE}{day(last, today)}"


def elapsed(since: dt.datetime, now: dt.datetime) -> str:
    """Write hours and minutes gone by, as on a clock; nothing before the start.

    >>> start = dt.datetime(2026, 5, 14, 7, 42, tzinfo=dt.UTC)
    >>> elapsed(start, start + dt.timedelta(hours=1, minutes=42, seconds=18))
    '1:42'
    """
    minutes = max(0, int((now - since).total_seconds() // 60))
    return f"{minutes // 60}:{minutes % 60:02d}"


def counted(count: int, one: str, many: str = "") -> str:
    """Write a count with its noun.

    >>> counted(1, "day"), counted(10, "day"), counted(2, "pass", "passes")
    ('1 day', '10 days', '2 passes')
    """
    return f"{figure(count)} {one if count == 1 else many or one + 's'}"
