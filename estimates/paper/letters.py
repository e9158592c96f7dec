"""The letters of a document: which font has which, how wide words are, where lines break."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from functools import cache

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from estimates.paper.direction import in_reading_order
from jobs.drawings.pdf import FONTS, POINTS_PER_MM, lettering

# Files are sent as they are: writing them in seven-bit characters made them a quarter larger and took longest.
rl_config.useA85 = 0

BODY, STRONG = "B612", "B612-Bold"
NAME, HEAD = "Piazzolla-500", "Piazzolla-600"
MM = POINTS_PER_MM
LEADING = 1.36
_BREAKS = re.compile(r"(?<!\d) |(?<=\d) (?!(?:mm|in|h|kg|lb|%|\d+/\d+)(?:\W|$))")
_FILES = {NAME: "piazzolla-500.ttf", HEAD: "piazzolla-600.ttf"}


@cache
def fonts() -> tuple[str, ...]:
    """Register the book's own fonts once and return their names.

    Raises ``OSError`` where their files are missing from ``static/fonts/pdf``.
    """
    names = list(lettering())
    for name, file in _FILES.items():
        pdfmetrics.registerFont(TTFont(name, str(FONTS / file)))
        names.append(name)
    return tuple(names)


@cache
def more_fonts() -> tuple[str, ...]:
    """Register the fonts for letters that the book's own lack, the first time such a letter is met.

    Their files stand in the order in which they are asked; the large one of Chinese and Japanese comes late.
    """
    names = []
    for file in sorted((FONTS / "more").glob("*.ttf")):
        pdfmetrics.registerFont(TTFont(file.stem, str(file)))
        names.append(file.stem)
    return tuple(names)


@cache
def letters_of(font: str) -> frozenset[int]:
    """The characters a font has."""
    return frozenset(pdfmetrics.getFont(font).face.charToGlyph)


def runs(text: str, font: str) -> list[tuple[str, str]]:
    """Part a line into pieces that one font can write, in the order in which they stand on the paper.

    A character that no font has is written by its Unicode name in brackets, so that nothing is lost in silence.
    """
    fonts()
    here = letters_of(font)
    if all(ord(character) in here for character in text):
        return [(font, text)]
    pieces: list[tuple[str, str]] = []
    for character in in_reading_order(text):
        for name, letter in _written(character, font):
            if pieces and pieces[-1][0] == name:
                pieces[-1] = (name, pieces[-1][1] + letter)
            else:
                pieces.append((name, letter))
    return pieces


def _written(character: str, font: str) -> Iterator[tuple[str, str]]:
    for name in (font, *fonts(), *more_fonts()):
        if ord(character) in letters_of(name):
            yield name, character
            return
    kind = unicodedata.category(character)
    if kind in ("Zs", "Zl", "Zp"):
        yield font, " "
    elif kind not in ("Cc", "Cf"):  # what has no shape needs no name
        yield font, f"[{unicodedata.name(character, f'U+{ord(character):04X}').lower()}]"


def width_mm(text: str, font: str, size: float) -> float:
    """How wide a line is; ``size`` in points."""
    return sum(pdfmetrics.stringWidth(piece, name, size) for name, piece in runs(text, font)) / MM


def fitting(text: str, font: str, size: float, room_mm: float, least: float) -> float:
    """The largest size from ``size`` down to ``least`` points at which a line fits its room."""
    wide = width_mm(text, font, size)
    return size if wide <= room_mm else max(least, size * room_mm / wide)


def wrapped(text: str, font: str, size: float, room_mm: float) -> list[str]:
    """Break text into lines that fit, never between a figure and its unit; a word longer than a line is broken where
    it must be.
    """
    lines: list[str] = []
    for paragraph in text.splitlines() or [""]:
        line = ""
        for word in _BREAKS.split(paragraph):
            longer = f"{line} {word}" if line else word
            if width_mm(longer, font, size) <= room_mm:
                line = longer
                continue
            if line:
                lines.append(line)
            *whole, line = _broken(word, font, size, room_mm)
            lines += whole
        lines.append(line)
    return lines


def _broken(word: str, font: str, size: float, room_mm: float) -> list[str]:
    """A word in parts that fit, all of it."""
    parts, part = [], ""
    for character in word:
        if part and width_mm(part + character, font, size) > room_mm:
            parts.append(part)
            part = ""
        part += character
    return [*parts, part]


def leading_mm(size: float) -> float:
    """From one line to the next, for a size in points."""
    return size * LEADING / MM


class Lettered(Canvas):
    """A canvas whose lines of text change fonts where theirs lacks a letter; drawings use it like any other."""

    def drawString(self, x, y, text, *args, **kwargs):  # noqa: N802, the canvas's own name
        pieces = runs(text, self._fontname)
        if len(pieces) == 1 and pieces[0][0] == self._fontname:
            return super().drawString(x, y, pieces[0][1], *args, **kwargs)
        font, size = self._fontname, self._fontsize
        for name, piece in pieces:
            self.setFont(name, size)
            super().drawString(x, y, piece, *args, **kwargs)
            x += pdfmetrics.stringWidth(piece, name, size)
        self.setFont(font, size)
        return None

    def stringWidth(self, text, fontName=None, fontSize=None):  # noqa: N802
        size = self._fontsize if fontSize is None else fontSize
        return width_mm(text, fontName or self._fontname, size) * MM
