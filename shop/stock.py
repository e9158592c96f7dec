"""Sheets and drops: adding them, moving them between ordered, on the rack and used up."""

from django.db import transaction

from shop.codes import new_code
from shop.keeping import keep
from shop.models import Metal, Person, SheetStock, Shop

KEPT = [
    "metal",
    "thickness_mm",
    "length_mm",
    "width_mm",
    "cost",
    "kind",
    "state",
    "expected_on",
    "place",
    "heat_number",
]


@transaction.atomic
def add_sheets(sheet: SheetStock, how_many: int, person: Person) -> list[SheetStock]:
    """Add a number of like sheets, each with a code of its own."""
    sheets = []
    for _ in range(how_many):
        values = {name: getattr(sheet, name) for name in KEPT}
        sheets.append(keep(SheetStock(**values, code=new_code()), person, KEPT, "sheet", _named(sheet)))
    return sheets


def change_sheet(sheet: SheetStock, person: Person) -> SheetStock:
    return keep(sheet, person, KEPT, "sheet", _named(sheet))


def _named(sheet: SheetStock) -> str:
    return sheet.in_words(Shop.standing().units)


@transaction.atomic
def sheet_arrived(sheet: SheetStock, person: Person) -> SheetStock:
    """Put an ordered sheet on the rack. Pressing twice does no harm."""
    sheet = SheetStock.objects.select_for_update().get(pk=sheet.pk)
    if sheet.state == SheetStock.State.ORDERED:
        sheet.state = SheetStock.State.RACK
        keep(sheet, person, KEPT, "sheet", _named(sheet))
    return sheet


@transaction.atomic
def keep_metal(metal: Metal, sizes: dict[str, tuple[float, float]], person: Person) -> Metal:
    """Save a metal with what one gather takes in it: ``sizes`` maps a method to gather and die width, mm."""
    fields = [
        "name",
        "family",
        "density_kg_m3",
        "elongation",
        "bend_limits",
        "price_per_kg",
        "source",
        "in_use",
    ]
    keep(metal, person, fields, "metal")
    for method, (gather_mm, die_width_mm) in sizes.items():
        metal.gather_sizes.update_or_create(
            method=method, defaults={"gather_mm": gather_mm, "die_width_mm": die_width_mm}
        )
    return metal
