"""The cover sheet of a job's work orders: what is in the set, and what to cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from estimates.paper.document import Document, Draw, Imprint
from estimates.paper.letters import BODY, HEAD, STRONG, wrapped
from estimates.paper.page import LINE, MARGIN_MM, THIN, Page
from estimates.paper.work_order_parts import draw_check_rule
from shop.figures import counted

ROW_MM = 9.2
FIRST_ROW_MM = 62.0
NEXT_ROW_MM = 34.0


@dataclass(frozen=True, slots=True)
class CoverRow:
    """One panel of the set."""

    mark: str
    name: str
    sheet: str
    blank: str
    hand: str
    hours: str
    code: str


@dataclass(frozen=True, slots=True)
class Cover:
    """What the cover sheet says."""

    number: str
    title: str
    customer: str
    due: str
    note: str
    rows: tuple[CoverRow, ...]
    mass: str


class CoverPaper(Document):
    """A list of the job's panels with a box to tick for each."""

    def __init__(self, imprint: Imprint, cover: Cover):
        super().__init__(imprint)
        self.cover = cover
        self.title = f"Job {cover.number} {cover.title}"

    def short_title(self) -> str:
        return self.cover.number

    def pages(self) -> Sequence[Draw]:
        room = self.paper.height_mm - 16
        first = int((room - FIRST_ROW_MM) // ROW_MM)
        more = int((room - NEXT_ROW_MM) // ROW_MM)
        rows = self.cover.rows
        cuts = [rows[:first], *(rows[start : start + more] for start in range(first, len(rows), more))]
        return [self._page(index, cut) for index, cut in enumerate(cuts)]

    def _page(self, index: int, rows: Sequence[CoverRow]) -> Draw:
        def drawing(page: Page) -> None:
            draw_check_rule(page, self.imprint.units)
            top = FIRST_ROW_MM if index == 0 else NEXT_ROW_MM
            if index == 0:
                self._head(page)
            else:
                page.text(MARGIN_MM, 22.5, self.cover.number, STRONG, 15)
            self._table_head(page, top)
            for place, row in enumerate(rows):
                self._row(page, top + place * ROW_MM, row)

        return drawing

    def _head(self, page: Page) -> None:
        cover, room = self.cover, page.right - MARGIN_MM
        wide = page.text(MARGIN_MM, 26.5, cover.number, STRONG, 27)
        left = MARGIN_MM + wide + 5
        page.text(left, 19.6, "Work orders of a job", size=8.6)
        page.text(left, 26.5, cover.title, HEAD, 18, room=page.right - left, least=7)
        page.text(MARGIN_MM, 34.6, cover.customer, BODY, 8.6, room=room)
        page.text(MARGIN_MM, 40.2, cover.due, STRONG, 8.6, room=room)
        for index, line in enumerate(wrapped(cover.note, BODY, 7.5, room)[:3]):
            page.text(MARGIN_MM, 45.2 + index * 3.6, line, size=7.5)

    def _columns(self, page: Page) -> tuple[float, ...]:
        right = page.right
        return (MARGIN_MM, MARGIN_MM + 36, right - 118, right - 79, right - 45, right - 25, right - 3)

    def _table_head(self, page: Page, top: float) -> None:
        mark, name, sheet, blank, hours, code, done = self._columns(page)
        for x, head in ((mark, "panel"), (sheet, "sheet"), (blank, "blank, with trim")):
            page.text(x, top - 2.2, head, size=7.5)
        said = f"{counted(len(self.cover.rows), 'panel')}, {self.cover.mass} finished"
        page.text(name, top - 2.2, said, size=7.5)
        page.text(hours + 17, top - 2.2, "hours", size=7.5, anchor="end")
        page.text(code, top - 2.2, "code", size=7.5)
        page.text(done, top - 2.2, "done", size=7.5, anchor="middle")
        page.line(MARGIN_MM, top, page.right, top, LINE)

    def _name(self, page: Page, x: float, top: float, text: str, room: float) -> None:
        """On one line where it fits, else on smaller ones."""
        size = next(
            size for size in (9.5, 7.2, 5.6) if len(wrapped(text, HEAD, size, room)) <= 3 or size == 5.6
        )
        if len(wrapped(text, HEAD, size, room)) > 1:
            size = min(size, 7.2)
        lines = wrapped(text, HEAD, size, room)
        step = size * 0.4
        y = top + ROW_MM / 2 + size * 0.125 - step * (len(lines) - 1) / 2
        for index, line in enumerate(lines):
            page.text(x, y + index * step, line, HEAD, size)

    def _row(self, page: Page, top: float, row: CoverRow) -> None:
        mark, name, sheet, blank, hours, code, done = self._columns(page)
        y = top + 6.0
        page.text(mark, y, row.mark, STRONG, 10.5, room=name - mark - 2)
        hand = f", {row.hand}" if row.hand else ""
        self._name(page, name, top, f"{row.name}{hand}", sheet - name - 3)
        page.text(sheet, y, row.sheet, BODY, 8.6, room=blank - sheet - 3)
        page.text(blank, y, row.blank, BODY, 8.6, room=hours - blank - 4)
        page.text(hours + 17, y, row.hours, STRONG, 8.6, "end", room=18)
        page.text(code, y, row.code, BODY, 8.6, room=done - code - 3)
        page.box(done - 1.7, top + ROW_MM / 2 - 1.7, 3.4, 3.4)
        page.line(MARGIN_MM, top + ROW_MM, page.right, top + ROW_MM, THIN)
