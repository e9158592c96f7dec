"""Gauges to cut out of card at full size: as many on a page as fit, large ones over several pages."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from estimates.paper.document import Document, Draw, Imprint
from estimates.paper.letters import BODY, HEAD, STRONG
from estimates.paper.page import MARGIN_MM, THICK, Page
from estimates.paper.pattern import Pattern, PatternPaper, draw_true_rule
from jobs.drawings.scene import Scene

TOP_MM = 36.0
BOTTOM_MM = 11.0
APART_MM = 3.0


class GaugesPaper(Document):
    """The gauges of a panel that fit a page."""

    def __init__(self, imprint: Imprint, head: Pattern, gauges: Sequence[Scene]):
        super().__init__(imprint)
        self.head, self.gauges = head, tuple(gauges)
        self.title = f"Gauges {head.mark} {head.name}"

    def short_title(self) -> str:
        return self.head.mark

    def pages(self) -> Sequence[Draw]:
        return [self._page(placed) for placed in _shelves(self.gauges, self.paper.room_mm, self._room_high())]

    def _room_high(self) -> float:
        return self.paper.height_mm - TOP_MM - BOTTOM_MM

    def _page(self, placed: Sequence[tuple[float, float, Scene]]) -> Draw:
        def drawing(page: Page) -> None:
            self._head(page)
            for x, y, scene in placed:
                page.scene(scene, MARGIN_MM + x, TOP_MM + y)

        return drawing

    def _head(self, page: Page) -> None:
        head = self.head
        room = page.right - MARGIN_MM - (30 if head.hand else 0)
        wide = page.text(MARGIN_MM, 16.0, head.mark, STRONG, 14)
        page.text(MARGIN_MM + wide + 3, 16.0, head.name, HEAD, 13, room=room - wide - 4, least=5)
        page.text(MARGIN_MM, 20.6, head.words, BODY, 7.5, room=room)
        if head.hand:
            page.box(page.right - 28, 10.0, 28, 11, THICK)
            page.text(page.right - 14, 17.7, head.hand, STRONG, 15, "middle", room=26)
        draw_true_rule(page, MARGIN_MM - 0.5, 23.6, self.imprint.units)


def fits(scene: Scene, imprint: Imprint) -> bool:
    """Whether a gauge goes on one page of the shop's paper."""
    return (
        scene.width <= imprint.paper.room_mm and scene.height <= imprint.paper.height_mm - TOP_MM - BOTTOM_MM
    )


def gauge_papers(imprint: Imprint, head: Pattern, gauges: Sequence[Scene]) -> Iterator[Document]:
    """Yield the pages of the gauges that fit, then each large one over pages of its own.

    Raises ``ValueError`` for one that would take more pages than make sense.
    """
    small = [scene for scene in gauges if fits(scene, imprint)]
    if small:
        yield GaugesPaper(imprint, head, small)
    for scene in gauges:
        if not fits(scene, imprint):
            yield PatternPaper(
                imprint, Pattern(head.mark, head.name, head.hand, scene.description, scene, scene.title)
            )


def _shelves(scenes: Sequence[Scene], wide: float, high: float) -> list[list[tuple[float, float, Scene]]]:
    """Lay the gauges out in rows, in their order, opening a page where the next row does not fit."""
    pages: list[list[tuple[float, float, Scene]]] = [[]]
    x = y = row = 0.0
    for scene in scenes:
        if x and x + scene.width > wide:
            x, y, row = 0.0, y + row + APART_MM, 0.0
        if y and y + scene.height > high:
            pages.append([])
            x = y = row = 0.0
        pages[-1].append((x, y, scene))
        x += scene.width + APART_MM
        row = max(row, scene.height)
    return pages
