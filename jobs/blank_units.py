"""What ``blank`` writes for reading in an inch shop: lengths as its rule shows them, its pounds and square feet."""

from __future__ import annotations

from functools import partial

from jobs.forming.said import Measure, Measures
from shop.figures import DM2_MM2, FT2_MM2, IN2_MM2, POUND_KG
from shop.gauges import format_thickness
from shop.lengths import INCH_MM, format_length

FOOT_M = 12 * float(INCH_MM) / 1000


def _scaled(value: float, *, by: float) -> str:
    return f"{value / by:.2f}"


_ON_THE_RULE = Measure("in", partial(format_length, units="in", with_unit=False))
# A blank cut a hair too small is scrap, and a sheet's thickness is read off a micrometer, not a rule.
_CUT = Measure("in", partial(format_length, units="in", with_unit=False, up=True))
_GAUGED = Measure("in", partial(format_thickness, units="in", with_unit=False))
INCHES: Measures = {
    "mm": _ON_THE_RULE,
    "mm²": Measure("in²", partial(_scaled, by=IN2_MM2)),
    "dm²": Measure("ft²", partial(_scaled, by=FT2_MM2 / DM2_MM2)),
    "m": Measure("ft", partial(_scaled, by=FOOT_M)),
    "kg": Measure("lb", partial(_scaled, by=float(POUND_KG))),
    "blank_width_mm": _CUT,
    "blank_length_mm": _CUT,
    "thinnest_mm": _GAUGED,
    "thickest_mm": _GAUGED,
    "thickness_mm": _GAUGED,
}
