"""The shop's standing data: who works here, at which rates, from which metals and sheets."""

from shop.models.audit import AuditEntry
from shop.models.metals import GatherSize, Metal, SheetStock
from shop.models.people import DayOff, Person
from shop.models.shop import Shop
from shop.models.stages import LabourRate, StageKind

__all__ = [
    "AuditEntry",
    "DayOff",
    "GatherSize",
    "LabourRate",
    "Metal",
    "Person",
    "SheetStock",
    "Shop",
    "StageKind",
]
