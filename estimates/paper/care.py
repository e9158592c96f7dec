"""What a work order says of dangers, and where each stage is signed off."""

from __future__ import annotations

from collections.abc import Sequence

from estimates.paper.blocks import BODY_PT, GAP_MM, SMALL_PT, Block
from estimates.paper.letters import BODY, HEAD, leading_mm, wrapped
from estimates.paper.page import LINE, MARGIN_MM, THIN, Page, PaperSize

EDGE_MM = 4.2  # the striped strip at the left of the box
CARE_SHARE = 0.64  # of the page's width, beside the rows to sign in
TITLE_MM = 27.0  # for the title at the left of the running words


def care_and_signing(cautions: Sequence[str], names: Sequence[str], paper: PaperSize) -> Block:
    """Cautions at the left, who signed each stage at the right; both as high as the taller."""
    care = paper.room_mm * CARE_SHARE
    lines = [wrapped(words, BODY, SMALL_PT, care - 16) for words in cautions]
    words_high = 11.0 + sum(len(each) for each in lines) * leading_mm(SMALL_PT)
    high = max(words_high, _signing_high(names))

    def draw(page: Page, top: float) -> None:
        _striped(page, top + GAP_MM, care, high)
        page.text(MARGIN_MM + 7, top + GAP_MM + 5.2, "Take care", HEAD, 11)
        _points(page, top + GAP_MM + 9.8, lines)
        left = MARGIN_MM + care + 5
        _signing(page, left, top + GAP_MM, page.right - left, high, names)

    return Block(high + GAP_MM + 0.5, draw)


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
        _signing(page, MARGIN_MM, top + GAP_MM, paper.room_mm * CARE_SHARE, high, names)

    return Block(high + GAP_MM + 0.5, draw)


def _signing_high(names: Sequence[str]) -> float:
    return 5.2 + 5.6 * len(names)


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
    step = (high - 5.2) / len(names)
    for index, name in enumerate(names):
        y = top + 5.2 + index * step
        page.line(x, y, x + wide, y, LINE)
        page.text(x + 1.6, y + step / 2 + 1.0, name, size=BODY_PT, room=first - x - 2.5)
    for column in (first, second):
        page.line(column, top, column, top + high, THIN)
