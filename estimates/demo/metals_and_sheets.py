"""What the example shop pays for metal, what stands on its rack, and cutting a panel out of it."""

import math
from decimal import Decimal

from estimates.demo.moments import Days
from jobs.material import use_sheet
from jobs.models import MaterialUse, Panel
from jobs.rack import Size, blank_size, size_of, sorted_by_fit, what_is_left
from shop.models import GatherSize, Metal, Person, SheetStock
from shop.stock import add_sheets, keep_metal

PRICE_PER_KG = {
    "steel": "1.90", "galvanized": "2.30", "stainless": "5.20", "aluminium": "6.80", "copper": "13.50",
    "brass": "9.80", "titanium": "48", "zinc": "6.10",
}  # fmt: skip
METALS = {
    "steel": "Steel, deep-drawing quality", "galvanized": "Galvanized steel", "stainless": "Stainless 304, annealed",
    "aluminium": "Aluminium 1100-O", "copper": "Copper C11000, soft", "brass": "Brass C26000, annealed",
    "zinc": "Zinc, rolled",
}  # fmt: skip
# Metal, thickness, length and width in mm, how many, where, heat number.
RACK = [
    ("aluminium", 1.6, 2500, 1250, 2, "rack 2", "A4471"), ("aluminium", 1.2, 2000, 1000, 1, "rack 2", "A4390"),
    ("copper", 1.0, 2000, 1250, 1, "rack 1", "C0218"), ("steel", 1.2, 2500, 1250, 2, "rack 3", ""),
    ("zinc", 0.8, 2000, 1250, 1, "rack 1", ""), ("galvanized", 1.0, 2000, 1000, 1, "rack 3", ""),
    ("brass", 1.0, 2000, 1000, 1, "rack 1", "B7702"),
]  # fmt: skip


def price_metals(osk: Person) -> dict[str, Metal]:
    """Give every metal its price, and add the zinc that no table of the book holds. By family."""
    zinc = Metal(
        name=METALS["zinc"],
        family=Metal.Family.ZINC,
        density_kg_m3=7150.0,
        elongation=0.35,
        source="from memory",
    )
    keep_metal(zinc, dict.fromkeys(GatherSize.Method.values, (5.0, 25.0)), osk)
    for metal in Metal.objects.all():
        metal.price_per_kg = Decimal(PRICE_PER_KG[metal.family])
        keep_metal(metal, {}, osk)
    return {family: Metal.objects.get(name=name) for family, name in METALS.items()}


def whole_sheet(metal: Metal, thickness_mm: float, length_mm: float, width_mm: float, **where) -> SheetStock:
    """A sheet as it is bought, unsaved: by weight."""
    sheet = SheetStock(
        metal=metal, thickness_mm=thickness_mm, length_mm=length_mm, width_mm=width_mm, **where
    )
    sheet.cost = (Decimal(repr(sheet.mass_kg)) * metal.price_per_kg).quantize(Decimal("0.01"))
    return sheet


def stock_the_rack(metals: dict[str, Metal], osk: Person) -> None:
    """Whole sheets on the rack."""
    for family, thickness_mm, length_mm, width_mm, how_many, place, heat_number in RACK:
        sheet = whole_sheet(
            metals[family], thickness_mm, length_mm, width_mm, place=place, heat_number=heat_number
        )
        add_sheets(sheet, how_many, osk)


def order_sheet(metal: Metal, thickness_mm: float, osk: Person) -> None:
    """One more sheet, ordered and not yet in."""
    ordered = whole_sheet(metal, thickness_mm, 2500, 1250, state=SheetStock.State.ORDERED)
    add_sheets(ordered, 1, osk)


def cut(panel: Panel, person: Person) -> MaterialUse:
    """Cut a panel's blank out of the smallest piece that holds it, a new sheet where none does; keep the drop."""
    blank = blank_size(panel)
    piece = Size(math.ceil(blank.length_mm), math.ceil(blank.width_mm))
    sheet = next(iter(sorted_by_fit(panel)[0]), None)
    if sheet is None or not piece.fits_in(size_of(sheet)):
        bought = whole_sheet(panel.metal, panel.thickness_mm, 2500, 1250, place="rack 3")
        sheet = add_sheets(bought, 1, person)[0]
    left = what_is_left(size_of(sheet), piece)
    drop = (math.floor(left.length_mm), math.floor(left.width_mm)) if left else (None, None)
    return use_sheet(panel, sheet, piece.length_mm, piece.width_mm, *drop, person=person, place="drops")


def date_sheets(days: Days) -> None:
    """Say since when sheets are in the book: a new row is dated by the machine's own day."""
    cut_from_stock = SheetStock.objects.filter(kind=SheetStock.Kind.DROP, left_over_from__isnull=False)
    for drop in cut_from_stock.select_related("left_over_from"):
        SheetStock.objects.filter(pk=drop.pk).update(added_on=drop.left_over_from.at.date())
    whole = SheetStock.objects.filter(kind=SheetStock.Kind.WHOLE)
    whole.exclude(state=SheetStock.State.ORDERED).update(added_on=days.ago(300).date())
    whole.filter(state=SheetStock.State.ORDERED).update(added_on=days.ago(3).date())
