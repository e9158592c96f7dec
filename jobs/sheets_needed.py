"""Sheets to order: what the panels in work still need that neither the rack nor an order covers."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import OuterRef, Q, QuerySet, Subquery

from jobs.cutting import Blank, CutSheet, lay_out
from jobs.drawings.strip import FOUR
from jobs.models import Job, Panel, Stage
from shop.lengths import Units
from shop.models import Metal, SheetStock

ORDERED = SheetStock.State.ORDERED
# What a new sheet measures: common practice, no source; the shop's own last sheet is asked first.
USUAL_SHEET_MM: dict[Units, tuple[float, float]] = {"mm": (2000.0, 1000.0), "in": (96 * 25.4, 48 * 25.4)}
SHEET_DAYS = timedelta(days=7)  # until a sheet comes that names no day of its own; assumed
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
    """What to order, which panels the rack and open orders cover, and on which of those orders each of them waits."""

    to_order: tuple[SheetsToOrder, ...]
    covered: tuple[Panel, ...]
    ordered: tuple[tuple[Panel, SheetStock], ...] = ()


@dataclass(frozen=True, slots=True)
class MetalWait:
    """What a job waits for before it can go on: how many panels have no metal, and the day on which the last has.

    ``is_ordered`` is false where some of it has still to be ordered; the day then counts from today.
    """

    panels: int
    on: date
    is_ordered: bool


def metal_waits(plan: SheetPlan, today: date) -> dict[int, MetalWait]:
    """The jobs whose panels wait for a sheet that is not on the rack, by their key."""
    days: dict[int, list[tuple[date, bool]]] = defaultdict(list)
    for panel, sheet in plan.ordered:
        days[panel.job_id].append((comes_on(sheet, today), True))
    for order in plan.to_order:
        for panel in order.panels:
            days[panel.job_id].append((today + SHEET_DAYS, False))
    return {
        job: MetalWait(len(found), max(on for on, _ in found), all(ordered for _, ordered in found))
        for job, found in days.items()
    }


def comes_on(sheet: SheetStock, today: date) -> date:
    """The day an ordered sheet is counted on: its own, or some days after it was ordered; one that is late, tomorrow."""
    expected: date = sheet.expected_on or sheet.added_on + SHEET_DAYS
    return expected if expected >= today else today + timedelta(days=1)


def sheet_plan(units: Units, panels: Iterable[Panel] | None = None) -> SheetPlan:
    """Plan the metal of every panel in work that has none cut yet, in two queries.

    ``units`` are the shop's. ``panels`` are such panels in the order they are due, with job and metal, where a page
    has them at hand.
    """
    stock, sizes = _stock_and_sizes()
    wanted: dict[tuple[int, float], list[Panel]] = defaultdict(list)
    for panel in _waiting_panels() if panels is None else panels:
        wanted[panel.metal_id, round(panel.thickness_mm, 2)].append(panel)
    to_order, covered, ordered = [], [], []
    for (metal_id, thickness_mm), alike in wanted.items():
        on_hand = [sheet for sheet in stock if _serves(sheet, metal_id, thickness_mm)]
        order, fit, on_order = _plan_one(alike, on_hand, sizes.get(metal_id, USUAL_SHEET_MM[units]))
        to_order += [order] if order else []
        covered += fit
        ordered += on_order
    return SheetPlan(tuple(to_order), tuple(covered), tuple(ordered))


def _waiting_panels() -> QuerySet[Panel]:
    return (
        Panel.objects.filter(job__state=Job.State.IN_WORK, material=None)
        .exclude(pk__in=_worked().values("panel"))
        .select_related("job", "metal")
        .order_by("job__promised_on", "job__due_on", "pk")
    )


def _worked() -> QuerySet[Stage]:
    """Stages that show that a panel has its metal, booked or not: laid out, or under the hammer."""
    laid_out = Q(kind__slug="layout", progress=1)
    hammered = Q(kind__slug__in=FOUR[1:]) & (Q(progress__gt=0) | Q(time_entries__isnull=False))
    return Stage.objects.filter(laid_out | hammered)


def blank_of(panel: Panel) -> Blank:
    """The rectangle to cut for a panel, as it lies along a sheet; a rolling direction forbids turning it.

    Sheets are rolled along their length (common practice, no source): a panel rolled across its length lies crosswise.
    """
    length_mm, width_mm = panel.blank_length_mm, panel.blank_width_mm
    if panel.grain == Panel.Grain.ACROSS:
        length_mm, width_mm = width_mm, length_mm
    return Blank(panel, length_mm, width_mm, panel.grain == Panel.Grain.ANY)


def _serves(sheet: SheetStock, metal_id: int, thickness_mm: float) -> bool:
    return sheet.metal_id == metal_id and abs(sheet.thickness_mm - thickness_mm) <= THICKNESS_PLAY_MM


def _plan_one(
    panels: list[Panel], on_hand: list[SheetStock], usual: tuple[float, float]
) -> tuple[SheetsToOrder | None, list[Panel], list[tuple[Panel, SheetStock]]]:
    """Lay panels of one metal and thickness out on what is there, smallest first, then on what is ordered, then on
    new sheets."""
    stock = [CutSheet(sheet, sheet.length_mm, sheet.width_mm) for sheet in on_hand]
    stock.sort(key=lambda sheet: (sheet.key.state == ORDERED, sheet.length_mm * sheet.width_mm))
    left_over = lay_out(map(blank_of, panels), stock)
    missing = {blank.key.pk for blank in left_over}
    covered = [panel for panel in panels if panel.pk not in missing]
    ordered = [
        (blank.key, sheet.key) for sheet in stock if sheet.key.state == ORDERED for blank, _ in sheet.placed
    ]
    if not left_over:
        return None, covered, ordered
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
    return order, covered, ordered


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
