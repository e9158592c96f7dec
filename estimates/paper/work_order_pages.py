"""How a work order goes over its pages: all that the bench needs on one, or else what is drawn first and the table after.

Cautions always stand on the first page. Where one page does not hold drawings, table and the rows to sign in, the
drawings have the first page with the cautions, and the table goes on the next with all that is written in by hand.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from estimates.paper import care, stage_table
from estimates.paper import work_order_parts as parts
from estimates.paper.blocks import ROUNDING_MM, Block, Placed, stack
from estimates.paper.page import PaperSize
from estimates.paper.values import WorkOrder

FIRST_TOP_MM = 52.6  # under the strip of facts of the first page
NEXT_TOP_MM = 28.5  # under the head of the pages after it
FOOT_TOP_MM = 10.5  # kept free at the foot
Pages = list[list[Placed]]


def laid_out(order: WorkOrder, paper: PaperSize) -> Pages:
    """Every block with its place, page by page."""
    notes, photos = parts.notes(order, paper), parts.photos(order, paper)
    for here, after in (([*notes, *photos], []), (notes, photos), ([], [*notes, *photos])):
        for short in (False, True):
            if blocks := _one_page(order, paper, here, short):
                return stack([*blocks, *after], FIRST_TOP_MM, NEXT_TOP_MM, _bottom(paper))
    return _drawn_then_table(order, paper, notes, photos)


def _bottom(paper: PaperSize) -> float:
    return paper.height_mm - FOOT_TOP_MM


def _high(blocks: Sequence[Block]) -> float:
    return sum(block.high for block in blocks)


def _names(order: WorkOrder) -> list[str]:
    return [*(stage.name for stage in order.stages), "Collected"]


def _one_page(order: WorkOrder, paper: PaperSize, here: Sequence[Block], short: bool) -> list[Block]:
    """Everything with ``here`` at its end, as it fits the first page; nothing where it does not.

    The drawings give way first; what is left over makes the rows to write in taller. ``short`` has the cautions as
    running words, and the boxes to sign in side by side.
    """
    refusal, *sections = parts.to_know_first(order, paper, short=short)
    above = [*refusal, *parts.over_the_table(order, paper)]
    minded, names = _joined(sections), _names(order)
    under = (
        [care.short_care(order.cautions, paper), *minded, care.signing_strip(names, paper)]
        if short
        else [care.care_and_signing(order.cautions, names, paper), *minded]
    )
    room = _bottom(paper) - FIRST_TOP_MM
    words = _high([*above, *stage_table.blocks(order, paper), *under, *here])
    drawn = parts.drawings(order, paper, room - words)
    spare = room - words - _high(drawn)
    if spare < -ROUNDING_MM:
        return []
    rows = stage_table.blocks(order, paper, stage_table.row_height(order, spare))
    return [*drawn, *above, *rows, *under, *here]


def _joined(sections: Sequence[Sequence[Block]]) -> list[Block]:
    return [block for section in sections for block in section]


def _drawn_then_table(
    order: WorkOrder, paper: PaperSize, notes: Sequence[Block], photos: Sequence[Block]
) -> Pages:
    """Drawings, cautions and what is to be minded on the first page; then the table with the rows to sign in.

    Photos go on the first page where there is room left for all of them, else on the last.
    """
    sections = parts.to_know_first(order, paper)
    room = _bottom(paper) - FIRST_TOP_MM + ROUNDING_MM
    blocks = next((made for made in _drawn(order, paper) if _high(made) <= room), [])
    blocks = blocks or [care.short_care(order.cautions, paper), *parts.drawings(order, paper, room)]
    while sections and _high([*blocks, *sections[0]]) <= room:
        blocks += sections.pop(0)
    if not sections and _high([*blocks, *photos]) <= room:
        blocks, photos = [*blocks, *photos], []
    above = [*_joined(sections), *parts.over_the_table(order, paper)]
    first = stack(blocks, FIRST_TOP_MM, NEXT_TOP_MM, _bottom(paper))
    rest = _table(order, paper, above, [*notes, *photos])
    return [*first, *stack(rest, NEXT_TOP_MM, NEXT_TOP_MM, _bottom(paper))]


def _drawn(order: WorkOrder, paper: PaperSize) -> Iterator[list[Block]]:
    """Drawings and cautions: the cautions point by point, or as running words where there is no room for that."""
    minded = _high(_joined(parts.to_know_first(order, paper)))
    room = _bottom(paper) - FIRST_TOP_MM
    for box, more in ((care.care, minded), (care.care, 0.0), (care.short_care, 0.0)):
        said = box(order.cautions, paper)
        yield [*parts.drawings(order, paper, room - said.high - more), said]


def _table(order: WorkOrder, paper: PaperSize, above: Sequence[Block], last: Sequence[Block]) -> list[Block]:
    """What stands over the table, the table, and where it is signed, never parted from its last rows.

    It is signed side by side where that spares a page.
    """
    whole = _bottom(paper) - NEXT_TOP_MM
    placed = stack(above, NEXT_TOP_MM, NEXT_TOP_MM, _bottom(paper))[-1]
    left = _bottom(paper) - (placed[-1][0] + placed[-1][1].high if placed else NEXT_TOP_MM)
    told = _high([*stage_table.blocks(order, paper), *last])
    signing = care.signing(_names(order), paper)
    if told + signing.high > left:
        strip = care.signing_strip(_names(order), paper)
        signing = strip if told + strip.high <= left else signing
    row = stage_table.row_height(order, left - told - signing.high)
    return [*above, *stage_table.blocks(order, paper, row, left, whole, signing.high), signing, *last]
