"""The whole set of a job: its cover sheet and every panel's work order, made one at a time."""

from collections.abc import Iterator

from django.utils import timezone

from estimates.paper.cover import Cover, CoverPaper, CoverRow
from estimates.paper.document import Document
from estimates.paper.facts.imprint import imprint_of
from estimates.paper.facts.work_order import Address, with_all, work_orders
from estimates.paper.work_order import WorkOrderPaper
from jobs.models import Job, Panel
from jobs.parts import PanelRange, ranges_of
from shop.figures import day, hours_between, mass
from shop.gauges import sold_as
from shop.lengths import format_blank
from shop.models import Shop


def job_set(job: Job, shop: Shop, address: Address) -> tuple[int, Iterator[Document]]:
    """How many documents the set has, and the documents, each drawn when it is asked for."""
    panels = list(with_all(job.panels).order_by("position"))
    imprint = imprint_of(shop)

    def papers() -> Iterator[Document]:
        yield CoverPaper(imprint, _cover(job, panels, shop))
        for order in work_orders(panels, shop, address):
            yield WorkOrderPaper(imprint, order)

    return len(panels) + 1, papers()


def _cover(job: Job, panels: list[Panel], shop: Shop) -> Cover:
    ranges = ranges_of(panels)
    due = f"Promised for {day(job.promised_on, timezone.localdate())}" if job.promised_on else ""
    if not due and job.due_on:
        due = f"Wanted by {day(job.due_on, timezone.localdate())}"
    return Cover(
        number=job.number, title=job.title, customer=f"For {job.customer.name}", due=due, note=job.description,
        rows=tuple(_row(panel, ranges.get(panel.pk), shop) for panel in panels),
        mass=mass(sum(panel.mass_kg for panel in panels), shop.units),
    )  # fmt: skip


def _row(panel: Panel, hours: PanelRange | None, shop: Shop) -> CoverRow:
    return CoverRow(
        mark=panel.mark, name=panel.name, hand=panel.get_hand_display().lower() if panel.hand_letter else "",
        sheet=f"{panel.metal} {sold_as(panel.thickness_mm, panel.metal.family, shop.units)}",
        blank=format_blank(panel.blank_length_mm, panel.blank_width_mm, shop.units),
        hours=hours_between(hours.low, hours.high) if hours else "", code=panel.code,
    )  # fmt: skip
