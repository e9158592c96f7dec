"""What a work order says of dangers, and where each stage is signed off."""

from __future__ import annotations

import math
from collections.abc import Sequence

from estimates.paper.blocks import BODY_PT, GAP_MM, SMALL_PT, TITLE_MM, Block
from estimates.paper.letters import BODY, HEAD, leading_mm, wrapped
from estimates.paper.page import LINE, MARGIN_MM, THIN, Page, PaperSize

EDGE_MM = 4.2  # the striped strip at the left of the box
CARE_SHARE = 0.64  # of the page's width, beside the rows to sign in
SIGN_ROW_MM, SIGN_HEAD_MM = 8.0, 5.2  # a name is written by hand into each row
STRIP_GAP_MM = 2.0
MOST_IN_STRIP = 6  # stages side by side, so that a name and a date go in each


def care_and_signing(cautions: Sequence[str], names: Sequence[str], paper: PaperSize) -> Block:
    """Cautions at the left, who signed each stage at the right; both as high as the taller."""
    wide = paper.room_mm * CARE_SHARE
    lines = _points_in(cautions, wide)
    high = max(_points_high(lines), _signing_high(names))

    def draw(page: Page, top: float) -> None:
        _care(page, top + GAP_MM, wide, high, lines)
        left = MARGIN_MM + wide + 5
        _signing(page, left, top + GAP_MM, page.right - left, high, names)

    return Block(high + GAP_MM + 0.5, draw)


def care(cautions: Sequence[str], paper: PaperSize) -> Block:
    """The cautions by themselves, over the whole width."""
    lines = _points_in(cautions, paper.room_mm)
    high = _points_high(lines)
    return Block(high + GAP_MM + 0.5, lambda page, top: _care(page, top + GAP_MM, paper.room_mm, high, lines))


def short_care(cautions: Sequence[str], paper: PaperSize) -> Block:
    """The same cautions as running words over the whole width: for a page whose table leaves no room for points."""
    lines = wrapped(" ".join(cautions), BODY, SMALL_PT, paper.room_mm - TITLE_MM - 2)
    step = leading_mm(SMALL_PT)
    high = max(9.0, len(lines) * step + 3.2)

    def draw(page: Page, top: float) -> None:
        _striped(page, top + 1.0, paper.room_mm, high)
        page.text(MARGIN_MM + 7, top + 1.0 + 5.2, "Take care", HEAD, 11)
        for index, line in enumerate(lines):
            y = top + 1.0 + 1.6 + step * (index + 0.78)
            page.text(MARGIN_MM + TITLE_MM, y, line, size=SMALL_PT)

    return Block(high + 2.5, draw)


def signing(names: Sequence[str], paper: PaperSize) -> Block:
    """The rows to sign in, by themselves."""
    high = _signing_high(names)

    def draw(page: Page, top: float) -> None:
        _signing(page, MARGIN_MM, top + GAP_MM, paper.room_mm, high, names)

    return Block(high + GAP_MM + 0.5, draw)


def signing_strip(names: Sequence[str], paper: PaperSize) -> Block:
    """The same side by side, a box for name and date under each stage: for a page that has no room for rows."""
    count = math.ceil(len(names) / MOST_IN_STRIP)
    across = math.ceil(len(names) / count)
    wide, high = (paper.room_mm - TITLE_MM) / across, SIGN_HEAD_MM + SIGN_ROW_MM

    def draw(page: Page, top: float) -> None:
        top += STRIP_GAP_MM
        page.text(MARGIN_MM, top + 3.7, "signed off:", size=SMALL_PT)
        page.text(MARGIN_MM, top + SIGN_HEAD_MM + 4.9, "name, date", size=SMALL_PT)
        for index, name in enumerate(names):
            x, y = MARGIN_MM + TITLE_MM + index % across * wide, top + index // across * high
            page.box(x, y, wide, high)
            page.line(x, y + SIGN_HEAD_MM, x + wide, y + SIGN_HEAD_MM, THIN)
            page.text(x + 1.6, y + 3.8, name, size=BODY_PT, room=wide - 3)

    return Block(count * high + STRIP_GAP_MM, draw)


def _signing_high(names: Sequence[str]) -> float:
    return SIGN_HEAD_MM + SIGN_ROW_MM * len(names)


def _points_in(cautions: Sequence[str], wide: float) -> list[list[str]]:
    return [wrapped(words, BODY, SMALL_PT, wide - 16) for words in cautions]


def _points_high(lines: list[list[str]]) -> float:
    return 11.0 + sum(len(each) for each in lines) * leading_mm(SMALL_PT)


def _care(page: Page, top: float, wide: float, high: float, lines: list[list[str]]) -> None:
    _striped(page, top, wide, high)
    page.text(MARGIN_MM + 7, top + 5.2, "Take care", HEAD, 11)
    _points(page, top + 9.8, lines)


def _striped(page: Page, top: float, wide: float, high: float) -> None:
    page.box(MARGIN_MM, top, wide, high)
    page.pattern(MARGIN_MM, top, EDGE_MM, high, "take-care", 0.8)
    page.line(MARGIN_MM + EDGE_MM, top, MARGIN_MM + EDGE_MM, top + high)


def _points(page: Page, y: float, lines: list[list[str]]) -> None:
    for each in lines:
        page.text(MARGIN_MM + 7.4, y, "•", size=SMALL_PT)
        for line in each:
            page.text(MARGIN_MM + 10.2, y, line, size=SMALL_PT)
            y += leading_mm(SMALL_PT)


def _signing(page: Page, x: float, top: float, wide: float, high: float, names: Sequence[str]) -> None:
    """Rows to sign in: who, and when."""
    page.box(x, top, wide, high)
    first, second = x + wide * 0.36, x + wide * 0.74
    for column, head in ((x, "signed off"), (first, "name"), (second, "date")):
        page.text(column + 1.6, top + 3.7, head, size=SMALL_PT)
    step = (high - SIGN_HEAD_MM) / len(names)
    for index, name in enumerate(names):
        y = top + SIGN_HEAD_MM + index * step
        page.line(x, y, x + wide, y, LINE)
        page.text(x + 1.6, y + step / 2 + 1.0, name, size=BODY_PT, room=first - x - 2.5)
    for column in (first, second):
        page.line(column, top, column, top + high, THIN)
