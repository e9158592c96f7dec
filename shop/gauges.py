"""Gauge numbers: one number, a different thickness for every family of metals.

Sources
-------
1. 15 U.S.C. 206, standard gauge for sheet and plate iron and steel: ounces per square foot and thickness.
2. Manufacturers' Standard Gauge for steel sheet: the weight of [1] over 41.82 lb/ft² per inch of thickness.
3. Galvanized sheet gauge: the weight of [1] and 2.5 oz/ft² of zinc, over the same 41.82.
4. American Wire Gauge (Brown & Sharpe), also used for aluminium, copper and brass sheet:
   0.005 in × 92^((36 − n)/39).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from shop.lengths import INCH_MM, Units, UnreadableLength, parse_length_mm

MAX_SHEET_MM = 25.0
NEAR = 0.1  # gauges stand about a ninth apart, so a named gauge is never further off than a tenth

_OUNCES_PER_FT2 = {  # [1]
    8: 110, 9: 100, 10: 90, 11: 80, 12: 70, 13: 60, 14: 50, 15: 45, 16: 40, 17: 36, 18: 32, 19: 28, 20: 24,
    21: 22, 22: 20, 23: 18, 24: 16, 25: 14, 26: 12,
}  # fmt: skip
_IRON_LB_PER_FT2_IN = 40  # what the law's two columns imply: 480 lb/ft³, wrought iron
_STEEL_LB_PER_FT2_IN = Fraction("41.82")
_ZINC_LB_PER_FT2 = Fraction("0.15625")
_WIRE_GAUGES = range(1, 37)
_WIRE_FAMILIES = ("aluminium", "copper", "brass")
_SHEET_FAMILIES = ("steel", "galvanized", "stainless")
GAUGED = _SHEET_FAMILIES + _WIRE_FAMILIES
"""The families of metals that are sold by gauge."""

_GAUGE = re.compile(r"(?:(?:gauge|ga\.?|no\.?|#)\s*)?([0-9]{1,3})\s*(?:gauge|gage|ga\.?|g)", re.IGNORECASE)
_NUMBERED = re.compile(r"(?:gauge|gage|ga\.?|no\.?|#)\s*([0-9]{1,3})", re.IGNORECASE)


class UnknownGauge(UnreadableLength):
    """A gauge number that the family of metals has no thickness for."""


SOLD_WITHIN = 0.02  # a sheet 2 % off a gauge is sold by it: 1/16 in aluminium as 14 ga (0.0641 in)


@dataclass(frozen=True, slots=True)
class NearGauge:
    """The gauge nearest to a thickness; ``off_mm`` is how much thicker the sheet is than the gauge."""

    number: int
    thickness_mm: float
    off_mm: float


def gauges_of(family: str) -> tuple[int, ...]:
    """Return the gauge numbers a family of metals is sold by, thickest first; none for titanium and zinc."""
    if family in _SHEET_FAMILIES:
        return tuple(_OUNCES_PER_FT2)
    return tuple(_WIRE_GAUGES) if family in _WIRE_FAMILIES else ()


def nominal_weight_lb_ft2(gauge: int) -> Fraction:
    """Return the weight that the law gives a steel gauge [1], pounds per square foot.

    Mills bill by this weight; it is about 2 % more than density and thickness give.

    >>> nominal_weight_lb_ft2(18)
    Fraction(2, 1)
    """
    if gauge not in _OUNCES_PER_FT2:
        raise UnknownGauge(_no_such_gauge(gauge, "steel"))
    return Fraction(_OUNCES_PER_FT2[gauge], 16)


def gauge_thickness_mm(gauge: int, family: str) -> float:
    """Return the thickness of a gauge in a family of metals, millimetres.

    Steel [2], galvanized [3] and the wire gauges [4] are rounded to 0.0001 in, as the published tables are;
    stainless [1] is exact. Steel families run from 8 to 26, the others from 1 to 36.

    Raises :class:`UnknownGauge` for a number outside the table or a family that has no gauges.

    >>> round(gauge_thickness_mm(18, "steel"), 3), round(gauge_thickness_mm(18, "aluminium"), 3)
    (1.214, 1.024)
    """
    if gauge not in gauges_of(family):
        raise UnknownGauge(_no_such_gauge(gauge, family))
    return float(_thickness_in(gauge, family) * INCH_MM)


def is_gauge(text: str) -> bool:
    """Say whether a text is a gauge with its word, such as ``18 ga``, and no length.

    >>> is_gauge("18 ga"), is_gauge("#18"), is_gauge("1.2")
    (True, True, False)
    """
    return _gauge_in(text) is not None


def parse_thickness_mm(text: str, family: str, *, bare: Units = "mm") -> float:
    """Read a sheet's thickness, ``18 ga``, ``1.2``, ``0.048 in`` or ``3/64"``, and return millimetres.

    Parameters
    ----------
    text
        A gauge number with its word (``18 ga``, ``#18``, ``gauge 18``) or a length.
    family
        The family of the metal, which decides what a gauge number means.
    bare
        The unit of a number without one.

    Raises
    ------
    UnknownGauge
        The family has no such gauge.
    UnreadableLength
        Not a length; nought; over 25 mm; or a bare whole number from 7 up, which is likelier a gauge.
    """
    clean = text.strip()
    if gauge := _gauge_in(clean):
        return gauge_thickness_mm(int(gauge[1]), family)
    if re.fullmatch(r"[0-9]{1,2}", clean) and int(clean) >= 7:
        raise UnreadableLength(f"“{clean}” may be a gauge or a length. Write {clean} ga or {clean} {bare}.")
    thickness_mm = parse_length_mm(text, bare=bare)
    if not 0 < thickness_mm <= MAX_SHEET_MM:
        raise UnreadableLength(
            f"“{clean}” is no thickness of sheet. Write more than 0 and at most "
            f"{format_thickness(MAX_SHEET_MM, bare)}."
        )
    return thickness_mm


def nearest_gauge(thickness_mm: float, family: str) -> NearGauge | None:
    """Return the gauge nearest to a thickness, or ``None`` where the family has none within a tenth of it.

    >>> nearest_gauge(1.2, "steel").number
    18
    """
    near = [
        NearGauge(number, gauge_mm, thickness_mm - gauge_mm)
        for number in gauges_of(family)
        if abs(thickness_mm - (gauge_mm := gauge_thickness_mm(number, family))) <= NEAR * gauge_mm
    ]
    return min(near, key=lambda gauge: abs(gauge.off_mm), default=None)


def format_thickness(thickness_mm: float, units: Units = "mm", with_unit: bool = True) -> str:
    """Write a thickness: inches to 0.001, millimetres to 0.01. Raises ``ValueError`` where it is not finite.

    >>> format_thickness(1.21412), format_thickness(1.21412, "in"), format_thickness(1.6)
    ('1.21 mm', '0.048 in', '1.6 mm')
    """
    if not math.isfinite(thickness_mm):
        raise ValueError(f"A thickness must be a finite number, not {thickness_mm}.")
    if units == "in":
        written = f"{thickness_mm / float(INCH_MM):.3f}"
    else:
        written = f"{thickness_mm:.2f}".rstrip("0").removesuffix(".")
    return f"{written} {units}" if with_unit else written


def sold_as(thickness_mm: float, family: str, units: Units = "mm") -> str:
    """Write a thickness as a sheet of this family is bought: by its gauge too where the shop works in inches.

    >>> sold_as(1.21412, "steel", "in"), sold_as(1.21412, "steel"), sold_as(1.6, "aluminium", "in")
    ('18 ga (0.048 in)', '1.21 mm', '14 ga (0.063 in)')
    """
    written = format_thickness(thickness_mm, units)
    gauge = nearest_gauge(thickness_mm, family) if units == "in" else None
    if gauge is None or abs(gauge.off_mm) > SOLD_WITHIN * gauge.thickness_mm:
        return written
    return f"{gauge.number} ga ({written})"


def _thickness_in(gauge: int, family: str) -> Fraction:
    """Return the thickness of a gauge known to be in the family's table, inches."""
    if family == "stainless":
        return nominal_weight_lb_ft2(gauge) / _IRON_LB_PER_FT2_IN
    if family in _WIRE_FAMILIES:
        return Fraction(f"{0.005 * 92 ** ((36 - gauge) / 39):.4f}")
    zinc = _ZINC_LB_PER_FT2 if family == "galvanized" else 0
    ten_thousandths = (nominal_weight_lb_ft2(gauge) + zinc) / _STEEL_LB_PER_FT2_IN * 10_000
    return Fraction(round(ten_thousandths), 10_000)


def _gauge_in(text: str) -> re.Match[str] | None:
    clean = text.strip()
    return _GAUGE.fullmatch(clean) or _NUMBERED.fullmatch(clean)


def _no_such_gauge(gauge: int, family: str) -> str:
    known = gauges_of(family)
    if not known:
        return f"There is no gauge table for {family or 'this metal'}. Write the thickness in mm or in."
    return f"There is no {gauge} ga in {family}. Use {known[0]} to {known[-1]} ga, or write mm or in."
