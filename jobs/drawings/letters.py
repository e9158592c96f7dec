"""How much room lettering takes, so that labels can be placed without touching.

The advance widths are those of B612, whose regular and bold are equally wide; they were read from the
font's own ``hmtx`` table, in thousandths of the type size.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

ASCENT = 0.8
"""Height of the tallest letters over the baseline, in parts of the size (capitals are 0.75)."""
DESCENT = 0.22
"""Depth of the tails below the baseline, in parts of the size."""
MIDDLE = 0.36
"""Height over the baseline at which figures and small letters look centred, in parts of the size."""
LOW_SIZE, LOW_DROP = 0.8, 0.2
"""Size of low letters, and how far their baseline lies under the line's, in parts of the line's size."""
_LOW = re.compile(r"(?<= = [^\W\d_])_([A-Za-z]+)")

_SETS = {
    0: "\xad",
    200: "'|¦",
    250: ",;·′",
    300: ".:Iij°²³¹ÌÍÎÏìíîï",
    350: " !l\xa0¡‘’‚",
    400: '"frtªº″',
    450: "()-J[s‹›",
    500: "=]cz¢§“”„↑↓",
    521: "ç",
    525: "a",
    550: "$*/?FLS\\_`ekvxy£¨©®¯´¸¿àáâãäåèéêë÷ýÿˆ˚˜–−",
    600: "+CEKPTYZbdghnopqu}¤¥±ÈÉÊËÝñòóôõöøùúûüþ•",
    650: "{0123456789<>ABDGRVXµÀÁÂÃÄÅÇÐÞßð",
    700: "&HU«¶»ÙÚÛÜ€",
    750: "N^w~¼½¾Ñ…",
    800: "OQÒÓÔÕÖ×Ø",
    850: "#¬Ææ™",
    900: "%Mm",
    950: "Wœ",
    1000: "@Œ",
    1050: "—",
}
_WIDTHS = {letter: thousandths / 1000 for thousandths, letters in _SETS.items() for letter in letters}
_WIDEST_UNKNOWN = 1.0
"""A letter that B612 lacks comes from another font; one em is the width of a CJK letter and never too little."""


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle in scene units, y downwards."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Tell whether the two rectangles share more than a border."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: Box) -> bool:
        """Tell whether another rectangle lies wholly inside this one."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.top <= other.top
            and other.bottom <= self.bottom
        )

    def moved(self, by: tuple[float, float]) -> Box:
        """Return the rectangle moved right and down."""
        return Box(self.left + by[0], self.top + by[1], self.right + by[0], self.bottom + by[1])

    def grown(self, by: float) -> Box:
        """Return the rectangle with a margin all round."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)


def width(text: str, size: float) -> float:
    """Return the set width of a line of B612 (regular or bold) in the unit of ``size``.

    >>> round(width("R 330", 12), 2)
    35.4
    """
    return size * sum(_ems(part) * (LOW_SIZE if is_low else 1.0) for part, is_low in parts(text))


def parts(text: str) -> tuple[tuple[str, bool], ...]:
    """Return a line in parts, each with whether it is set low: what follows a formula's letter after ``=``.

    >>> parts("inside radius 25 = r_in.")
    (('inside radius 25 = r', False), ('in', True), ('.', False))
    >>> parts("drawing_2")
    (('drawing_2', False),)
    """
    if " = " not in text:
        return ((text, False),)
    found = _LOW.split(text)  # by turns on the line and low
    return tuple((part, bool(index % 2)) for index, part in enumerate(found) if part)


@lru_cache(maxsize=4096)
def _ems(text: str) -> float:
    """The width in ems: a page writes the same numbers and names many times over."""
    return sum(_WIDTHS.get(letter, _WIDEST_UNKNOWN) for letter in text)
