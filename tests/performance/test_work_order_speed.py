"""A work order takes at most three times the bare drawing of its page."""

from decimal import Decimal

from estimates.paper.facts.imprint import imprint_of
from estimates.paper.facts.work_order import with_all, work_orders
from estimates.paper.work_order import WorkOrderPaper
from jobs.models import Panel, Stage
from shop.models import StageKind
from tests.performance.work_order_paper import work_order_against_bare

MOST = 3.0


def test_a_work_order_takes_at_most_three_times_its_bare_drawing(panel, shop):
    """Figured, drawn and laid out afresh each time; asking the database is not part of either."""
    for kind in StageKind.objects.all():
        Stage.objects.create(
            panel=panel, kind=kind, budget_low_hours=Decimal("2.5"), budget_high_hours=Decimal("3.5")
        )
    imprint = imprint_of(shop)
    (held,) = with_all(Panel.objects.filter(pk=panel.pk))
    orders = []

    def make() -> list[WorkOrderPaper]:
        orders[:] = work_orders([held], shop, str)
        return [WorkOrderPaper(imprint, order) for order in orders]

    ours, bare = work_order_against_bare(make, imprint)
    assert orders[0].pattern is not None
    assert ours <= MOST * bare
