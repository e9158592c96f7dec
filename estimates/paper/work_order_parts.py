"""The parts of a work order: its heads, and the blocks that are stacked under them."""

from __future__ import annotations

from collections.abc import Sequence

from estimates.paper.blocks import BODY_PT, GAP_MM, SMALL_PT, Block, beside_head, section
from estimates.paper.codes import draw_code
from estimates.paper.letters import BODY, HEAD, STRONG, fitting, leading_mm, width_mm, wrapped
from estimates.paper.page import LINE, MARGIN_MM, PX_MM, THICK, Page, PaperSize, scene_size_mm
from estimates.paper.pictures import PICTURE_HIGH, picture_rows
from estimates.paper.values import Fact, Note, WorkOrder
from jobs.drawings.rule import check_rule
from jobs.drawings.scene import Scene

CHECK_MM, CHECK_IN = 140.0, 5
CODE_MM = 25.0
HAND_MM = (31.0, 19.0)
NAME_PT = (11.5, 10.5, 9.5, 8.6, 7.5)  # on two lines
FACT_PT = (9.0, 8.6, 8.2, 7.8, 7.4, 7.0, 6.6)
BELOW_MM = 1.0  # under the drawings
SCALES = (1.0, 0.97, 0.94, 0.91, 0.88, 0.85, 0.834)  # 7.5 points: smaller lettering is not read at the bench
BESIDE_MM = 125.0  # a tall blank's pattern, with the view at its right


def draw_check_rule(page: Page, units: str) -> None:
    """A true 140 mm rule along the top edge, or 5 in where the shop works in inches."""
    length = CHECK_MM if units == "mm" else CHECK_IN * 25.4
    rule = check_rule(length, "in" if units == "in" else "mm")
    page.scene(rule, MARGIN_MM - 0.5, 6.0)
    x = MARGIN_MM + length + 3
    first, _, second = rule.description.partition(". ")
    page.text(x, 9.0, f"{first}.", size=SMALL_PT, room=page.right - x)
    page.text(x, 12.4, second, size=SMALL_PT, room=page.right - x)


def draw_head(page: Page, order: WorkOrder) -> None:
    """Mark, name, whose it is, the hand in a box, the code."""
    code_x = page.right - CODE_MM + 2.5
    draw_code(page, code_x, 13.2, CODE_MM, order.address)
    page.text(code_x + CODE_MM / 2, 13.2 + CODE_MM + 0.8, order.code, size=SMALL_PT, anchor="middle")
    room = code_x - MARGIN_MM - 2
    if order.hand:
        room -= HAND_MM[0] + 4
        _hand_box(page, code_x - HAND_MM[0] - 1, 17.2, order)
    wide = page.text(MARGIN_MM, 26.5, order.mark, STRONG, 27, room=room * 0.45, least=12)
    left, beside = MARGIN_MM + wide + 5, room - wide - 5
    page.text(left, 19.6, "Work order", size=BODY_PT)
    _name(page, left, beside, order.name)
    size = fitting(order.job, BODY, BODY_PT, room, 7.0)
    size = size if len(wrapped(order.job, BODY, size, room)) == 1 else 6.4
    page.paragraph(MARGIN_MM, 34.0, order.job, room, size=size)
    due = ". ".join(part for part in (order.due, order.pair) if part)
    page.text(MARGIN_MM, 39.2, due, STRONG, BODY_PT, room=room)


def _name(page: Page, left: float, room: float, name: str) -> None:
    """The name as large as it fits on one line, or smaller on two; on more only where letters would be dust."""
    size = fitting(name, HEAD, 18, room, 13)
    if len(wrapped(name, HEAD, size, room)) > 1:
        size = next((one for one in NAME_PT if len(wrapped(name, HEAD, one, room)) < 3), NAME_PT[-1])
    lines = wrapped(name, HEAD, size, room)
    y = 26.5 if len(lines) == 1 else 24.4
    for line in lines:
        page.text(left, y, line, HEAD, size)
        y += leading_mm(size) * 0.88


def _hand_box(page: Page, x: float, y: float, order: WorkOrder) -> None:
    wide, high = HAND_MM
    page.box(x, y, wide, high, THICK)
    page.text(x + wide / 2, y + 6.9, order.hand, STRONG, 16, "middle")
    for index, words in enumerate(order.hand_words):
        page.text(x + wide / 2, y + 11.6 + index * 4.1, words, STRONG, BODY_PT, "middle", room=wide - 4)


def draw_facts(page: Page, facts: Sequence[Fact]) -> None:
    """The strip of figures between two lines, each cell as wide as what it holds; where that is too much in all, every
    figure is written smaller alike.
    """
    top, bottom = 41.6, 51.8
    page.line(MARGIN_MM, top, page.right, top, LINE)
    page.line(MARGIN_MM, bottom, page.right, bottom, LINE)
    room, apart = page.right - MARGIN_MM, 3.0
    size = next(
        (size for size in FACT_PT if sum(_cells(facts, size)) + apart * len(facts) <= room), FACT_PT[-1]
    )
    cells = _cells(facts, size)
    spare = (room - sum(cells)) / len(facts)
    x = MARGIN_MM
    for fact, wide in zip(facts, cells, strict=True):
        cell = wide + spare
        page.text(x, top + 4.0, fact.name, BODY, min(SMALL_PT, size), room=cell - 1)
        page.text(x, top + 8.3, fact.value, STRONG, size, room=cell - 1, least=4.5)
        x += cell


def _cells(facts: Sequence[Fact], size: float) -> list[float]:
    return [
        max(width_mm(fact.value, STRONG, size), width_mm(fact.name, BODY, min(SMALL_PT, size)))
        for fact in facts
    ]


def draw_next_head(page: Page, order: WorkOrder) -> None:
    """The head of the pages after the first: enough to know a loose sheet by."""
    wide = page.text(MARGIN_MM, 23.0, order.mark, STRONG, 15)
    hand = f" {order.hand}" if order.hand else ""
    end = page.right - page.text(page.right, 23.0, hand, STRONG, 15, "end")
    page.text(MARGIN_MM + wide + 4, 23.0, order.name, HEAD, 13, room=end - MARGIN_MM - wide - 8, least=6)
    page.line(MARGIN_MM, 27.0, page.right, 27.0, LINE)


def to_know_first(order: WorkOrder, paper: PaperSize, *, short: bool = False) -> list[list[Block]]:
    """What is minded before the first blow, a heading with its words at a time; ``short`` has it beside its heads."""
    mind, note = ("Mind this", "Note") if short else ("Mind this about the shape", "Note on the panel")
    told = beside_head if short else section
    return [
        section(paper, "This shape cannot be made as it stands.", [order.refusal]),
        told(paper, mind, order.warnings),
        told(paper, note, [order.note]),
    ]


def over_the_table(order: WorkOrder, paper: PaperSize) -> list[Block]:
    """What is read with the table's figures."""
    return [
        *section(paper, "What the readings and the first hand changed", order.corrected),
        *section(paper, "Also read", order.also_read),
    ]


def photos(order: WorkOrder, paper: PaperSize) -> list[Block]:
    return [Block(PICTURE_HIGH, row) for row in picture_rows(order.pictures, paper.room_mm, columns=3)]


# Drawings


def drawings(order: WorkOrder, paper: PaperSize, room_mm: float) -> list[Block]:
    """The pattern over section and view; a tall blank's pattern beside view and section.

    They give way, a little, to what is to go on the same page.
    """
    if order.pattern is None or order.section is None or order.side is None:
        return []
    made = _beside if order.is_tall else _stacked
    tried = (made(order, paper, scale) for scale in SCALES)
    return [next((block for block in tried if block.high <= room_mm), made(order, paper, SCALES[-1]))]


def _stacked(order: WorkOrder, paper: PaperSize, scale: float) -> Block:
    scale = min(scale, paper.room_mm / (order.pattern.width * PX_MM))
    above = scene_size_mm(order.pattern, scale)[1]
    half = (paper.room_mm - 4) / 2
    high = max(scene_size_mm(one, _within(one, half, scale))[1] for one in (order.section, order.side))

    def draw(page: Page, top: float) -> None:
        page.scene(order.pattern, MARGIN_MM, top, scale)
        page.scene(order.section, MARGIN_MM, top + above, _within(order.section, half, scale))
        page.scene(order.side, MARGIN_MM + half + 4, top + above, _within(order.side, half, scale))

    return Block(above + high + BELOW_MM, draw)


def _beside(order: WorkOrder, paper: PaperSize, scale: float) -> Block:
    """A tall pattern with view and section at its right, one over the other."""
    left = MARGIN_MM + BESIDE_MM + 3
    room = paper.width_mm - MARGIN_MM - left
    left_scale = _within(order.pattern, BESIDE_MM, scale)
    side_scale, section_scale = _within(order.side, room, scale), _within(order.section, room, scale)
    above = scene_size_mm(order.side, side_scale)[1] + BELOW_MM

    def draw(page: Page, top: float) -> None:
        page.scene(order.pattern, MARGIN_MM, top, left_scale)
        page.scene(order.side, left, top, side_scale)
        page.scene(order.section, left, top + above, section_scale)

    right_high = above + scene_size_mm(order.section, section_scale)[1]
    return Block(max(scene_size_mm(order.pattern, left_scale)[1], right_high) + BELOW_MM, draw)


def _within(scene: Scene, room: float, scale: float) -> float:
    return min(scale, room / (scene.width * PX_MM))


# Words


def notes(order: WorkOrder, paper: PaperSize) -> list[Block]:
    """Each note a block of its own, so that a long row of them runs on over pages."""
    return [
        _note(note, paper, "Notes from the bench" if index == 0 else "")
        for index, note in enumerate(order.notes)
    ]


def _note(note: Note, paper: PaperSize, head: str) -> Block:
    lines = wrapped(note.text, BODY, BODY_PT, paper.room_mm - 34)
    above = GAP_MM + 6 if head else 0.0
    high = above + max(2, len(lines)) * leading_mm(BODY_PT) + 3

    def draw(page: Page, top: float) -> None:
        if head:
            page.text(MARGIN_MM, top + GAP_MM + 4, head, HEAD, 11)
        y = top + above + 4
        page.text(MARGIN_MM, y, note.by, size=SMALL_PT, room=31)
        if note.repeat:
            page.text(MARGIN_MM, y + 3.8, "repeat on other hand", STRONG, SMALL_PT, room=31)
        for line in lines:
            page.text(MARGIN_MM + 34, y, line, size=BODY_PT)
            y += leading_mm(BODY_PT)

    return Block(high, draw)
