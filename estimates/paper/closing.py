"""The closing sheet: what was made and measured, and for the shop what it took against what was estimated."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from estimates.paper.blocks import BODY_PT, GAP_MM, SMALL_PT, Block, space, stack
from estimates.paper.document import Document, Draw, Imprint
from estimates.paper.letters import BODY, HEAD, STRONG, leading_mm, wrapped
from estimates.paper.page import LINE, MARGIN_MM, PX_MM, THIN, Page, scene_size_mm
from estimates.paper.pictures import PICTURE_HIGH, picture_rows
from estimates.paper.values import Picture
from jobs.drawings.scene import Scene

FIRST_TOP_MM, NEXT_TOP_MM, FOOT_TOP_MM = 40.0, 24.0, 11.0
ROW_MM = 5.6
PAUSE_MM = 0.9  # between a table's last line and words under it
PIECE_MM = (46.0, 22.0)  # the most a panel's small drawing takes
HEAD_MM = 21.0  # of a panel, with the lines of its name


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of words and figures; the first column is words, ``wide`` says how the others share the rest."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    wide: tuple[float, ...]
    last_strong: bool = False


@dataclass(frozen=True, slots=True)
class ClosedPanel:
    """One panel: what it is, its drawing, what was estimated and spent, what was measured."""

    mark: str
    name: str
    words: str
    drawing: Scene | None
    hours: Table | None
    readings: Table | None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ClosingSheet:
    """What a closing sheet says; the customer's has neither hours nor money."""

    number: str
    title: str
    customer: str
    dates: str
    copy: str
    panels: tuple[ClosedPanel, ...]
    money: Table | None = None
    pictures: tuple[Picture, ...] = ()
    remark: str = ""


class ClosingPaper(Document):
    """One job, closed: panel by panel, then money for the shop, then photos."""

    def __init__(self, imprint: Imprint, sheet: ClosingSheet):
        super().__init__(imprint)
        self.sheet = sheet
        self.title = f"Closing sheet {sheet.number} {sheet.title}"

    def short_title(self) -> str:
        return f"{self.sheet.number}, {self.sheet.copy}"

    def pages(self) -> Sequence[Draw]:
        bottom = self.paper.height_mm - FOOT_TOP_MM
        laid = stack(self._blocks(), FIRST_TOP_MM, NEXT_TOP_MM, bottom)
        return [self._page(number, placed) for number, placed in enumerate(laid)]

    def _page(self, number: int, placed: Sequence[tuple[float, Block]]) -> Draw:
        def drawing(page: Page) -> None:
            if number == 0:
                self._head(page)
            else:
                wide = page.text(MARGIN_MM, 16.0, self.sheet.number, STRONG, 11)
                page.text(MARGIN_MM + wide + 3, 16.0, self.sheet.title, HEAD, 11, room=page.right - wide - 20)
                page.line(MARGIN_MM, 19.0, page.right, 19.0, THIN)
            for top, block in placed:
                block.draw(page, top)

        return drawing

    def _head(self, page: Page) -> None:
        sheet = self.sheet
        page.text(page.right, 16.0, sheet.copy, STRONG, BODY_PT, "end")
        wide = page.text(MARGIN_MM, 22.0, sheet.number, STRONG, 24)
        left = MARGIN_MM + wide + 5
        page.text(left, 15.4, "Closing sheet", BODY, BODY_PT)
        page.text(left, 22.0, sheet.title, HEAD, 17, room=page.right - left, least=6)
        page.text(MARGIN_MM, 29.0, sheet.customer, BODY, BODY_PT, room=page.right - MARGIN_MM)
        page.text(MARGIN_MM, 33.6, sheet.dates, STRONG, BODY_PT, room=page.right - MARGIN_MM)
        page.line(MARGIN_MM, 36.6, page.right, 36.6, LINE)

    def _blocks(self) -> Iterator[Block]:
        for panel in self.sheet.panels:
            yield from self._panel(panel)
        if self.sheet.money:
            yield _heading("What it earned")
            yield from _table(self.sheet.money, MARGIN_MM)
        if self.sheet.remark:
            yield space(PAUSE_MM)
            yield from _paragraph(self.sheet.remark, MARGIN_MM, self.paper.room_mm)
        for index, row in enumerate(picture_rows(self.sheet.pictures, self.paper.room_mm, columns=3)):
            if index == 0:
                yield _heading("Photos")
            yield Block(PICTURE_HIGH, row)

    def _panel(self, panel: ClosedPanel) -> Iterator[Block]:
        yield _panel_head(panel)
        if panel.hours:
            yield from _table(panel.hours, MARGIN_MM)
        if panel.readings:
            yield _small_head("Measured")
            yield from _table(panel.readings, MARGIN_MM)
        for note in panel.notes:
            yield space(PAUSE_MM)
            yield from _paragraph(note, MARGIN_MM, self.paper.room_mm)


def _panel_head(panel: ClosedPanel) -> Block:
    """Mark and name, a drawing small beside them, what it is made of."""
    scene = panel.drawing
    room, most = PIECE_MM
    scale = min(room / (scene.width * PX_MM), most / (scene.height * PX_MM)) if scene else 0.0
    high = scene_size_mm(scene, scale)[1] if scene else 0.0

    def draw(page: Page, top: float) -> None:
        left = MARGIN_MM
        if scene:
            page.scene(scene, MARGIN_MM, top + 5, scale)
            left += room + 4
        wide = page.text(left, top + 12, panel.mark, STRONG, 12)
        page.text(left + wide + 3, top + 12, panel.name, HEAD, 12, room=page.right - left - wide - 3, least=5)
        page.text(left, top + 17.5, panel.words, BODY, BODY_PT, room=page.right - left)

    return Block(max(HEAD_MM, high + 5.5), draw, keeps_next=True)


def _heading(text: str) -> Block:
    return Block(
        GAP_MM + 8,
        lambda page, top: _write(page, MARGIN_MM, top + GAP_MM + 5, text, HEAD, 11),
        keeps_next=True,
    )


def _small_head(text: str) -> Block:
    return Block(
        6.0, lambda page, top: _write(page, MARGIN_MM, top + 4.4, text, STRONG, SMALL_PT), keeps_next=True
    )


def _write(page: Page, x: float, y: float, text: str, font: str, size: float) -> None:
    page.text(x, y, text, font, size)


def _paragraph(text: str, left: float, room: float) -> Iterator[Block]:
    step = leading_mm(SMALL_PT)
    for line in wrapped(text, BODY, SMALL_PT, room):
        yield Block(
            step, lambda page, top, line=line: _write(page, left, top + step * 0.78, line, BODY, SMALL_PT)
        )


def _table(table: Table, left: float) -> Iterator[Block]:
    """The head of a table and each of its rows, figures at the right of their columns."""
    yield Block(ROW_MM, _row(table, table.head, left, BODY, SMALL_PT, LINE), keeps_next=True)
    for index, row in enumerate(table.rows):
        strong = table.last_strong and index == len(table.rows) - 1
        yield Block(
            ROW_MM, _row(table, row, left, STRONG if strong else BODY, BODY_PT, LINE if strong else THIN)
        )


def _row(
    table: Table, cells: Sequence[str], left: float, font: str, size: float, under: float
) -> Callable[[Page, float], None]:
    def draw(page: Page, top: float) -> None:
        y = top + ROW_MM - 1.7
        widths = [wide * (page.right - left) / sum(table.wide) for wide in table.wide]
        x = left
        for index, (cell, wide) in enumerate(zip(cells, widths, strict=True)):
            if index == 0:
                page.text(x, y, cell, font, size, room=wide - 2, least=4)
            else:
                page.text(x + wide, y, cell, font, size, "end", room=wide - 2, least=4)
            x += wide
        page.line(left, top + ROW_MM, page.right, top + ROW_MM, under)

    return draw
