"""What lies on the rack for a panel: which sheets its blank can be cut from, and what stays of them.

Whether a rectangle lies in another is asked of :mod:`jobs.cutting` alone, so that the bench offers the sheets that the
plan of sheets to order counts on.
"""

from dataclasses import dataclass

from django.db.models import QuerySet

from jobs.cutting import Blank
from jobs.models import Panel
from jobs.sheets_needed import THICKNESS_PLAY_MM, blank_of
from shop.lengths import format_length
from shop.models import SheetStock, Shop

# Sizes are typed to the shop's finest step, 1/32 in: half of that is how far a typed 48 in may miss the stored one.
HALF_A_STEP_MM = 0.4
WORTH_KEEPING_MM = 25.0  # a narrower strip is scrap


@dataclass(frozen=True, slots=True)
class Size:
    """A rectangle of sheet, millimetres."""

    length_mm: float
    width_mm: float

    @property
    def area_mm2(self) -> float:
        return self.length_mm * self.width_mm

    def fits_in(self, other: "Size", *, turnable: bool = True) -> bool:
        """Whether it can be cut from another, either way round unless it may not be turned."""
        return bool(self.ways_in(other, turnable))

    def ways_in(self, other: "Size", turnable: bool = True) -> list["Size"]:
        """The ways it may lie in another, to within half of the finest step."""
        blank = Blank(None, self.length_mm, self.width_mm, turnable)
        ways = blank.ways_in(other.length_mm, other.width_mm, HALF_A_STEP_MM)
        return [Size(length, width) for length, width in ways]

    def turned(self) -> "Size":
        return Size(self.width_mm, self.length_mm)


def size_of(sheet: SheetStock) -> Size:
    return Size(sheet.length_mm, sheet.width_mm)


def blank_size(panel: Panel) -> Size:
    """The smallest rectangle that the panel's blank is cut from, as it lies along a sheet."""
    blank = blank_of(panel)
    return Size(blank.length_mm, blank.width_mm)


def may_turn(panel: Panel) -> bool:
    """Whether the panel's blank may also lie the other way round; a rolling direction forbids it."""
    return blank_of(panel).turnable


def usable_sheets(panel: Panel) -> QuerySet[SheetStock]:
    """Sheets and drops on the rack of the panel's metal and thickness."""
    return SheetStock.objects.filter(
        state=SheetStock.State.RACK,
        metal=panel.metal_id,
        thickness_mm__gte=panel.thickness_mm - THICKNESS_PLAY_MM,
        thickness_mm__lte=panel.thickness_mm + THICKNESS_PLAY_MM,
    ).select_related("metal")


def sorted_by_fit(panel: Panel) -> tuple[list[SheetStock], list[SheetStock]]:
    """Usable sheets that the panel's blank can be cut from, and those it cannot, each smallest first, drops first."""
    blank, turnable = blank_size(panel), may_turn(panel)
    fitting: list[SheetStock] = []
    others: list[SheetStock] = []
    for sheet in sorted(usable_sheets(panel), key=_smallest_first):
        (fitting if blank.fits_in(size_of(sheet), turnable=turnable) else others).append(sheet)
    return fitting, others


def what_is_left(sheet: Size, piece: Size, *, turnable: bool = True) -> Size | None:
    """The largest drop that stays when a piece is cut off a corner, or nothing where it is scrap.

    One cut across the sheet or one along it, the piece either way round unless it may not be turned: of the drops
    the one with the most area. A piece that only fits turned has been turned, whatever was asked for.
    """
    drops = []
    for laid in piece.ways_in(sheet, turnable) or piece.ways_in(sheet):
        drops.append(Size(sheet.length_mm - laid.length_mm, sheet.width_mm))
        drops.append(Size(sheet.length_mm, sheet.width_mm - laid.width_mm))
    worth = [drop for drop in drops if min(drop.length_mm, drop.width_mm) >= WORTH_KEEPING_MM]
    return max(worth, key=lambda drop: drop.area_mm2, default=None)


def both_fit(sheet: Size, piece: Size, drop: Size) -> bool:
    """Whether piece and drop can both come out of a sheet.

    Two rectangles that do not overlap can always be parted by one straight cut, so trying them side by side along
    and across, each either way round, tries everything.
    """
    for one in (piece, piece.turned()):
        for two in (drop, drop.turned()):
            along = Size(one.length_mm + two.length_mm, max(one.width_mm, two.width_mm))
            across = Size(max(one.length_mm, two.length_mm), one.width_mm + two.width_mm)
            if any(both.fits_in(sheet, turnable=False) for both in (along, across)):
                return True
    return False


def said_size(size: Size) -> str:
    """A size in the shop's units: 1200 × 800 mm."""
    units = Shop.standing().units
    return f"{format_length(size.length_mm, units, False)} × {format_length(size.width_mm, units)}"


def _smallest_first(sheet: SheetStock) -> tuple[float, bool, object, int]:
    return sheet.area_mm2, sheet.kind != SheetStock.Kind.DROP, sheet.added_on, sheet.pk
