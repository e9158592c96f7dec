"""Metal cut from the rack for a panel, and the drop that came back.

Cost is conserved to the last hundredth: the drop takes its share of the sheet's cost by area, and the piece
bears the rest. Waste is thus paid by the panel that made it, never by whoever uses the drop next.
"""

import uuid
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from django.db import transaction
from django.db.models import Case, F, FloatField, Q, QuerySet, Value, When

from jobs.models import MaterialUse, Panel
from jobs.sheets_needed import THICKNESS_PLAY_MM
from jobs.time_entries import SHUT
from shop.audit import record
from shop.gauges import sold_as
from shop.lengths import format_length
from shop.models import Person, SheetStock, Shop

# Sizes are typed to the shop's finest step, 1/32 in: half of that is how far a typed 48 in may miss the stored one.
HALF_A_STEP_MM = 0.4
WORTH_KEEPING_MM = 25.0  # a narrower strip is scrap


class MaterialRefused(Exception):
    """This cannot be cut; ``field`` is where it is wrong and the text says what fits."""

    def __init__(self, words: str, field: str | None = None):
        self.field = field
        super().__init__(words)


@dataclass(frozen=True, slots=True)
class Size:
    """A rectangle of sheet, millimetres."""

    length_mm: float
    width_mm: float

    @property
    def area_mm2(self) -> float:
        return self.length_mm * self.width_mm

    def fits_in(self, other: "Size") -> bool:
        """Whether it can be cut from another, either way round."""
        mine, room = sorted((self.length_mm, self.width_mm)), sorted((other.length_mm, other.width_mm))
        return all(one <= have + HALF_A_STEP_MM for one, have in zip(mine, room, strict=True))

    def turned(self) -> "Size":
        return Size(self.width_mm, self.length_mm)


def size_of(sheet: SheetStock) -> Size:
    return Size(sheet.length_mm, sheet.width_mm)


def blank_size(panel: Panel) -> Size:
    """The smallest rectangle that the panel's blank is cut from."""
    return Size(panel.blank_length_mm, panel.blank_width_mm)


def fitting_sheets(panel: Panel) -> QuerySet[SheetStock]:
    """Sheets and drops on the rack that the panel's blank can be cut from, smallest first, so that drops go first."""
    long, short = sorted((panel.blank_length_mm - HALF_A_STEP_MM, panel.blank_width_mm - HALF_A_STEP_MM))[
        ::-1
    ]
    fits = Q(length_mm__gte=long, width_mm__gte=short) | Q(length_mm__gte=short, width_mm__gte=long)
    area = F("length_mm") * F("width_mm")
    drops_first = Case(
        When(kind=SheetStock.Kind.DROP, then=Value(0.0)), default=Value(1.0), output_field=FloatField()
    )
    return usable_sheets(panel).filter(fits).order_by(area, drops_first, "added_on", "pk")


def usable_sheets(panel: Panel) -> QuerySet[SheetStock]:
    """Sheets and drops on the rack of the panel's metal and thickness."""
    return SheetStock.objects.filter(
        state=SheetStock.State.RACK,
        metal=panel.metal_id,
        thickness_mm__gte=panel.thickness_mm - THICKNESS_PLAY_MM,
        thickness_mm__lte=panel.thickness_mm + THICKNESS_PLAY_MM,
    ).select_related("metal")


def what_is_left(sheet: Size, piece: Size) -> Size | None:
    """The largest drop that stays when a piece is cut off a corner, or nothing where it is scrap.

    One cut across the sheet or one along it, the piece either way round: of the four drops the one with the most
    area.
    """
    drops = []
    for laid in (piece, piece.turned()):
        if (
            laid.length_mm <= sheet.length_mm + HALF_A_STEP_MM
            and laid.width_mm <= sheet.width_mm + HALF_A_STEP_MM
        ):
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
            if any(_lies_in(both, sheet) for both in (along, across)):
                return True
    return False


def share_cost(cost: Decimal, sheet: Size, drop: Size | None, decimals: int = 2) -> tuple[Decimal, Decimal]:
    """Part a sheet's cost into the piece's and the drop's; both add up to it exactly.

    >>> share_cost(Decimal("92"), Size(2500, 1250), Size(2000, 1250))
    (Decimal('18.40'), Decimal('73.60'))
    """
    if drop is None:
        return cost, Decimal("0")
    share = min(Decimal(repr(drop.area_mm2 / sheet.area_mm2)), Decimal(1))
    of_drop = min((cost * share).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP), cost)
    return cost - of_drop, of_drop


@transaction.atomic
def use_sheet(
    panel: Panel,
    sheet: SheetStock,
    length_mm: float,
    width_mm: float,
    drop_length_mm: float | None = None,
    drop_width_mm: float | None = None,
    *,
    person: Person,
    note: str = "",
    place: str | None = None,
    submission: uuid.UUID | None = None,
) -> MaterialUse:
    """Cut a piece for a panel from a sheet or drop on the rack, and put what came back there as a drop.

    The source is used up; the drop carries its heat number on, and its place unless another is said. Of two people
    cutting one sheet at once the second is refused. Raises :class:`MaterialRefused`. The same ``submission`` twice
    cuts once.
    """
    held = SheetStock.objects.select_for_update(of=("self",)).select_related("metal").get(pk=sheet.pk)
    if submission and (earlier := MaterialUse.objects.filter(submission=submission).first()):
        return earlier
    piece = Size(length_mm, width_mm)
    drop = Size(drop_length_mm, drop_width_mm) if drop_length_mm and drop_width_mm else None
    _refuse_sheet(panel, held)
    _refuse_sizes(size_of(held), piece, drop)
    use = _write_use(
        MaterialUse(panel=panel, person=person, note=note, submission=submission), held, piece, drop, place
    )
    record(
        person, "cut from sheet", use, changes={"sheet": [held.code, held.state], "cost": ["0", str(use.cost)]},
        job_number=panel.job.number,
    )  # fmt: skip
    return use


@transaction.atomic
def take_back(use: MaterialUse, person: Person) -> SheetStock:
    """Take back a booking made by mistake: the sheet stands on the rack again and its drop is gone from the stock.

    By whoever booked it or the owner. Refused once something has been done with the drop, or the job is over.
    """
    held = (
        MaterialUse.objects.select_for_update(of=("self",))
        .select_related("panel__job", "person")
        .get(pk=use.pk)
    )
    sheet = SheetStock.objects.select_for_update(of=("self",)).select_related("metal").get(pk=held.sheet_id)
    if held.person_id != person.pk and not person.is_owner:
        raise MaterialRefused(f"Only {held.person or 'whoever booked it'} or the owner can take this back.")
    if held.panel.job.state in SHUT:
        raise MaterialRefused(f"Job {held.panel.job.number} {SHUT[held.panel.job.state]}.")
    drop = held.drop
    if drop is not None and (drop.state != SheetStock.State.RACK or drop.uses.exists()):
        raise MaterialRefused(f"Drop {drop.code} has been used since, so this cut was made.")
    record(
        person, "took back metal", held, changes={"sheet": [sheet.state, "rack"], "cost": [str(held.cost), "0"]},
        job_number=held.panel.job.number,
    )  # fmt: skip
    held.delete()
    if drop is not None:
        drop.delete()
    sheet.state = SheetStock.State.RACK
    sheet.save(update_fields=["state"])
    return sheet


def _write_use(
    use: MaterialUse, sheet: SheetStock, piece: Size, drop: Size | None, place: str | None
) -> MaterialUse:
    """Use the sheet up, put the drop back, and save the piece with its share of the cost."""
    cost, drop_cost = share_cost(sheet.cost, size_of(sheet), drop, Shop.standing().currency_decimals)
    sheet.state = SheetStock.State.USED
    sheet.save(update_fields=["state"])
    use.sheet, use.cost = sheet, cost
    use.length_mm, use.width_mm = piece.length_mm, piece.width_mm
    use.mass_kg = piece.area_mm2 * sheet.thickness_mm * sheet.metal.density_kg_m3 * 1e-9
    use.drop = _put_back(sheet, drop, drop_cost, sheet.place if place is None else place)
    use.save(force_insert=True)
    return use


def _put_back(sheet: SheetStock, drop: Size | None, cost: Decimal, place: str) -> SheetStock | None:
    if drop is None:
        return None
    return SheetStock.objects.create(
        metal=sheet.metal, thickness_mm=sheet.thickness_mm, length_mm=drop.length_mm, width_mm=drop.width_mm,
        cost=cost, kind=SheetStock.Kind.DROP, place=place, heat_number=sheet.heat_number, cut_from=sheet,
    )  # fmt: skip


def _lies_in(both: Size, sheet: Size) -> bool:
    """Fits as it lies; the caller turns the parts."""
    return (
        both.length_mm <= sheet.length_mm + HALF_A_STEP_MM
        and both.width_mm <= sheet.width_mm + HALF_A_STEP_MM
    )


def said_size(size: Size) -> str:
    """A size in the shop's units: 1200 × 800 mm."""
    units = Shop.standing().units
    return f"{format_length(size.length_mm, units, False)} × {format_length(size.width_mm, units)}"


def _refuse_sheet(panel: Panel, sheet: SheetStock) -> None:
    if panel.job.state in SHUT:
        raise MaterialRefused(
            f"Job {panel.job.number} {SHUT[panel.job.state]}: no metal can be booked on it."
        )
    if sheet.state == SheetStock.State.USED:
        use = sheet.uses.select_related("person", "panel__job").first()
        by = f" by {use.person or 'somebody'} for {use.panel.mark}" if use else ""
        raise MaterialRefused(f"Sheet {sheet.code} has been cut{by}. Pick another.", "sheet")
    if sheet.state == SheetStock.State.ORDERED:
        raise MaterialRefused(f"Sheet {sheet.code} has been ordered but has not come in yet.", "sheet")
    if not usable_sheets(panel).filter(pk=sheet.pk).exists():
        units = Shop.standing().units
        raise MaterialRefused(
            f"Sheet {sheet.code} is {sheet.metal}, {sold_as(sheet.thickness_mm, sheet.metal.family, units)}; "
            f"this panel is {panel.metal}, {sold_as(panel.thickness_mm, panel.metal.family, units)}. "
            "Pick a sheet of that.",
            "sheet",
        )


def _refuse_sizes(sheet: Size, piece: Size, drop: Size | None) -> None:
    if not piece.fits_in(sheet):
        raise MaterialRefused(
            f"A piece of {said_size(piece)} does not fit in the sheet of {said_size(sheet)}, either way round.",
            "length",
        )
    if drop is None:
        return
    if not both_fit(sheet, piece, drop):
        left = what_is_left(sheet, piece)
        most = f"At most {said_size(left)} stays in one piece." if left else "Nothing worth keeping stays."
        raise MaterialRefused(
            f"A drop of {said_size(drop)} cannot come out of the same sheet as the piece. {most}",
            "drop_length",
        )
