"""What labels say, of a job's panels and stages, and of the sheets on the rack."""

from collections.abc import Callable

from estimates.paper.labels import Label
from jobs.models import Job, Stage
from shop.figures import day
from shop.gauges import sold_as
from shop.lengths import format_length
from shop.models import SheetStock, Shop

Address = Callable[[str], str]


def panel_labels(job: Job, shop: Shop, address: Address) -> list[Label]:
    """One label a panel, in their order."""
    panels = job.panels.select_related("metal", "job").order_by("position")
    due = f", {day(job.deadline)}" if job.deadline else ""
    return [
        Label(
            panel.mark, panel.name, f"{panel.metal} {sold_as(panel.thickness_mm, panel.metal.family, shop.units)}{due}",
            panel.code, address(panel.code),
        )
        for panel in panels
    ]  # fmt: skip


def stage_labels(job: Job, shop: Shop, address: Address) -> list[Label]:
    """One label a stage of each panel."""
    stages = Stage.objects.filter(panel__job=job).select_related("kind", "panel__job")
    return [
        Label(stage.panel.mark, stage.kind.name, stage.panel.name, stage.code, address(stage.code))
        for stage in stages.order_by("panel__position", "kind__position")
    ]


def sheet_labels(sheets, shop: Shop, address: Address) -> list[Label]:
    """One label a sheet or drop."""
    return [_sheet(sheet, shop, address) for sheet in sheets.select_related("metal")]


def _sheet(sheet: SheetStock, shop: Shop, address: Address) -> Label:
    size = (
        f"{format_length(sheet.length_mm, shop.units, False)} × {format_length(sheet.width_mm, shop.units)}"
    )
    more = [size, sheet.place, f"heat {sheet.heat_number}" if sheet.heat_number else ""]
    mark = f"{sheet.metal} {sold_as(sheet.thickness_mm, sheet.metal.family, shop.units)}"
    return Label(
        mark, sheet.get_kind_display(), ", ".join(one for one in more if one), sheet.code, address(sheet.code)
    )
