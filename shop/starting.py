"""What a new shop starts with: four stages with first rates, metals with sources, gathers to take up.

The first rates and gathers are assumed, and say so on their page; the shop's own past panels outweigh them.
"""

from datetime import date
from decimal import Decimal

from django.db import transaction

from shop.audit import record
from shop.lengths import INCH_MM, Units
from shop.metals_table import STANDARD_METALS
from shop.models import GatherSize, LabourRate, Metal, Person, Shop, StageKind

# Slug, name, driver, hours for one unit of the driver. Assumed: see estimates.hours.rates.
FOUR_STAGES = (
    ("layout", "Layout", StageKind.Driver.LAYOUT_M, 0.20),
    ("gathering", "Gathering", StageKind.Driver.MOVED_DM2, 1.80),
    ("blending", "Blending", StageKind.Driver.WORKED_DM2, 0.10),
    ("smoothing", "Smoothing", StageKind.Driver.FINISHED_DM2, 0.08),
)
ASSUMED_SPREAD = 0.25

# What one gather takes up at the edge, millimetres, and the die's width. Common practice, no source.
GATHER_MM = {
    Metal.Family.ALUMINIUM: 6.0,
    Metal.Family.COPPER: 6.0,
    Metal.Family.ZINC: 5.0,
    Metal.Family.BRASS: 4.5,
    Metal.Family.STEEL: 4.5,
    Metal.Family.GALVANIZED: 4.5,
    Metal.Family.STAINLESS: 3.0,
    Metal.Family.TITANIUM: 3.0,
}
DIE_WIDTH_MM = {GatherSize.Method.HAND: 25.0, GatherSize.Method.POWER: 40.0}


@transaction.atomic
def start_shop(shop: Shop, owner: Person, *, per_hour: Decimal, on: date) -> Shop:
    """Save a new shop, its owner and the standing data it starts with; every labour rate is ``per_hour``.

    Raises ``ValueError`` where a shop stands already.
    """
    if Shop.objects.exists():
        raise ValueError("This book has its shop already.")
    shop.save()
    owner.role = Person.Role.OWNER
    owner.save()
    for position, (slug, name, driver, hours_per_unit) in enumerate(FOUR_STAGES, start=1):
        kind = StageKind.objects.create(
            slug=slug, name=name, position=position, driver=driver,
            hours_per_unit=hours_per_unit, spread=ASSUMED_SPREAD,
        )  # fmt: skip
        LabourRate.objects.create(stage_kind=kind, per_hour=per_hour, holds_from=on)
    add_standard_metals(shop.units)
    record(owner, "set the shop up", shop)
    return shop


def add_standard_metals(units: Units) -> None:
    """Store the standard metals, each with its gathers by hand and by power hammer, in sizes the shop's rule shows."""
    for standard in STANDARD_METALS:
        metal = Metal.objects.create(
            name=standard.name,
            family=standard.family,
            density_kg_m3=standard.density_kg_m3,
            elongation=standard.elongation,
            bend_limits=[[limit.up_to_mm, limit.radius_t] for limit in standard.bend_limits],
            source=standard.source[:200],
        )
        GatherSize.objects.bulk_create(
            GatherSize(
                metal=metal,
                method=method,
                gather_mm=_on_the_rule(GATHER_MM[Metal.Family(standard.family)], 1 / 16, units),
                die_width_mm=_on_the_rule(die_width_mm, 1 / 2, units),
            )
            for method, die_width_mm in DIE_WIDTH_MM.items()
        )


def _on_the_rule(length_mm: float, step_in: float, units: Units) -> float:
    """A first size as it is; for an inch shop the nearest step of inches, such as 1/4 in for 6 mm."""
    step_mm = step_in * float(INCH_MM)
    return round(round(length_mm / step_mm) * step_mm, 4) if units == "in" else length_mm
