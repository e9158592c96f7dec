"""A work order takes at most three times the bare drawing of its page."""

from decimal import Decimal

from estimates.paper.facts.imprint import imprint_of
from estimates.paper.facts.work_order import read_around, with_all, work_order
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
    around = read_around([held])

    def make() -> list[WorkOrderPaper]:
        return [WorkOrderPaper(imprint, work_order(held, around, shop, str))]

    ours, bare = work_order_against_bare(make, imprint)
    assert make()[0].order.pattern is not None
    assert ours <= MOST * bare
