"""The full-size pattern over a printer's pages, or on one sheet for a roll plotter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from estimates.paper.blocks import BODY_PT, SMALL_PT, section, stack
from estimates.paper.document import Document, Draw, Imprint
from estimates.paper.letters import BODY, HEAD, MM, STRONG
from estimates.paper.page import LINE, MARGIN_MM, THICK, THIN, Page, PaperSize
from jobs.drawings.ink import ink_of
from jobs.drawings.letters import Box
from jobs.drawings.rule import check_rule
from jobs.drawings.scene import Scene
from jobs.drawings.tiles import Mark, Paper, Tile, Tiling, tiled
from shop.figures import counted

CROSS_MM = 4.0
MAP_ROOM_MM = (130.0, 150.0)
FOOT_MM = 4.0  # of the window's lower border kept for the foot


@dataclass(frozen=True, slots=True)
class Pattern:
    """A full-size drawing (a unit a millimetre) and what is written at the head of each page."""

    mark: str
    name: str
    hand: str
    words: str
    drawing: Scene
    kind: str = "Full-size pattern"


def draw_true_rule(page: Page, x: float, y: float, units: str) -> float:
    """Draw a rule of 100 mm or 4 in and what it must measure; return where that ends."""
    length = 4 * 25.4 if units == "in" else 100.0
    rule = check_rule(length, "in" if units == "in" else "mm")
    page.scene(rule, x, y)
    said = rule.description.partition(". ")[0]
    page.text(x + length + 3, y + 3.0, f"{said}.", size=SMALL_PT)
    page.text(x + length + 3, y + 6.4, "If not, print at full size.", size=SMALL_PT)
    return x + length + 46


def seams_of(width_mm: float, height_mm: float, paper: PaperSize) -> tuple[Box, ...]:
    """The strips that two pages share, of a drawing cut over pages; none where it takes more than make sense."""
    try:
        return tiled(width_mm, height_mm, Paper(paper.width_mm, paper.height_mm)).strips()
    except ValueError:
        return ()


class PatternPaper(Document):
    """One page a tile that anything is drawn on, a page that shows how they lie in front where there is more than one.

    Raises ``ValueError`` where the drawing would take more pages than make sense.
    """

    def __init__(self, imprint: Imprint, pattern: Pattern):
        super().__init__(imprint)
        self.pattern = pattern
        self.title = f"{pattern.kind} {pattern.mark} {pattern.name}"
        sheet = Paper(imprint.paper.width_mm, imprint.paper.height_mm)
        drawing = pattern.drawing
        whole = tiled(drawing.width, drawing.height, sheet).with_ink(ink_of(drawing))
        self.tiling: Tiling = whole.clear_of([text.box() for text in drawing.texts()])

    @property
    def size_mm(self) -> tuple[float, float]:
        return self.tiling.paper.width_mm, self.tiling.paper.height_mm

    def short_title(self) -> str:
        return self.pattern.mark

    def pages(self) -> Sequence[Draw]:
        tiles = [self._tile_page(tile) for tile in self.tiling.tiles]
        return [self._map_page, *tiles] if len(tiles) > 1 else tiles

    # A tile

    def _tile_page(self, tile: Tile) -> Draw:
        def drawing(page: Page) -> None:
            self._tile_head(page, tile)
            self._window(page, tile)
            for mark in self.tiling.marks_of(tile):
                self._mark(page, tile, mark)

        return drawing

    def _tile_head(self, page: Page, tile: Tile) -> None:
        alone = len(self.tiling.tiles) == 1
        left = MARGIN_MM
        if not alone:
            left += page.text(MARGIN_MM, 19.5, tile.label, STRONG, 27) + 5
        room = page.right - left - (28 if self.pattern.hand else 0)
        wide = page.text(left, 16.0, self.pattern.mark, STRONG, 10.5)
        page.text(left + wide + 2.5, 16.0, self.pattern.name, HEAD, 10.5, room=room - wide - 4, least=5)
        page.text(left, 20.4, self.pattern.words, BODY, SMALL_PT, room=room)
        if self.pattern.hand:
            page.box(page.right - 26, 11.0, 26, 10, THICK)
            page.text(page.right - 13, 18.0, self.pattern.hand, STRONG, 14, "middle", room=24)
        draw_true_rule(page, MARGIN_MM - 0.5, 22.6, self.imprint.units)
        if not alone:
            self._small_map(page, tile)

    def _small_map(self, page: Page, tile: Tile) -> None:
        """Where this page lies among the others, at the right of the rule."""
        cell = min(7.0 / self.tiling.rows, 30.0 / self.tiling.columns, 5.0)
        left, top = page.right - cell * self.tiling.columns, 23.0
        for other in self.tiling.tiles:
            x, y = left + other.column * cell, top + other.row * cell
            page.box(x, y, cell, cell, THIN)
            if other is tile:
                page.pattern(x, y, cell, cell, "over", 0.5)

    def _window(self, page: Page, tile: Tile) -> None:
        paper = self.tiling.paper
        x, y = paper.margin_mm, paper.margin_mm + paper.head_mm
        wide, high = paper.window_mm
        page.canvas.saveState()
        left, bottom = page.place(x, y + high)
        course = page.canvas.beginPath()
        course.rect(left, bottom, wide * MM, high * MM)
        page.canvas.clipPath(course, stroke=0, fill=0)
        page.scene(self.pattern.drawing, *tile.on_page((0.0, 0.0), paper))
        page.canvas.restoreState()
        page.box(x, y, wide, high, THIN)

    def _mark(self, page: Page, tile: Tile, mark: Mark) -> None:
        """A cross in a ring, with the names of the two pages that share it."""
        x, y = tile.on_page(mark.at, self.tiling.paper)
        page.line(x - CROSS_MM, y, x + CROSS_MM, y, THIN)
        page.line(x, y - CROSS_MM, x, y + CROSS_MM, THIN)
        page.canvas.setLineWidth(0.4)
        page.canvas.circle(*page.place(x, y), 1.8 * MM, stroke=1, fill=0)
        beyond = x + 16.0 > self.tiling.paper.width_mm - self.tiling.paper.margin_mm
        page.text(
            x + (-1.4 if beyond else 1.4),
            y - 2.2,
            " + ".join(mark.between),
            BODY,
            6,
            "end" if beyond else "start",
        )

    # The map

    def _map_page(self, page: Page) -> None:
        page.text(MARGIN_MM, 18.0, self.pattern.mark, STRONG, 20)
        page.text(MARGIN_MM, 26.0, self.pattern.kind, BODY, BODY_PT)
        page.text(MARGIN_MM, 33.0, self.pattern.name, HEAD, 15, room=page.right - MARGIN_MM, least=6)
        page.text(MARGIN_MM, 38.6, self.pattern.words, BODY, BODY_PT, room=page.right - MARGIN_MM)
        if self.pattern.hand:
            page.box(page.right - 34, 11.0, 34, 13, THICK)
            page.text(page.right - 17, 20.2, self.pattern.hand, STRONG, 18, "middle", room=31)
        draw_true_rule(page, MARGIN_MM - 0.5, 43.0, self.imprint.units)
        top = 54.0
        for placed, block in stack(self._instructions(), top, top, page.height_mm)[0]:
            block.draw(page, placed)
            top = placed + block.high
        self._map(page, top + 5)

    def _instructions(self):
        tiling = self.tiling
        count = len(tiling.tiles)
        white = tiling.rows * tiling.columns - count
        left_out = f"; {counted(white, 'white page')} left out" if white else ""
        told = [
            f"{count} pages, {tiling.rows} from top to bottom and {tiling.columns} across{left_out}. Print them at full "
            "size (100 %, no fitting to the page).",
            "Measure the rule on each page first. Then lay each page over its neighbour so that the crosses with the "
            "same two names lie on each other, hold them against a window or a light, and tape.",
            "A hand and the lettering are already as they should be: do not turn the paper over.",
        ]
        return section(self.paper, "How the pages lie", told)

    def _map(self, page: Page, top: float) -> None:
        """The drawing small, with the pages over it and their names."""
        tiling, paper = self.tiling, self.tiling.paper
        wide, high = paper.window_mm
        left, top_of_all = (
            min(tile.left_mm for tile in tiling.tiles),
            min(tile.top_mm for tile in tiling.tiles),
        )
        right, bottom = max(tile.left_mm for tile in tiling.tiles), max(tile.top_mm for tile in tiling.tiles)
        whole = (right + wide - left, bottom + high - top_of_all)
        room = (page.right - MARGIN_MM, page.height_mm - top - 14)
        scale = min(room[0] / whole[0], room[1] / whole[1], 0.5)
        at_x, at_y = MARGIN_MM - left * scale, top - top_of_all * scale
        small = Scene("", "", self.pattern.drawing.width, self.pattern.drawing.height, _outlines(self.pattern.drawing),
                      self.pattern.drawing.px)  # fmt: skip
        page.scene(small, at_x, at_y, scale)
        for tile in tiling.tiles:
            x, y = at_x + tile.left_mm * scale, at_y + tile.top_mm * scale
            page.box(x, y, wide * scale, high * scale, LINE, dash=1.0 if len(tiling.tiles) > 1 else 0)
        for tile in tiling.tiles:
            x, y = at_x + (tile.left_mm + wide / 2) * scale, at_y + (tile.top_mm + high / 2) * scale
            page.white(x - 5.0, y - 3.0, 10.0, 6.0)
            page.text(x, y + 2, tile.label, STRONG, 13, "middle")


def _outlines(drawing: Scene) -> tuple:
    """The drawing's outline and trim line alone: a small map has no room for more."""
    return tuple(leaf for leaf in drawing.leaves() if getattr(leaf, "role", "") in ("outline", "trim", "cut"))


class RollPaper(Document):
    """The same drawing on one sheet as large as it needs, for a plotter with a roll."""

    BORDER_MM = 10.0
    HEAD_MM = 24.0

    def __init__(self, imprint: Imprint, pattern: Pattern):
        super().__init__(imprint)
        self.pattern = pattern
        self.title = f"{pattern.kind} {pattern.mark} {pattern.name}"

    def short_title(self) -> str:
        return self.pattern.mark

    @property
    def size_mm(self) -> tuple[float, float]:
        wide = max(self.pattern.drawing.width, 170.0)
        return wide + 2 * self.BORDER_MM, self.pattern.drawing.height + 2 * self.BORDER_MM + self.HEAD_MM

    def pages(self) -> Sequence[Draw]:
        return [self._sheet]

    def _sheet(self, page: Page) -> None:
        wide = page.text(MARGIN_MM, 16.0, self.pattern.mark, STRONG, 14)
        room = page.right - MARGIN_MM - wide - 34
        page.text(MARGIN_MM + wide + 3, 16.0, self.pattern.name, HEAD, 13, room=room, least=5)
        page.text(MARGIN_MM, 20.6, self.pattern.words, BODY, SMALL_PT, room=page.right - MARGIN_MM - 30)
        if self.pattern.hand:
            page.box(page.right - 28, 10.0, 28, 11, THICK)
            page.text(page.right - 14, 17.7, self.pattern.hand, STRONG, 15, "middle", room=26)
        draw_true_rule(page, MARGIN_MM - 0.5, 23.0, self.imprint.units)
        page.scene(self.pattern.drawing, self.BORDER_MM, self.BORDER_MM + self.HEAD_MM)
