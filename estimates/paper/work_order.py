"""The work order: what goes to the bench with a panel."""

from __future__ import annotations

from collections.abc import Sequence

from estimates.paper import work_order_parts as parts
from estimates.paper.blocks import Placed
from estimates.paper.document import Document, Draw, Imprint
from estimates.paper.page import Page
from estimates.paper.values import WorkOrder
from estimates.paper.work_order_pages import laid_out


class WorkOrderPaper(Document):
    """A panel's work order: one page where all goes on it, and more where passes, notes and photos ask for them."""

    def __init__(self, imprint: Imprint, order: WorkOrder):
        super().__init__(imprint)
        self.order = order
        self.title = f"Work order {order.mark} {order.name}"

    def short_title(self) -> str:
        return self.order.mark

    def foot(self) -> str:
        return f"{self.order.version}, printed {self.imprint.printed}. Throw older prints away."

    def pages(self) -> Sequence[Draw]:
        return [self._page(number, placed) for number, placed in enumerate(laid_out(self.order, self.paper))]

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
