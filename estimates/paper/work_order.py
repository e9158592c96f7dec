"""The work order: what goes to the bench with a panel."""

from __future__ import annotations

from collections.abc import Sequence

from estimates.paper import work_order_parts as parts
from estimates.paper.blocks import Placed, stack
from estimates.paper.document import Document, Draw, Imprint
from estimates.paper.page import Page
from estimates.paper.values import WorkOrder

FIRST_TOP_MM = 57.5  # under the strip of facts of the first page
NEXT_TOP_MM = 34.0  # under the head of the pages after it
FOOT_TOP_MM = 11.0  # kept free at the foot


class WorkOrderPaper(Document):
    """A panel's work order: one page, and more where passes, notes and photos ask for them."""

    def __init__(self, imprint: Imprint, order: WorkOrder):
        super().__init__(imprint)
        self.order = order
        self.title = f"Work order {order.mark} {order.name}"

    def short_title(self) -> str:
        return self.order.mark

    def foot(self) -> str:
        return f"{self.order.version}, printed {self.imprint.printed}. Throw older prints away."

    def pages(self) -> Sequence[Draw]:
        """Stack the blocks under the heads, each page as full as it gets."""
        bottom = self.paper.height_mm - FOOT_TOP_MM
        blocks = parts.blocks(self.order, self.paper, bottom - FIRST_TOP_MM, bottom - NEXT_TOP_MM)
        laid = stack(blocks, FIRST_TOP_MM, NEXT_TOP_MM, bottom)
        return [self._page(number, placed) for number, placed in enumerate(laid)]

    def _page(self, number: int, placed: Sequence[Placed]) -> Draw:
        def drawing(page: Page) -> None:
            parts.draw_check_rule(page, self.imprint.units)
            if number == 0:
                parts.draw_head(page, self.order)
                parts.draw_facts(page, self.order.facts)
            else:
                parts.draw_next_head(page, self.order)
            for top, block in placed:
                block.draw(page, top)

        return drawing
