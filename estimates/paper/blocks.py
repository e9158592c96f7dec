"""Blocks that are stacked down the pages of a document."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from estimates.paper.letters import BODY, HEAD, leading_mm, wrapped
from estimates.paper.page import MARGIN_MM, Page, PaperSize

ROUNDING_MM = 0.01
GAP_MM = 3.5
BODY_PT, SMALL_PT, HEAD_PT = 8.6, 7.5, 11.0
HEAD_HIGH_MM = GAP_MM + 6.0
TITLE_MM = 27.0  # for a title at the left of its words


@dataclass(frozen=True, slots=True)
class Block:
    """Something with a height in millimetres that can be drawn at a place of a page.

    ``keeps_next`` holds a heading to what it stands over.
    """

    high: float
    draw: Callable[[Page, float], None]
    keeps_next: bool = False


Placed = tuple[float, Block]


def stack(blocks: Iterable[Block], first_top: float, next_top: float, bottom: float) -> list[list[Placed]]:
    """Lay blocks out down the pages, each page as full as it gets; a block higher than a page runs over it.

    Blocks that keep what follows them go over the page together; where all of them are more than a page, two by two.
    """
    pages: list[list[Placed]] = [[]]
    top = first_top
    blocks = list(blocks)
    for index, block in enumerate(blocks):
        needed = _chain_high(blocks, index)
        if needed > bottom - next_top:
            needed = block.high + (
                blocks[index + 1].high if block.keeps_next and blocks[index + 1 :] else 0.0
            )
        if top + needed > bottom + ROUNDING_MM and pages[-1]:
            pages.append([])
            top = next_top
        pages[-1].append((top, block))
        top += block.high
    return pages


def together(blocks: Sequence[Block]) -> Block:
    """Blocks that no page parts: sums that belong to one another."""

    def draw(page: Page, top: float) -> None:
        for block in blocks:
            block.draw(page, top)
            top += block.high

    return Block(sum(block.high for block in blocks), draw)


def _chain_high(blocks: Sequence[Block], index: int) -> float:
    """How high a block is with all that it keeps."""
    high = blocks[index].high
    while blocks[index].keeps_next and index + 1 < len(blocks):
        index += 1
        high += blocks[index].high
    return high


def kept(blocks: Iterable[Block]) -> list[Block]:
    """The same blocks, to go over a page together."""
    *first, last = blocks
    return [*(replace(block, keeps_next=True) for block in first), last]


def heading(text: str) -> Block:
    """A heading that stays with what follows it."""

    def draw(page: Page, top: float) -> None:
        page.text(MARGIN_MM, top + GAP_MM + 4, text, HEAD, HEAD_PT, room=page.right - MARGIN_MM)

    return Block(HEAD_HIGH_MM, draw, keeps_next=True)


def words(
    paper: PaperSize, text: str, *, size: float = BODY_PT, font: str = BODY, left: float = MARGIN_MM
) -> list[Block]:
    """Running text, a block a line, so that it runs on over pages. No text is no block."""
    if not text.strip():
        return []
    room = paper.width_mm - MARGIN_MM - left
    return [_line(line, size, font, left) for line in wrapped(text, font, size, room)]


def _line(line: str, size: float, font: str, left: float) -> Block:
    step = leading_mm(size)
    return Block(step, lambda page, top: _write(page, left, top + step * 0.78, line, font, size))


def _write(page: Page, x: float, y: float, line: str, font: str, size: float) -> None:
    page.text(x, y, line, font, size)


def section(paper: PaperSize, head: str, said: Sequence[str]) -> list[Block]:
    """A heading with paragraphs under it; nothing where there are none."""
    lines = [block for text in said for block in words(paper, text)]
    return [heading(head), *lines] if lines else []


def beside_head(paper: PaperSize, head: str, said: Sequence[str]) -> list[Block]:
    """The same with the heading small at the left of the words, which takes less height; never parted."""
    left = MARGIN_MM + TITLE_MM
    lines = [block for text in said for block in words(paper, text, left=left)]
    if not lines:
        return []
    first = Block(
        1.5,
        lambda page, top: _write(
            page, MARGIN_MM, top + 1.5 + leading_mm(BODY_PT) * 0.78, head, HEAD, BODY_PT
        ),
    )
    return [together([first, *lines])]


def space(high: float) -> Block:
    """Room between blocks."""
    return Block(high, lambda _page, _top: None)
