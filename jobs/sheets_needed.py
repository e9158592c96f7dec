"""Sheets to order: what the panels in work still need that neither the rack nor an order covers."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import OuterRef, Q, QuerySet, Subquery

from jobs.cutting import Blank, CutSheet, lay_out
from jobs.models import Job, Panel, Stage
from shop.models import Metal, SheetStock

USUAL_SHEET_MM = (2000.0, 1000.0)  # common practice, no source; the shop's own last sheet is asked first
THICKNESS_PLAY_MM = 0.05  # a 1.59 mm sheet serves a 1.6 mm panel


@dataclass(frozen=True, slots=True)
class SheetsToOrder:
    """Sheets of one metal and thickness to order, laid out, and when they are needed by.

    ``too_large`` holds the panels whose blank fits on no usual sheet: they need a larger sheet or a seam.
    """

    metal: Metal
    thickness_mm: float
    sheets: tuple[CutSheet, ...]
    panels: tuple[Panel, ...]
    too_large: tuple[Panel, ...]
    needed_by: date | None


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """What to order, and which panels the rack and open orders cover."""

    to_order: tuple[SheetsToOrder, ...]
    covered: tuple[Panel, ...]


def sheet_plan(panels: Iterable[Panel] | None = None) -> SheetPlan:
    """Plan the metal of every panel in work that has none cut yet, in two queries.

    ``panels`` are such panels in the order they are due, with job and metal, where a page has them at hand.
    """
    stock, sizes = _stock_and_sizes()
    wanted: dict[tuple[int, float], list[Panel]] = defaultdict(list)
    for panel in _waiting_panels() if panels is None else panels:
        wanted[panel.metal_id, round(panel.thickness_mm, 2)].append(panel)
    to_order, covered = [], []
    for (metal_id, thickness_mm), alike in wanted.items():
        on_hand = [sheet for sheet in stock if _serves(sheet, metal_id, thickness_mm)]
        order, fit = _plan_one(alike, on_hand, sizes.get(metal_id, USUAL_SHEET_MM))
        to_order += [order] if order else []
        covered += fit
    return SheetPlan(tuple(to_order), tuple(covered))


def _waiting_panels() -> QuerySet[Panel]:
    return (
        Panel.objects.filter(job__state=Job.State.IN_WORK, material=None)
        .exclude(pk__in=Stage.objects.filter(kind__slug="layout", progress=1).values("panel"))
        .select_related("job", "metal")
        .order_by("job__promised_on", "job__due_on", "pk")
    )


def blank_of(panel: Panel) -> Blank:
    """The rectangle to cut for a panel; a rolling direction forbids turning it."""
    return Blank(panel, panel.blank_length_mm, panel.blank_width_mm, panel.grain == Panel.Grain.ANY)


def _serves(sheet: SheetStock, metal_id: int, thickness_mm: float) -> bool:
    return sheet.metal_id == metal_id and abs(sheet.thickness_mm - thickness_mm) <= THICKNESS_PLAY_MM


def _plan_one(
    panels: list[Panel], on_hand: list[SheetStock], usual: tuple[float, float]
) -> tuple[SheetsToOrder | None, list[Panel]]:
    """Lay panels of one metal and thickness out on what is there, smallest first, then on new sheets."""
    stock = [CutSheet(sheet, sheet.length_mm, sheet.width_mm) for sheet in on_hand]
    stock.sort(key=lambda sheet: sheet.length_mm * sheet.width_mm)
    left_over = lay_out(map(blank_of, panels), stock)
    missing = {blank.key.pk for blank in left_over}
    covered = [panel for panel in panels if panel.pk not in missing]
    if not left_over:
        return None, covered
    new: list[CutSheet] = []
    too_large = []
    for blank in left_over:
        if lay_out([blank], new):
            sheet = CutSheet(None, *usual)
            if sheet.place(blank):
                new.append(sheet)
            else:
                too_large.append(blank.key)
    short = [panel for panel in panels if panel.pk in missing]
    dates = [panel.job.deadline for panel in short if panel.job.deadline]
    order = SheetsToOrder(
        short[0].metal,
        short[0].thickness_mm,
        tuple(new),
        tuple(short),
        tuple(too_large),
        min(dates, default=None),
    )
    return order, covered


def _stock_and_sizes() -> tuple[list[SheetStock], dict[int, tuple[float, float]]]:
    """What is on the rack or ordered, and by metal the size of the whole sheet bought last, used up or not."""
    whole = SheetStock.objects.filter(kind=SheetStock.Kind.WHOLE, metal=OuterRef("metal"))
    last = whole.order_by("-added_on", "-pk").values("pk")[:1]
    sheets = SheetStock.objects.filter(~Q(state=SheetStock.State.USED) | Q(pk=Subquery(last)))
    rows = list(sheets.select_related("metal").order_by("metal", "thickness_mm", "-length_mm", "pk"))
    sizes = {}
    for sheet in sorted(rows, key=lambda sheet: (sheet.added_on, sheet.pk)):
        if sheet.kind == SheetStock.Kind.WHOLE:
            sides = sheet.length_mm, sheet.width_mm
            sizes[sheet.metal_id] = (max(sides), min(sides))
    return [sheet for sheet in rows if sheet.state != SheetStock.State.USED], sizes
