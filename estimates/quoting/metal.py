"""What the metal of a quote costs: the part of a sheet on the rack or on order, or else by the kilogram."""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from estimates.pricing.entries import ByMass, Entry, Override, PartOfSheet
from jobs.cutting import CutSheet, lay_out
from jobs.models import Panel
from jobs.sheets_needed import THICKNESS_PLAY_MM, blank_of
from shop.lengths import Units
from shop.models import SheetStock

GRAM = Decimal("0.001")


def sheets_for(panels: Iterable[Panel]) -> dict[int, SheetStock]:
    """The sheet or drop each panel's blank is cut from, by the panel's key, in one query.

    Blanks of one metal and thickness are laid out together, so that two never come out of the same corner; the
    smallest sheet that takes a blank serves it first. A sheet without a cost tells no price and is passed over.
    """
    alike: dict[tuple[int, float], list[Panel]] = defaultdict(list)
    for panel in panels:
        alike[panel.metal_id, round(panel.thickness_mm, 2)].append(panel)
    stock = SheetStock.objects.exclude(state=SheetStock.State.USED).filter(
        metal__in={metal for metal, _ in alike}, cost__gt=0
    )
    by_metal: dict[int, list[SheetStock]] = defaultdict(list)
    for sheet in stock:
        by_metal[sheet.metal_id].append(sheet)
    found: dict[int, SheetStock] = {}
    for (metal, thickness_mm), group in alike.items():
        fitting = [s for s in by_metal[metal] if abs(s.thickness_mm - thickness_mm) <= THICKNESS_PLAY_MM]
        found |= _laid_out(group, fitting)
    return found


def _laid_out(panels: list[Panel], stock: list[SheetStock]) -> dict[int, SheetStock]:
    sheets = [
        CutSheet(sheet, sheet.length_mm, sheet.width_mm) for sheet in sorted(stock, key=lambda s: s.area_mm2)
    ]
    lay_out(map(blank_of, panels), sheets)
    return {blank.key.pk: sheet.key for sheet in sheets for blank, _ in sheet.placed}


def blank_mass_kg(panel: Panel) -> Decimal:
    """What the blank is priced by: the mass of its rectangle, to a gram."""
    return Decimal(repr(panel.blank_mass_kg)).quantize(GRAM)


def metal_entry(
    panel: Panel, sheet: SheetStock | None, *, key: str, part: str, override: Override | None, units: Units
) -> Entry:
    """The metal of one panel as a line of the quote."""
    given = {"key": key, "part": part, "override": override}
    if sheet is not None:
        used_mm2 = panel.blank_length_mm * panel.blank_width_mm
        kind = "drop" if sheet.kind == SheetStock.Kind.DROP else "sheet"
        return PartOfSheet(
            name=f"{panel.metal}, from the {kind} {sheet.code}",
            used_mm2=Decimal(f"{used_mm2:.3f}"),
            sheet_mm2=Decimal(f"{sheet.area_mm2:.3f}"),
            sheet_cost=sheet.cost,
            **given,
        )
    return ByMass(
        name=f"{panel.metal}, by mass",
        mass_kg=blank_mass_kg(panel),
        price_per_kg=panel.metal.price_per_kg,
        units=units,
        **given,
    )
