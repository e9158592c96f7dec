"""What stands in one cell of a notebook: text, numbers and days, each read one way or refused.

Every refusal is one line that names the column and shows what stood there, however long or odd that was.
"""

from __future__ import annotations

import codecs
import re
from datetime import date
from typing import Final

from estimates.hours.panels import UnusableHistory

LONGEST_TEXT: Final = 200
EARLIEST: Final = date(1900, 1, 1)
"""No notebook is older; a day before it is a year that lost a figure."""

_SHOWN: Final = 40
_UNREADABLE: Final = "\ufffd"
_LINE_BREAKS: Final = re.compile(r"\s*[\r\n\t\v\f\x1c-\x1e\x85\u2028\u2029]+\s*")
_UNPRINTABLE: Final = re.compile(r"[\x00-\x1f\x7f-\x9f]")
_FORMULA_STARTS: Final = ("=", "+", "-", "@", "\t", "\r", "'")
# Digits in groups of three or none, then at most one decimal sign.
_NUMBER: Final = re.compile(r"[+-]?([0-9]+|[0-9]{1,3}(?: [0-9]{3})+)(?:[.,]([0-9]*))?|[+-]?[.,][0-9]+")
_SCIENTIFIC: Final = re.compile(r"[+-]?[0-9](?:[.,][0-9]+)?[eE][+-]?[0-9]{1,3}")
_GROUPED: Final = re.compile(r"[+-]?[0-9]{1,3}(?:(?:\.[0-9]{3})+,[0-9]*|(?:,[0-9]{3})+\.[0-9]*)")
_ISO_DATE: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_DOTTED_DATE: Final = re.compile(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4})")


def decode(source: bytes) -> str:
    """Return the text of a file that may be pasted together from two programs.

    UTF-16 is known by its byte order mark, or by the zero in its first letter; anything else is read line by line
    as UTF-8 or, where it is not that, Windows-1252.
    """
    if source.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return source.decode("utf-16", errors="replace")
    if 0 in source[:2]:
        return source.decode("utf-16-be" if source[0] == 0 else "utf-16-le", errors="replace")
    return "".join(
        _decode_line(line) for line in source.removeprefix(codecs.BOM_UTF8).splitlines(keepends=True)
    )


def shown(text: str) -> str:
    """Return a text in quotes, on one line and no longer than a line bears."""
    return repr(text if len(text) <= _SHOWN else f"{text[:_SHOWN]}…")


def read_text(name: str, text: str) -> str:
    """Return a cell's text on one line, without the apostrophe that :func:`written` puts before a formula."""
    if _UNREADABLE in text:
        raise UnusableHistory(f"{name} has characters that are neither UTF-8 nor Windows-1252.")
    text = _LINE_BREAKS.sub(" ", text).strip()
    if _UNPRINTABLE.search(text):
        raise UnusableHistory(f"{name}: {shown(text)} has characters that cannot be printed.")
    if len(text) > LONGEST_TEXT:
        raise UnusableHistory(f"{name}: {shown(text)} is longer than {LONGEST_TEXT} characters.")
    return text[1:] if text[:1] == "'" and text[1:].startswith(_FORMULA_STARTS) else text


def written(text: str) -> str:
    """Return a text as a cell; what a spreadsheet would take for a formula gets an apostrophe in front."""
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text


def read_number(name: str, text: str, commas_separate: bool) -> float:
    """Read ``1.5``, ``1,5``, ``1 234,5``, ``1.234,5`` and ``1,234.5``."""
    plain = re.sub(r"[\u00a0\u202f\u2009]", " ", text)
    if not plain:
        raise UnusableHistory(f"{name} is blank.")
    if commas_separate and re.fullmatch(r"[+-]?[0-9]{1,3},[0-9]{3}", plain):
        raise UnusableHistory(f"{name}: {text!r} may be thousands or decimals; write it without the comma.")
    if _GROUPED.fullmatch(plain):
        decimal = max(plain.rfind("."), plain.rfind(","))
        return float(re.sub(r"[.,]", "", plain[:decimal]) + "." + plain[decimal + 1 :])
    if not (_NUMBER.fullmatch(plain) or _SCIENTIFIC.fullmatch(plain)):
        raise UnusableHistory(f"{name}: {shown(text)} is not a number.")
    return float(plain.replace(" ", "").replace(",", "."))


def read_day(name: str, text: str, today: date | None) -> date:
    """Read ``2026-03-02`` or ``2.3.2026``: no day after ``today``, where that is given."""
    day = _day(name, text)
    if day < EARLIEST:
        raise UnusableHistory(f"{name}: {text!r} is before {EARLIEST.year}.")
    if today is not None and day > today:
        raise UnusableHistory(f"{name}: {text!r} is still to come.")
    return day


def _day(name: str, text: str) -> date:
    try:
        if _ISO_DATE.fullmatch(text):
            return date.fromisoformat(text)
        if dotted := _DOTTED_DATE.fullmatch(text):
            day, month, year = map(int, dotted.groups())
            return date(year, month, day)
    except ValueError as error:
        raise UnusableHistory(f"{name}: {text!r} is not a day of the calendar.") from error
    raise UnusableHistory(f"{name}: {shown(text)} is not a date such as 2026-03-02 or 2.3.2026.")


def _decode_line(line: bytes) -> str:
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        return line.decode("cp1252", errors="replace")
