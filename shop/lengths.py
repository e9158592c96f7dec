"""Lengths and angles as the trade writes them, and back.

Inside, a length is always a float of millimetres and an angle a float of radians; this module is the only
place where either is read from or written for people. Reading is exact (fractions, never binary floats) until
the last step, and whatever can be read in two ways is refused.
"""

from __future__ import annotations

import math
import re
import unicodedata
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Literal

Units = Literal["in", "mm"]

INCH_MM = Fraction(254, 10)
MAX_LENGTH_MM = 100_000  # 100 m: longer than any roll a small shop lays out, so a slip of the unit shows
MAX_TURN_DEG = 360
MAX_CHARACTERS = 40  # enough for "1 234.5 millimetres", too short for a flood of digits
THIN_SPACE = "\u2009"
NO_BREAK = "\u00a0"
MINUS = "\u2212"

_MM_IN: dict[str, Fraction] = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), Fraction(1)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), Fraction(10)),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), Fraction(1000)),
    **dict.fromkeys(('"', "in", "in.", "inch", "inches"), INCH_MM),
    **dict.fromkeys(("'", "ft", "ft.", "foot", "feet"), 12 * INCH_MM),
}
_DEGREE_UNITS = ("", "°", "deg", "deg.", "degree", "degrees")

# A space parts thousands only: 1 020, never 10 20. The same rule reads amounts of money.
SPACED = r"(?:[1-9][0-9]{0,2}(?:\ [0-9]{3})+(?:[.,][0-9]*)?)"
_DECIMAL = rf"(?:{SPACED}|[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)"
_NUMBER = rf"(?:(?:[0-9]+(?:\ |\ ?-\ ?))?[0-9]+\ ?/\ ?[0-9]+|{_DECIMAL})"
_UNIT = r"(?:[a-z]+\.?|[\"'°])"
_FEET = r"(?:'|ft\.?|foot|feet)"
_ONE = re.compile(rf"(?P<number>{_NUMBER})\ ?(?P<unit>{_UNIT})?")
_FEET_AND_INCHES = re.compile(
    rf"(?P<feet>{_NUMBER})\ ?{_FEET}\ ?-?\ ?(?P<inches>{_NUMBER})\ ?(?:\"|in\.?|inch|inches)?"
)
_MIXED = re.compile(r"(?:(?P<whole>[0-9]+)[ -]+)?(?P<top>[0-9]+) ?/ ?(?P<bottom>[0-9]+)")
_THOUSANDS = re.compile(r"(?<=[0-9])[\u2009\u202f](?=[0-9]{3}(?![0-9/\u2044]))")
_SPACED_NUMBER = re.compile(SPACED)
_EITHER_WAY = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")

_SAME_SIGN = str.maketrans(
    {
        **dict.fromkeys("\u2033\u201d\u201c\u201f\u02ba\uff02", '"'),
        **dict.fromkeys("\u2032\u2019\u2018\u201b\u02b9\u00b4`\uff07", "'"),
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"),
        **dict.fromkeys("\u2044\u2215", "/"),
        "\u00ba": "°",  # the ordinal mark, often typed for the degree sign
    }
)


class Unreadable(ValueError):
    """What was typed cannot be read; the text says why and what would fit."""


class UnreadableLength(Unreadable):
    """A length that cannot be read."""

    fits = "Write one length, such as 7 in, 1 3/4 in, 2 ft 3 in or 180 mm."


class UnreadableAngle(Unreadable):
    """An angle that cannot be read."""

    fits = "Write one angle in degrees, such as 90, 22.5 or 22 1/2."


def parse_length_mm(text: str, *, bare: Units = "mm") -> float:
    """Read a length as the trade writes it, and return millimetres.

    Parameters
    ----------
    text
        ``7 in``, ``7"``, ``1 3/4``, ``1-3/4 in``, ``180 mm``, ``18 cm``, ``1.2 m``, ``2 ft 3 in``,
        ``2' 3 1/2"``, ``7,5``, ``1 020 mm``; typographic quotes, primes, fractions and thin spaces are understood.
    bare
        The unit of a number without one: the shop's own.

    Raises
    ------
    UnreadableLength
        Nothing, a sign, more than one number, an unknown unit, a fraction over nought, more than
        40 characters, more than 100 m, a comma that may be a decimal or a thousands mark (``1,250``), or a space
        between thousands of inches or feet, where it may stand for a fraction's (``1 125``).

    Source: one inch is 25.4 mm exactly (international yard and pound agreement of 1959).

    >>> parse_length_mm("1 3/4", bare="in")
    44.45
    >>> parse_length_mm("2' 3 1/2\\"")
    698.5
    >>> parse_length_mm("7,5 mm")
    7.5
    """
    clean = _clean(text, UnreadableLength)
    feet_and_inches = _FEET_AND_INCHES.fullmatch(clean)
    one = _ONE.fullmatch(clean)
    if feet_and_inches:
        length = _feet_and_inches(feet_and_inches["feet"], feet_and_inches["inches"])
    elif one and (one["unit"] or bare) in _MM_IN:
        _refuse_spaced_inches(one["number"], _MM_IN[one["unit"] or bare])
        length = _number(one["number"], UnreadableLength) * _MM_IN[one["unit"] or bare]
    else:
        raise UnreadableLength(f"“{text.strip()}” cannot be read as a length. {UnreadableLength.fits}")
    if length > MAX_LENGTH_MM:
        most = "328 ft" if bare == "in" else "100 m"
        raise UnreadableLength(f"“{text.strip()}” is longer than {most}. Write {most} or less.")
    return float(length)


def rounded_up(length_mm: float, units: Units = "mm") -> float:
    """A length no shorter than asked, in steps that the shop's rule shows: 1/32 in or 0.1 mm.

    >>> rounded_up(44.46, "in") / 25.4, round(rounded_up(737.61), 6), round(rounded_up(737.6), 6)
    (1.78125, 737.7, 737.6)
    """
    step_mm = float(INCH_MM) / 32 if units == "in" else 0.1
    return (
        math.ceil(length_mm / step_mm - 1e-6) * step_mm
    )  # a speck over a step is what reckoning leaves of it


def rounded_down(length_mm: float, units: Units = "mm") -> float:
    """A length no longer than allowed, in steps that the shop's rule shows: 1/32 in or 0.1 mm.

    >>> rounded_down(45.2, "in") / 25.4, round(rounded_down(737.69), 6), round(rounded_down(737.6), 6)
    (1.75, 737.6, 737.6)
    """
    step_mm = float(INCH_MM) / 32 if units == "in" else 0.1
    return math.floor(length_mm / step_mm + 1e-6) * step_mm


def format_blank(length_mm: float, width_mm: float, units: Units = "mm") -> str:
    """Write what a blank measures, both sides rounded up: one cut a hair too small is scrap.

    >>> format_blank(44.46, 25.4, "in"), format_blank(737.61, 388.0)
    ('1\\xa025/32 × 1 in', '737.7 × 388 mm')
    """
    return f"{format_length(length_mm, units, False, up=True)} × {format_length(width_mm, units, up=True)}"


def format_length(
    length_mm: float, units: Units = "mm", with_unit: bool = True, *, up: bool = False, down: bool = False
) -> str:
    """Write a length in the shop's units: inches to the nearest 1/32, or millimetres to 0.1.

    Halves are rounded away from nought. What this writes, :func:`parse_length_mm` reads back to within half
    a step (1/64 in, 0.05 mm), except that a negative length (something to gain) is only written, never read.
    ``up`` rounds to the next step instead, for the sides of a blank and for what is the least that fits; ``down``
    to the last one, for the most that fits.

    Raises ``ValueError`` for a length that is not finite.

    >>> format_length(44.45, "in"), format_length(45.2, "in", down=True)
    ('1\\xa03/4 in', '1\\xa03/4 in')
    >>> format_length(180.0), format_length(52.04, with_unit=False)
    ('180 mm', '52')
    """
    if not math.isfinite(length_mm):
        raise ValueError(f"A length must be a finite number, not {length_mm}.")
    if up:
        length_mm = rounded_up(length_mm, units)
    elif down:
        length_mm = rounded_down(length_mm, units)
    written = _inches(abs(length_mm)) if units == "in" else _one_decimal(abs(length_mm))
    sign = MINUS if length_mm < 0 and written != "0" else ""
    return f"{sign}{written} {units}" if with_unit else f"{sign}{written}"


def length_to_edit(length_mm: float, units: Units = "mm") -> str:
    """Write a length for a field, closely enough that saving the field unchanged changes nothing.

    Millimetres to 0.001; inches as a fraction where they are one of 64ths, else to 0.0001.

    >>> length_to_edit(19.05), length_to_edit(19.05, "in"), length_to_edit(19.0, "in")
    ('19.05', '3/4', '0.748')
    """
    if units == "mm":
        return f"{length_mm:.3f}".rstrip("0").rstrip(".")
    sixty_fourths = length_mm / 25.4 * 64
    if abs(sixty_fourths - round(sixty_fourths)) < 1e-6:
        whole, rest = divmod(Fraction(round(sixty_fourths), 64), 1)
        return " ".join(str(part) for part in (whole, rest) if part) or "0"
    return f"{length_mm / 25.4:.4f}".rstrip("0").rstrip(".")


def angle_to_edit(angle_rad: float) -> str:
    """Write an angle in degrees for a field, to 0.0001.

    >>> angle_to_edit(math.pi / 2)
    '90'
    """
    return f"{math.degrees(angle_rad):.4f}".rstrip("0").rstrip(".")


def parse_angle_rad(text: str) -> float:
    """Read an angle in degrees (``90``, ``22.5°``, ``22 1/2 deg``) and return radians.

    Raises :class:`UnreadableAngle` for anything else, for a sign, and beyond 360 degrees.

    >>> round(parse_angle_rad("22 1/2"), 6)
    0.392699
    """
    clean = _clean(text, UnreadableAngle)
    match = _ONE.fullmatch(clean)
    if not match or (match["unit"] or "") not in _DEGREE_UNITS:
        raise UnreadableAngle(f"“{text.strip()}” cannot be read as an angle. {UnreadableAngle.fits}")
    degrees = _number(match["number"], UnreadableAngle)
    if degrees > MAX_TURN_DEG:
        raise UnreadableAngle(f"“{text.strip()}” is more than a full turn. Write 360 or less.")
    return math.radians(float(degrees))


def format_angle(angle_rad: float, with_unit: bool = True) -> str:
    """Write an angle in degrees to 0.1. Raises ``ValueError`` where it is not finite.

    >>> format_angle(math.pi / 2), format_angle(math.pi / 8, with_unit=False)
    ('90°', '22.5')
    """
    if not math.isfinite(angle_rad):
        raise ValueError(f"An angle must be a finite number, not {angle_rad}.")
    # Twelve digits first: pi/8 in degrees is 22.5 and a speck, which must not decide a half.
    written = _one_decimal(float(f"{abs(math.degrees(angle_rad)):.12g}"))
    sign = MINUS if angle_rad < 0 and written != "0" else ""
    return f"{sign}{written}°" if with_unit else f"{sign}{written}"


def _clean(text: str, error: type[UnreadableLength] | type[UnreadableAngle]) -> str:
    """Bring what was typed to plain signs and single spaces, or refuse it for its length or its sign."""
    if not text.strip():
        raise error(f"Nothing is written here. {error.fits}")
    if len(text.strip()) > MAX_CHARACTERS:
        raise error(f"That is more than {MAX_CHARACTERS} characters. {error.fits}")
    plain = _THOUSANDS.sub("", text)
    plain = "".join(_vulgar_fraction(character) or character for character in plain)
    plain = " ".join(plain.translate(_SAME_SIGN).lower().replace("''", '"').split())
    if plain.startswith(("-", "+")):
        raise error(f"“{text.strip()}” has a sign in front. Write it without one.")
    return plain


def _vulgar_fraction(character: str) -> str:
    """Write a one-character fraction (¾) as `` 3/4``, and anything else as nothing.

    The space keeps 1¾ from becoming 13/4.
    """
    if not unicodedata.decomposition(character).startswith("<fraction>"):
        return ""
    fraction = unicodedata.normalize("NFKC", character).replace("\u2044", "/")
    return f" {fraction}" if "/" in fraction and not fraction.endswith("/") else ""


def _number(written: str, error: type[UnreadableLength] | type[UnreadableAngle]) -> Fraction:
    """Read a decimal or a whole number with a fraction."""
    mixed = _MIXED.fullmatch(written)
    if not mixed:
        if _SPACED_NUMBER.fullmatch(written):
            written = written.replace(" ", "")
        if _EITHER_WAY.fullmatch(written):
            raise error(
                f"“{written}” can be read two ways. Write {written.replace(',', '')} "
                f"or {written.replace(',', '.')}."
            )
        return Fraction(written.replace(",", ".").rstrip(".") or "0")
    whole, top, bottom = mixed["whole"], int(mixed["top"]), int(mixed["bottom"])
    if bottom == 0:
        raise error(f"“{written}” has nought below the line. {error.fits}")
    if whole is not None and top >= bottom:
        raise error(f"The fraction in “{written}” is not less than one. {error.fits}")
    return int(whole or 0) + Fraction(top, bottom)


def _refuse_spaced_inches(written: str, unit_mm: Fraction) -> None:
    """In inches and feet a space stands before a fraction; between thousands it would be read for a slip."""
    if unit_mm.denominator != 1 and _SPACED_NUMBER.fullmatch(written):
        raise UnreadableLength(
            f"“{written}” can be read two ways. Write {written.replace(' ', '')}, or a fraction such as 1 3/4."
        )


def _feet_and_inches(feet: str, inches: str) -> Fraction:
    """Add whole feet and less than twelve inches, in millimetres."""
    whole_feet, rest = _number(feet, UnreadableLength), _number(inches, UnreadableLength)
    if whole_feet.denominator != 1 or rest >= 12:
        raise UnreadableLength(
            "Feet and inches need whole feet and less than 12 inches, such as 2 ft 3 1/2 in."
        )
    return (12 * whole_feet + rest) * INCH_MM


def _inches(length_mm: float) -> str:
    """Write a length of nought or more in inches, as a mixed fraction to the nearest 1/32."""
    # The shortest decimal that stands for the float is what was meant: 44.45, not its binary neighbour.
    thirty_seconds = math.floor(Fraction(repr(float(length_mm))) / INCH_MM * 32 + Fraction(1, 2))
    whole, rest = divmod(thirty_seconds, 32)
    fraction = Fraction(rest, 32)
    if not fraction:
        return str(whole)
    # The end of a line between the two would make 13 25/32 two figures.
    return f"{whole}{NO_BREAK}{fraction}" if whole else str(fraction)


def _one_decimal(value: float) -> str:
    """Write a value of nought or more to 0.1, thousands set apart by a thin space, without a bare ``.0``."""
    rounded = Decimal(repr(float(value))).quantize(Decimal("0.1"), ROUND_HALF_UP)
    return f"{rounded:,}".replace(",", THIN_SPACE).removesuffix(".0")
