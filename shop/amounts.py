"""Amounts of money as people type them, read by how the shop writes money.

What :func:`shop.figures.money` writes is read back. A mark that may part thousands or stand before decimals is
read as the shop's own style has it, and refused where that says nothing about it.
"""

import re
from decimal import Decimal
from typing import Final

from shop.figures import FIRST_STYLE, MONEY_STYLES
from shop.lengths import SPACED, Unreadable

LONGEST: Final = 14
SPACES: Final = re.compile(r"[\s\u2009\u202f]+")
_APOSTROPHE = re.compile(r"(?<=[0-9])['\u2019](?=[0-9]{3}(?![0-9]))")
_GROUPED = {
    ",": re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]*)?"),
    ".": re.compile(r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+(?:,[0-9]*)?"),
}
_PLAIN = re.compile(r"-?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)")


class UnreadableAmount(Unreadable):
    """An amount that cannot be read; the text says what fits."""


def parse_amount(text: str, symbol: str = "", style: str = FIRST_STYLE) -> Decimal:
    """Read an amount with or without the currency's sign, as typed or as the shop writes it.

    Raises :class:`UnreadableAmount` for anything that is no plain amount, or that can be read two ways.

    >>> parse_amount("$1,049.29", "$", "sign-comma"), parse_amount("1.049,29", "€", "dot-sign")
    (Decimal('1049.29'), Decimal('1049.29'))
    >>> parse_amount("12,50"), parse_amount("1 250")
    (Decimal('12.50'), Decimal('1250'))
    """
    typed, marks = text.strip()[:20], MONEY_STYLES[style]
    plain = SPACES.sub(" ", text.replace(symbol or "\0", "")).strip()
    plain = _APOSTROPHE.sub("", plain)
    if re.fullmatch(SPACED, plain):
        plain, thousands = plain.replace(" ", ""), ""
    elif re.fullmatch(r"[0-9., ]* [0-9., ]*", plain):
        raise UnreadableAmount(f"“{typed}” has a space that does not part thousands. Write 1250 or 1 250.")
    else:
        thousands = _thousands_in(plain, marks.thousands, marks.point, typed)
    if thousands:
        plain = plain.replace(thousands, "")
    plain = plain.replace(",", ".")
    if len(plain) > LONGEST or not _PLAIN.fullmatch(plain):
        raise UnreadableAmount(f"“{typed}” cannot be read as an amount. Write 125 or 125{marks.point}50.")
    return Decimal(plain)


def _thousands_in(plain: str, thousands: str, point: str, typed: str) -> str:
    """The mark that parts thousands in what was typed, or nothing where no mark does."""
    for mark, grouped in _GROUPED.items():
        if not grouped.fullmatch(plain):
            continue
        if mark == thousands or plain.count(mark) > 1 or any(c in plain for c in ",.".replace(mark, "")):
            return mark
        if mark != point:
            raise UnreadableAmount(
                f"“{typed}” can be read two ways. Write {plain.replace(mark, '')} or {plain.replace(mark, point)}."
            )
    return ""
