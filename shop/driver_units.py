"""What stages' hours grow with, in the shop's own units: metres and dm² inside, feet, in² and ft² in an inch shop.

Areas moved are small, so an inch shop counts them in square inches; the others in square feet.
"""

from dataclasses import dataclass

from shop.figures import DM2_MM2, FT2_MM2, IN2_MM2
from shop.lengths import INCH_MM, Units


@dataclass(frozen=True, slots=True)
class DriverUnit:
    """A unit that a driver is written in; ``kept`` is how much of what is kept makes one of it."""

    name: str
    kept: float = 1.0

    def shown(self, amount: float) -> float:
        """A kept amount in this unit."""
        return amount / self.kept

    def rate(self, hours_per_kept: float) -> float:
        """Hours for one of what is kept, as hours for one of this unit."""
        return hours_per_kept * self.kept


_METRIC = {
    "layout_m": DriverUnit("m"),
    "moved_dm2": DriverUnit("dm²"),
    "worked_dm2": DriverUnit("dm²"),
    "finished_dm2": DriverUnit("dm²"),
}
_INCH = {
    "layout_m": DriverUnit("ft", float(12 * INCH_MM) / 1000),
    "moved_dm2": DriverUnit("in²", IN2_MM2 / DM2_MM2),
    "worked_dm2": DriverUnit("ft²", FT2_MM2 / DM2_MM2),
    "finished_dm2": DriverUnit("ft²", FT2_MM2 / DM2_MM2),
}
_MEANINGS = {
    "layout_m": "outline and lines",
    "moved_dm2": "area moved",
    "worked_dm2": "area worked",
    "finished_dm2": "finished area",
}


def driver_unit(driver: str, units: Units = "mm") -> DriverUnit:
    """The unit a shop writes a driver in. Raises ``KeyError`` for fixed hours, which are counted in nothing."""
    return (_INCH if units == "in" else _METRIC)[driver]


def driver_words(driver: str, units: Units = "mm") -> str:
    """What a driver is, with the shop's unit: area moved, in².

    >>> driver_words("moved_dm2", "in"), driver_words("layout_m"), driver_words("fixed")
    ('area moved, in²', 'outline and lines, m', 'fixed hours')
    """
    return f"{_MEANINGS[driver]}, {driver_unit(driver, units).name}" if driver in _MEANINGS else "fixed hours"
