"""A calm letter to a customer: who writes to whom, a title, rows with figures, running text."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import IO

from reportlab.lib.utils import ImageReader

from estimates.paper.blocks import BODY_PT, GAP_MM, Block, Placed, stack
from estimates.paper.document import Document, Draw, Imprint
from estimates.paper.letters import BODY, HEAD, NAME, STRONG, fitting, leading_mm, wrapped
from estimates.paper.page import LINE, THIN, Page

LEFT_MM = 22.0
NEXT_TOP_MM, FOOT_TOP_MM = 30.0, 14.0
REACH_MM = 52.0  # for the shop's address, at the right
FACTS_X_MM = 132.0
FACT_NAME_MM = 27.0
MARK_HIGH_MM = 17.0
AMOUNT_MM = 34.0


@dataclass(frozen=True, slots=True)
class Party:
    """A shop or a customer: a name and the lines of an address."""

    name: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LetterHead:
    """Who writes, to whom, about what; ``facts`` are the small figures beside the address."""

    shop: Party
    customer: Party
    title: str
    subject: str
    facts: tuple[tuple[str, str], ...]
    mark: Callable[[], IO[bytes]] | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """A line of a table: words, a quieter line under them, a figure."""

    words: str
    below: str = ""
    amount: str = ""
    strong: bool = False
    over_line: bool = False


class Letter(Document):
    """A document on the shop's letter paper. A kind of letter gives ``head`` and ``blocks``."""

    margin_mm = LEFT_MM
    head: LetterHead

    def __init__(self, imprint: Imprint, head: LetterHead):
        super().__init__(imprint)
        self.head = head
        self.title = f"{head.title} {head.subject}"

    def short_title(self) -> str:
        return self.head.title

    @property
    def room_mm(self) -> float:
        return self.paper.width_mm - 2 * LEFT_MM

    def blocks(self) -> Iterator[Block]:
        raise NotImplementedError

    def pages(self) -> Sequence[Draw]:
        bottom = self.paper.height_mm - FOOT_TOP_MM
        laid = stack(self.blocks(), self._first_top(), NEXT_TOP_MM, bottom)
        return [self._page(number, placed) for number, placed in enumerate(laid)]

    def _page(self, number: int, placed: Sequence[Placed]) -> Draw:
        def drawing(page: Page) -> None:
            if number == 0:
                self._first_head(page)
            else:
                page.text(LEFT_MM, 20.0, self.head.title, HEAD, 11)
                page.text(page.width_mm - LEFT_MM, 20.0, self.head.subject, NAME, 9, "end", room=100)
                page.line(LEFT_MM, 23.5, page.width_mm - LEFT_MM, 23.5, THIN)
            for top, block in placed:
                block.draw(page, top)

        return drawing

    # The head

    def _address(self) -> list[str]:
        room = FACTS_X_MM - LEFT_MM - 8
        return [line for text in self.head.customer.lines for line in wrapped(text, BODY, BODY_PT, room)]

    def _customer_name(self) -> list[str]:
        return wrapped(self.head.customer.name, HEAD, 11, FACTS_X_MM - LEFT_MM - 8)

    def _reach(self) -> list[str]:
        return [line for text in self.head.shop.lines for line in wrapped(text, BODY, 7.5, REACH_MM)]

    def _head_bottom(self) -> float:
        """Where the line under the shop's own lines stands: lower for a long address."""
        return max(33.0, 16.0 + len(self._reach()) * leading_mm(7.5))

    def _address_top(self) -> float:
        return self._head_bottom() + 14.0

    def _first_top(self) -> float:
        return self._address_top() + 51.0 + self._more_address()

    def _more_address(self) -> float:
        """How far a long address pushes the letter down."""
        lines = len(self._address()) + 1.3 * len(self._customer_name())
        subject = len(wrapped(self.head.subject, HEAD, 17, self.room_mm)) - 1
        return max(0.0, (lines - 6.5) * leading_mm(BODY_PT)) + subject * 7.5

    def _first_head(self, page: Page) -> None:
        self._shop(page)
        self._facts(page)
        y = self._address_top()
        for line in self._customer_name():
            page.text(LEFT_MM, y, line, HEAD, 11)
            y += 5.0
        for line in self._address():
            page.text(LEFT_MM, y, line, BODY, BODY_PT)
            y += leading_mm(BODY_PT)
        subjects = wrapped(self.head.subject, HEAD, 17, self.room_mm)
        y = self._first_top() - 8.0 - (len(subjects) - 1) * 7.5
        page.text(LEFT_MM, y - 8.5, self.head.title, BODY, 10)
        for line in subjects:
            page.text(LEFT_MM, y, line, HEAD, 17)
            y += 7.5

    def _shop(self, page: Page) -> None:
        """Mark and name at the left, how to reach the shop at the right, a line under both."""
        left = LEFT_MM
        if mark := _image(self.head.mark):
            left += page.image(LEFT_MM, 13.0, 32.0, MARK_HIGH_MM, mark)[0] + 5
        right = page.width_mm - LEFT_MM
        room = right - REACH_MM - 4 - left
        size = fitting(self.head.shop.name, HEAD, 19, room, 13)
        lines = wrapped(self.head.shop.name, HEAD, size, room)
        while len(lines) > 3:
            size -= 0.5
            lines = wrapped(self.head.shop.name, HEAD, size, room)
        for index, line in enumerate(lines):
            page.text(left, 24.0 - (len(lines) - 1) * 3 + index * size * 0.42, line, HEAD, size)
        y = 16.0
        for line in self._reach():
            page.text(right, y, line, BODY, 7.5, "end")
            y += leading_mm(7.5)
        bottom = self._head_bottom()
        page.line(LEFT_MM, bottom, right, bottom, LINE)
        page.line(LEFT_MM, bottom + 0.9, right, bottom + 0.9, THIN)

    def _facts(self, page: Page) -> None:
        y = self._address_top()
        for name, value in self.head.facts:
            page.text(FACTS_X_MM, y, name, BODY, 7.5, room=FACT_NAME_MM - 2)
            room = page.width_mm - LEFT_MM - FACTS_X_MM - FACT_NAME_MM
            page.text(FACTS_X_MM + FACT_NAME_MM, y, value, STRONG, BODY_PT, room=room, least=5)
            y += leading_mm(BODY_PT) + 0.6

    # Blocks of letters

    def row(self, row: Row) -> Block:
        """A row of a table: words at the left, the figure at the right, a hair line under it."""
        font, size = (HEAD, 11.0) if row.strong else (BODY, 9.2)
        lines = wrapped(row.words, font, size, self.room_mm - AMOUNT_MM)
        below = wrapped(row.below, BODY, 7.5, self.room_mm - AMOUNT_MM) if row.below else []
        high = len(lines) * leading_mm(size) + len(below) * leading_mm(7.5) + 3.4

        def draw(page: Page, top: float) -> None:
            right = page.width_mm - LEFT_MM
            if row.over_line:
                page.line(LEFT_MM, top, right, top, LINE)
            first = y = top + 1.7 + leading_mm(size) * 0.76
            for line in lines:
                page.text(LEFT_MM, y, line, font, size)
                y += leading_mm(size)
            for line in below:
                page.text(LEFT_MM, y - 0.4, line, BODY, 7.5)
                y += leading_mm(7.5)
            # Last, so that whoever hears the page read hears what the figure is of before the figure.
            page.text(right, first, row.amount, STRONG, size, "end", room=AMOUNT_MM - 3)
            if not row.strong:
                page.line(LEFT_MM, top + high, right, top + high, THIN)

        return Block(high, draw)

    def heading(self, text: str, figure: str = "") -> Block:
        """A heading over a table, what its figures are at the right; an ink line under both."""

        def draw(page: Page, top: float) -> None:
            right = page.width_mm - LEFT_MM
            page.text(LEFT_MM, top + GAP_MM + 4.5, text, HEAD, 11)
            page.text(right, top + GAP_MM + 4.5, figure, BODY, 7.5, "end")
            page.line(LEFT_MM, top + GAP_MM + 6.6, right, top + GAP_MM + 6.6, LINE)

        return Block(GAP_MM + 6.6, draw, keeps_next=True)

    def words(self, text: str, size: float = 9.2, font: str = BODY) -> list[Block]:
        """Running text, a block a line, an empty line for each blank one."""
        if not text.strip():
            return []
        step = leading_mm(size) * 1.06

        def line_block(line: str) -> Block:
            return Block(step, lambda page, top: _write(page, top + step * 0.76, line, font, size))

        return [line_block(line) for line in wrapped(text.strip(), font, size, self.room_mm)]

    def space(self, high: float = 5.0) -> Block:
        return Block(high, lambda _page, _top: None)

    def signature(self, left: str, right: str) -> Block:
        """Two lines to sign on."""

        def draw(page: Page, top: float) -> None:
            for x, said in ((LEFT_MM, left), (LEFT_MM + self.room_mm * 0.55, right)):
                page.line(x, top + 16, x + self.room_mm * 0.42, top + 16, LINE)
                page.text(x, top + 20.5, said, BODY, 7.5, room=self.room_mm * 0.42)

        return Block(24.0, draw)


def _write(page: Page, y: float, line: str, font: str, size: float) -> None:
    page.text(LEFT_MM, y, line, font, size)


def _image(opened: Callable[[], IO[bytes]] | None) -> ImageReader | None:
    """The shop's mark; nothing where it was taken away."""
    if opened is None:
        return None
    try:
        return ImageReader(opened())
    except OSError:
        return None
