"""The table of a work order: stages, their passes, what to measure, and empty cells to write in."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from estimates.paper.blocks import BODY_PT, ROUNDING_MM, SMALL_PT, Block
from estimates.paper.letters import BODY, HEAD, STRONG, width_mm
from estimates.paper.page import LINE, MARGIN_MM, THIN, Page, PaperSize
from estimates.paper.values import Row, StageBlock, WorkOrder

ROW_MM, TALLEST_ROW_MM = 8.0, 9.5  # a figure is written by hand into each; taller where the page has room
HEAD_MM = 9.0
STRIP_MM = 4.2
LEAST_ROWS = 2  # of a stage at the foot of a page, and over what is kept with the table's end
TICK_MM = 5.0


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the columns stand, from the left edge; figures end at theirs."""

    stage: float
    number: float
    words: float
    spacing: float
    gauge: float
    edge: float
    cells: tuple[float, ...]
    right: float
    row: float

    @classmethod
    def of(cls, paper: PaperSize, row_mm: float) -> Columns:
        right = paper.width_mm - MARGIN_MM
        cells = tuple(right - back for back in (64.5, 49.5, 34.5, 21.5, 9.0))
        edge = cells[0] - 1.6
        return cls(
            MARGIN_MM + 6, MARGIN_MM + 29.5, MARGIN_MM + 33.5, edge - 36.2, edge - 19.5, edge, cells, right, row_mm,
        )  # fmt: skip


def row_height(order: WorkOrder, spare_mm: float) -> float:
    """How high the rows may be where so much of the page is left."""
    count = sum(len(stage.rows) for stage in order.stages)
    return min(TALLEST_ROW_MM, ROW_MM + max(0.0, spare_mm) / count) if count else ROW_MM


def blocks(
    order: WorkOrder,
    paper: PaperSize,
    row_mm: float = ROW_MM,
    room_mm: float = math.inf,
    next_room_mm: float = math.inf,
    end_mm: float = 0.0,
) -> Iterator[Block]:
    """The stages, each a block, with the table's head over the first of a page.

    A stage that goes over the end of the first page, where ``room_mm`` are left, or of a further one with
    ``next_room_mm``, is parted there. The last rows keep room for the ``end_mm`` that follow the table.
    """
    columns = Columns.of(paper, row_mm)
    fitting = [_rows_in(room, row_mm) for room in (room_mm, next_room_mm)]
    parts = list(_cut(order.stages, *fitting, math.ceil(end_mm / row_mm)))
    for number, (stage, rows, goes_on, is_first) in enumerate(parts, start=1):
        head = HEAD_MM if is_first else 0.0

        def draw(page: Page, top: float, stage=stage, rows=rows, goes_on=goes_on, head=head) -> None:
            if head:
                _draw_head(page, top, columns, order)
            _draw_stage(page, top + head, columns, stage, rows, goes_on)

        keeps = end_mm > 0 and number == len(parts)
        yield Block(head + len(rows) * row_mm, draw, keeps_next=keeps)


def _rows_in(room_mm: float, row_mm: float) -> float:
    return math.floor((room_mm - HEAD_MM) / row_mm + ROUNDING_MM) if math.isfinite(room_mm) else math.inf


def _cut(
    stages: Sequence[StageBlock], first: float, further: float, end: int
) -> Iterator[tuple[StageBlock, Sequence[Row], bool, bool]]:
    """Each stage, or its parts: its rows, whether it began on an earlier page, whether it is the first of its page.

    What follows the table is as high as ``end`` rows, and some of the last stage's rows stand over it.
    """
    left, is_first = first, True
    for stage in stages:
        start, last = 0, stage is stages[-1]
        while start < len(stage.rows):
            coming = len(stage.rows) - start
            count = _here(coming, left, end if last else 0)
            if not count:
                left, is_first = max(further, LEAST_ROWS), True
                count = _here(coming, left, end if last else 0) or min(coming, left)
            yield stage, stage.rows[start : start + int(count)], start > 0, is_first
            left, is_first = left - count, False
            start += int(count)


def _here(coming: int, left: float, end: int) -> float:
    """How many of the rows that are coming go on a page with room for ``left``; none where they are too few."""
    count = min(coming, left)
    if count == coming and left - coming < end:
        count = coming - LEAST_ROWS
    return count if count >= min(coming, LEAST_ROWS) else 0


def _draw_head(page: Page, top: float, columns: Columns, order: WorkOrder) -> None:
    first, second = top + 4.0, top + 7.4
    heads = (
        (columns.stage, "stage,", "hours", "start"),
        (columns.number, "", "pass", "end"),
        (columns.words, "line to work,", order.noun, "start"),
        (columns.spacing, "", "apart", "end"),
        (columns.gauge, order.gauge_head, "then", "end"),
        (columns.edge, "edge on", "the tape", "end"),
    )
    for x, above, below, anchor in heads:
        page.text(x, first, above, BODY, SMALL_PT, anchor)
        page.text(x, second, below, BODY, SMALL_PT, anchor)
    ends = (*columns.cells[1:], columns.right)
    names = (("meas.", order.gauge_head), ("meas.", "edge"), ("", "hours"), ("", "by"), ("", "done"))
    for left, right, (above, below) in zip(columns.cells, ends, names, strict=True):
        page.text((left + right) / 2, first, above, BODY, SMALL_PT, "middle")
        page.text((left + right) / 2, second, below, BODY, SMALL_PT, "middle", room=right - left - 1)
    page.line(MARGIN_MM, top + HEAD_MM, columns.right, top + HEAD_MM, LINE)


def _draw_stage(
    page: Page, top: float, columns: Columns, stage: StageBlock, rows: Sequence[Row], goes_on: bool
) -> None:
    step = columns.row
    high = len(rows) * step
    page.pattern(MARGIN_MM, top, STRIP_MM, high, stage.slug, 0.75)
    page.box(MARGIN_MM, top, STRIP_MM, high)
    room = columns.number - columns.stage - 6.5
    hours_below = len(rows) > 1
    name = f"{stage.name}, on" if goes_on else stage.name
    page.text(columns.stage, top + step / 2 + 1.4, name, HEAD, 10.5, room=room)
    if hours_below:
        page.text(columns.stage, top + step / 2 + 5.3, stage.hours, BODY, BODY_PT, room=room)
    for index, row in enumerate(rows):
        _draw_row(page, top + index * step, columns, row, hours="" if hours_below else stage.hours)
        if index:
            page.line(columns.number - 5.5, top + index * step, columns.right, top + index * step, THIN)
    for x in columns.cells:
        page.line(x, top, x, top + high, THIN)
    page.line(MARGIN_MM, top + high, columns.right, top + high, LINE)


def _draw_row(page: Page, top: float, columns: Columns, row: Row, hours: str) -> None:
    y = top + columns.row / 2 + 1.2
    words = ", ".join(part for part in (row.words, hours) if part)
    page.text(columns.number, y, row.number, STRONG, BODY_PT, "end")
    beside = width_mm(row.spacing, BODY, BODY_PT) + 2 if row.spacing else -6
    room = columns.spacing - columns.words - beside
    page.text(columns.words, y, words, BODY, BODY_PT, room=room)
    page.text(columns.spacing, y, row.spacing, BODY, BODY_PT, "end")
    page.text(columns.gauge, y, row.gauge, STRONG, BODY_PT, "end", room=14)
    page.text(columns.edge, y, row.edge, STRONG, BODY_PT, "end", room=16.5)
    _draw_held(page, y, columns, row)
    middle = (columns.cells[-1] + columns.right) / 2
    page.box(middle - TICK_MM / 2, top + columns.row / 2 - TICK_MM / 2, TICK_MM, TICK_MM)
    if row.is_done:
        _tick(page, middle, top + columns.row / 2)


def _draw_held(page: Page, y: float, columns: Columns, row: Row) -> None:
    """What is in the book already stands in its cell; an empty one is for the pencil."""
    held = ((0, row.gauge_read), (1, row.edge_read), (3, row.by))
    for cell, words in held:
        left, right = columns.cells[cell], columns.cells[cell + 1]
        page.text((left + right) / 2, y, words, BODY, BODY_PT, "middle", room=right - left - 1)


def _tick(page: Page, x: float, y: float) -> None:
    """A drawn tick: the letters have none."""
    page.line(x - 1.5, y + 0.1, x - 0.3, y + 1.3, LINE)
    page.line(x - 0.3, y + 1.3, x + 1.7, y - 1.4, LINE)
