"""Metal cut from the rack for a panel, and the drop that came back.

Cost is conserved to the last hundredth: the drop takes its share of the sheet's cost by area, and the piece
bears the rest. Waste is thus paid by the panel that made it, never by whoever uses the drop next.
"""

import uuid
from decimal import ROUND_HALF_UP, Decimal

from django.db import transaction

from jobs.models import MaterialUse, Panel
from jobs.rack import Size, both_fit, said_size, size_of, usable_sheets, what_is_left
from jobs.sheets_needed import THICKNESS_PLAY_MM
from jobs.time_entries import SHUT, said
from shop.audit import record
from shop.figures import counted
from shop.gauges import sold_as
from shop.models import Person, SheetStock, Shop


class MaterialRefused(Exception):
    """This cannot be cut; ``field`` is where it is wrong and the text says what fits."""

    def __init__(self, words: str, field: str | None = None):
        self.field = field
        super().__init__(words)


class AlreadyBooked(MaterialRefused):
    """The panel has metal already that the person was not shown; ``uses`` are the pieces, the last one first."""

    def __init__(self, uses: list[MaterialUse]):
        self.uses = uses
        super().__init__(booked_words(uses), "another")


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


def booked_on(panel: Panel) -> list[MaterialUse]:
    """Pieces of the panel's metal and thickness that are booked on it already, the last one first."""
    uses = MaterialUse.objects.filter(panel=panel, sheet__metal=panel.metal_id).select_related(
        "sheet", "person"
    )
    return [use for use in uses if abs(use.sheet.thickness_mm - panel.thickness_mm) <= THICKNESS_PLAY_MM]


def booked_words(uses: list[MaterialUse]) -> str:
    """What is booked already: 2 pieces of this metal are booked on this panel already, the last by Maro, 14:10."""
    last, several = uses[0], len(uses) > 1
    booked = f"{counted(len(uses), 'piece')} of this metal {'are' if several else 'is'} booked on this panel"
    return (
        f"{booked} already, {'the last ' if several else ''}by {last.person or 'somebody'}, {said(last.at)}."
    )


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
    booked_seen: int = 0,
) -> MaterialUse:
    """Cut a piece for a panel from a sheet or drop on the rack, and put what came back there as a drop.

    The source is used up; the drop carries its heat number on, and its place unless another is said. Of two people
    cutting one sheet at once the second is refused. Raises :class:`MaterialRefused`. The same ``submission`` twice
    cuts once. ``booked_seen`` is how many pieces the person knows to be on the panel and means to add to: any other
    number raises :class:`AlreadyBooked`, so that one cut is not booked by two people, or twice by one.
    """
    Panel.objects.select_for_update().filter(pk=panel.pk).first()  # of two people booking on it, one waits
    held = SheetStock.objects.select_for_update(of=("self",)).select_related("metal").get(pk=sheet.pk)
    if submission and (earlier := MaterialUse.objects.filter(submission=submission).first()):
        return earlier
    piece = Size(length_mm, width_mm)
    drop = Size(drop_length_mm, drop_width_mm) if drop_length_mm and drop_width_mm else None
    _refuse_sheet(panel, held)
    _refuse_sizes(size_of(held), piece, drop)
    if (booked := booked_on(panel)) and len(booked) != booked_seen:
        raise AlreadyBooked(booked)
    use = _write_use(
        MaterialUse(panel=panel, person=person, note=note, submission=submission), held, piece, drop, place
    )
    record(
        person, "cut from sheet", use, changes={"sheet": [held.code, held.state], "cost": ["0", str(use.cost)]},
        job_number=panel.job.number, named=use.in_words(Shop.standing().units),
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
        job_number=held.panel.job.number, named=held.in_words(Shop.standing().units),
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
