"""Hours, money, masses, areas, dates and counts as the shop writes them, the same on screen and on paper.

Thin spaces part thousands, en dashes join ranges, a unit follows its figure after a space. Lengths and angles
have their own module, :mod:`shop.lengths`.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from shop.lengths import INCH_MM, MINUS, NO_BREAK, THIN_SPACE, Units

EN_DASH = "\u2013"
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "March", "April", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")

POUND_KG = Decimal("0.45359237")
"""The pound in kilograms, exactly: NIST SP 811 (2008), appendix B.8; so is the inch of :mod:`shop.lengths`."""
IN2_MM2 = float(INCH_MM) ** 2
LB_IN3_KG_M3 = float(POUND_KG) / (float(INCH_MM) / 1000) ** 3
FT2_MM2 = 144 * IN2_MM2
DM2_MM2 = 1e4
M2_MM2 = 1e6

LEAST_HOURS = 0.05
"""Three minutes: fewer would be written as 0 h, and as many more or less are not told apart."""

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
    """Half hours are as fine as an estimate reads; under an hour they would be too coarse.

    A budget is kept to a hundredth, so that is what is rounded everywhere: 0.547 h on a quote and the 0.55 h kept of
    it would else read as 0.5 and 0.6.
    """
    exact = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
    kept = exact.quantize(Decimal("0.01"), ROUND_HALF_UP)
    if kept < 1:
        return hours(kept)
    return hours((kept * 2).quantize(Decimal(1), ROUND_HALF_UP) / 2)


def hours_over(used: Decimal, high: Decimal) -> Decimal:
    """Hours past the high end of a range; nought where there is no range, and where they would be written as 0 h.

    >>> hours_over(Decimal("1.2"), Decimal("0.74")), hours_over(Decimal("0.75"), Decimal("0.74"))
    (Decimal('0.46'), Decimal('0'))
    """
    over = used - high if high else Decimal(0)
    return over if float(over) >= LEAST_HOURS else Decimal(0)


@dataclass(frozen=True, slots=True)
class MoneyStyle:
    """How a shop writes money: where the sign stands and how far off, what parts thousands, what decimals."""

    sign_first: bool
    gap: str
    thousands: str
    point: str


MONEY_STYLES: Final = {
    "sign-space": MoneyStyle(True, NO_BREAK, THIN_SPACE, "."),
    "sign-comma": MoneyStyle(True, "", ",", "."),
    "sign-dot": MoneyStyle(True, NO_BREAK, ".", ","),
    "sign-apostrophe": MoneyStyle(True, NO_BREAK, "\u2019", "."),
    "space-sign": MoneyStyle(False, NO_BREAK, THIN_SPACE, "."),
    "space-comma-sign": MoneyStyle(False, NO_BREAK, THIN_SPACE, ","),
    "dot-sign": MoneyStyle(False, NO_BREAK, ".", ","),
}
FIRST_STYLE: Final = "sign-space"


def money(amount: Number, symbol: str = "€", decimals: int = 2, style: str = FIRST_STYLE) -> str:
    """Write an amount to the currency's own decimals, in one of the styles of ``MONEY_STYLES``.

    >>> money(Decimal("2545")), money(Decimal("-2545"), "$", style="sign-comma")
    ('€\\xa02\\u2009545.00', '\\u2212$2,545.00')
    >>> money(Decimal("1049.29"), style="dot-sign")
    '1.049,29\\xa0€'
    """
    written = _in_style(amount, decimals, style)
    minus = MINUS if written.startswith(MINUS) else ""
    return minus + _signed(written.removeprefix(MINUS), symbol, style)


def money_between(low: Number, high: Number, symbol: str = "€", style: str = FIRST_STYLE) -> str:
    """Write a range of money in whole units.

    >>> money_between(4180, Decimal("4990.4")), money_between(4180, 4990, "$", "sign-comma")
    ('€\\xa04\\u2009180\\u20134\\u2009990', '$4,180\\u20134,990')
    """
    first, second = _in_style(low, 0, style), _in_style(high, 0, style)
    return _signed(first if first == second else first + EN_DASH + second, symbol, style)


def _in_style(amount: Number, decimals: int, style: str) -> str:
    """A number parted as money of this style is."""
    marks = MONEY_STYLES[style]
    return figure(amount, decimals).translate({ord(THIN_SPACE): marks.thousands, ord("."): marks.point})


def _signed(written: str, symbol: str, style: str) -> str:
    """Set the currency's sign; letters such as CHF never touch the figure."""
    marks = MONEY_STYLES[style]
    gap = marks.gap or (NO_BREAK if len(symbol) > 1 and symbol[-1].isalpha() else "")
    return f"{symbol}{gap}{written}" if marks.sign_first else f"{written}{gap}{symbol}"


def mass(mass_kg: Number, units: Units = "mm") -> str:
    """Write a mass in the kilograms or pounds that go with the shop's lengths: to 0.01, from ten on to 0.1.

    What would read as nought is written a hundred times as closely.

    >>> mass(2.5), mass(2.5, "in"), mass(31.25), mass(0.0031)
    ('2.50\\xa0kg', '5.51\\xa0lb', '31.3\\xa0kg', '0.0031\\xa0kg')
    """
    pounds = units == "in"
    exact = mass_kg if isinstance(mass_kg, Decimal) else Decimal(repr(mass_kg))
    amount = exact / POUND_KG if pounds else exact
    return f"{_not_nought(amount, 2 if abs(amount) < 10 else 1)}{NO_BREAK}{'lb' if pounds else 'kg'}"


def _not_nought(amount: Number, decimals: int) -> str:
    """A number with so many decimals, with two more where it would else read as nought and then does not."""
    closely = figure(amount, decimals + 2)
    is_small = abs(amount) < 0.5 * 10**-decimals and closely.strip(f"0.{MINUS}")
    return closely if is_small else figure(amount, decimals)


def density(density_kg_m3: float, units: Units = "mm") -> str:
    """Write a density in kg/m³, or in lb/in³ to four decimals as handbooks print it.

    >>> density(2710.0), density(2710.0, "in")
    ('2\\u2009710\\xa0kg/m³', '0.0979\\xa0lb/in³')
    """
    if units == "in":
        return f"{figure(density_kg_m3 / LB_IN3_KG_M3, 4)}{NO_BREAK}lb/in³"
    return f"{figure(density_kg_m3)}{NO_BREAK}kg/m³"


def area(area_mm2: float, units: Units = "mm") -> str:
    """Write an area in dm² and from a hundred on in m², or in square inches and from 144 on in square feet.

    What would read as nought is written a hundred times as closely.

    >>> area(52_000.0), area(2_500_000.0), area(52_000.0, "in"), area(2_500_000.0, "in")
    ('5.20\\xa0dm²', '2.50\\xa0m²', '80.6\\xa0in²', '26.91\\xa0ft²')
    >>> area(42.0), area(20.0, "in"), area(0.0)
    ('0.0042\\xa0dm²', '0.031\\xa0in²', '0.00\\xa0dm²')
    """
    small, large, decimals = (IN2_MM2, FT2_MM2, 1) if units == "in" else (DM2_MM2, M2_MM2, 2)
    if abs(area_mm2) < large:
        return f"{_not_nought(area_mm2 / small, decimals)}{NO_BREAK}{'in²' if units == 'in' else 'dm²'}"
    return f"{figure(area_mm2 / large, 2)}{NO_BREAK}{'ft²' if units == 'in' else 'm²'}"


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
