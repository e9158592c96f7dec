"""Labels with a code that opens its page on a phone, on the usual sheets of sticky labels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from estimates.paper.codes import draw_code
from estimates.paper.document import Document, Draw, Imprint
from estimates.paper.letters import BODY, HEAD, STRONG, leading_mm, wrapped
from estimates.paper.page import A4, LETTER, THIN, Page, PaperSize

PAD_MM = 2.0
INCH = 25.4
SIZES_PT = ((50.0, (15.0, 9.5)), (30.0, (11.5, 7.0)), (0.0, (9.0, 7.0)))
"""Mark and smallest line of labels from a height on: a large label is read from further away."""


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A sheet of labels: how many, how large, where the first begins, from one to the next; millimetres.

    The sizes are common practice, given by dimension: measure a sheet before a hundred are printed.
    """

    key: str
    paper: PaperSize
    columns: int
    rows: int
    wide: float
    high: float
    left: float
    top: float
    step_x: float
    step_y: float
    said: str

    @property
    def count(self) -> int:
        return self.columns * self.rows

    def corner(self, place: int) -> tuple[float, float]:
        """The top left corner of a label, counted from 0 along the rows."""
        row, column = divmod(place, self.columns)
        return self.left + column * self.step_x, self.top + row * self.step_y


SHEETS = {
    sheet.key: sheet
    for sheet in (
        LabelSheet("a4-24", A4, 3, 8, 70, 37, 0, 0.5, 70, 37, "A4, 3 × 8 of 70 × 37 mm"),
        LabelSheet("a4-21", A4, 3, 7, 63.5, 38.1, 7.2, 15.1, 66.0, 38.1, "A4, 3 × 7 of 63.5 × 38.1 mm"),
        LabelSheet("a4-14", A4, 2, 7, 99.1, 38.1, 4.7, 15.1, 101.6, 38.1, "A4, 2 × 7 of 99.1 × 38.1 mm"),
        LabelSheet("a4-8", A4, 2, 4, 105, 74, 0, 0.5, 105, 74, "A4, 2 × 4 of 105 × 74 mm"),
        LabelSheet(
            "letter-30", LETTER, 3, 10, 2.625 * INCH, INCH, 0.1875 * INCH, 0.5 * INCH, 2.75 * INCH, INCH,
            "Letter, 3 × 10 of 2 5/8 × 1 in",
        ),
        LabelSheet(
            "letter-10", LETTER, 2, 5, 4 * INCH, 2 * INCH, 0.15625 * INCH, 0.5 * INCH, 4.1875 * INCH, 2 * INCH,
            "Letter, 2 × 5 of 4 × 2 in",
        ),
    )
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Label:
    """What one label says: a mark, a name, a line more, and the code with its address."""

    mark: str
    name: str
    words: str
    code: str
    address: str


class LabelsPaper(Document):
    """Labels from a place of the first sheet on, so that a begun sheet is used up."""

    title = "Labels"

    def __init__(self, imprint: Imprint, sheet: LabelSheet, labels: Sequence[Label], skip: int = 0):
        super().__init__(imprint)
        self.sheet, self.labels, self.skip = sheet, tuple(labels), skip

    @property
    def size_mm(self) -> tuple[float, float]:
        return self.sheet.paper.width_mm, self.sheet.paper.height_mm

    def draw_foot(self, page: Page, number: int, count: int) -> None:
        """Labels cover the page: it has no foot."""

    def pages(self) -> Sequence[Draw]:
        places: list[Label | None] = [*[None] * self.skip, *self.labels]
        step = self.sheet.count
        return [self._page(places[start : start + step]) for start in range(0, len(places), step)]

    def _page(self, labels: Sequence[Label | None]) -> Draw:
        def drawing(page: Page) -> None:
            for place, label in enumerate(labels):
                if label is not None:
                    self._label(page, *self.sheet.corner(place), label)

        return drawing

    def _label(self, page: Page, x: float, y: float, label: Label) -> None:
        """The code at the left with its letters under it, mark and names at the right."""
        sheet = self.sheet
        side = min(sheet.high - 2 * PAD_MM - 3.0, sheet.wide * 0.36)
        top = y + (sheet.high - side - 3.0) / 2
        draw_code(page, x + PAD_MM, top, side, label.address)
        page.text(x + PAD_MM + side / 2, top + side + 1.4, label.code, BODY, 7, "middle", room=side)
        left = x + PAD_MM + side + 1.5
        room = x + sheet.wide - PAD_MM - left
        self._words(page, left, y, room, label)

    def _words(self, page: Page, x: float, y: float, room: float, label: Label) -> None:
        size, small = next(sizes for least, sizes in SIZES_PT if self.sheet.high >= least)
        lines = [(label.mark, STRONG, size)]
        for text, font, one in ((label.name, HEAD, size - 1), (label.words, BODY, small)):
            lines += [(line, font, one) for line in _at_most(text, font, one, room, 2)]
        high = sum(leading_mm(one) for _, _, one in lines)
        top = y + max(PAD_MM, (self.sheet.high - high) / 2)
        for text, font, one in lines:
            page.text(x, top + leading_mm(one) * 0.74, text, font, one, room=room, least=3.5)
            top += leading_mm(one)


def _at_most(text: str, font: str, size: float, room: float, most: int) -> list[str]:
    """Text in so many lines; the last takes all that is left and is written smaller to fit."""
    if not text:
        return []
    lines = wrapped(text, font, size, room)
    return lines if len(lines) <= most else [*lines[: most - 1], " ".join(lines[most - 1 :])]


class LabelTestPaper(LabelsPaper):
    """The outlines of a sheet's labels on plain paper, to hold against the real one before printing."""

    title = "Outlines of labels"

    def pages(self) -> Sequence[Draw]:
        return [self._outlines]

    def _outlines(self, page: Page) -> None:
        for place in range(self.sheet.count):
            x, y = self.sheet.corner(place)
            page.box(x, y, self.sheet.wide, self.sheet.high, THIN)
            page.text(x + self.sheet.wide / 2, y + self.sheet.high / 2, str(place + 1), BODY, 12, "middle")
