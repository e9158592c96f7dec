"""Form fields for figures that are kept in one unit and typed in the shop's own.

What a field shows is rounded; left as it was shown, it keeps what is stored to the last digit.
"""

import re
from decimal import Decimal

from django.core.exceptions import ValidationError

from shop.figures import LB_IN3_KG_M3, POUND_KG
from shop.forms.fields import MoneyField, TradeField

PLAIN = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{0,9})?|[.,][0-9]{1,9}")
MICRO = Decimal("0.000001")


class KeptInAnotherUnit:
    """Mixin: ``held`` is what is stored, which comes back where the text is still what was shown for it."""

    held = None
    units = "mm"

    def use(self, units: str) -> None:
        """Read and show in the units of a shop that works in inches or in millimetres."""
        self.units = units

    def to_python(self, value):
        if self.held is not None and (value or "").strip() == self.prepare_value(self.held):
            return self.held
        return super().to_python(value)


class ScaledField(KeptInAnotherUnit, TradeField):
    """A plain figure above nought; ``scale`` of what is kept make one of the unit it is typed in."""

    default_error_messages = {"required": "Write a figure, such as 1.8."}

    def __init__(self, *, scale: float = 1.0, unit: str = "", **kwargs):
        self.scale, self.unit = scale, unit
        super().__init__(**kwargs)
        self.validators = []

    def read(self, text):
        if not PLAIN.fullmatch(text):
            raise ValidationError(
                f"“{text[:20]}” cannot be read. Write a figure, such as 1.8.", code="unreadable"
            )
        return float(text.replace(",", ".")) * self.scale

    def prepare_value(self, value):
        return f"{value / self.scale:.5g}" if isinstance(value, int | float) else value


class DensityField(ScaledField):
    """A density in kg/m³, or in lb/in³ in an inch shop, cleaned to kg/m³."""

    LEAST_KG_M3, MOST_KG_M3 = 500, 25_000

    def use(self, units: str) -> None:
        self.scale, self.unit = (LB_IN3_KG_M3, "lb/in³") if units == "in" else (1.0, "kg/m³")

    def read(self, text):
        density_kg_m3 = super().read(text)
        if not self.LEAST_KG_M3 <= density_kg_m3 <= self.MOST_KG_M3:
            fits = " to ".join(
                self.prepare_value(float(each)) for each in (self.LEAST_KG_M3, self.MOST_KG_M3)
            )
            raise ValidationError(f"No sheet metal weighs that. Write {fits} {self.unit}.", code="range")
        return density_kg_m3


class PriceByMassField(KeptInAnotherUnit, MoneyField):
    """What a kilogram costs, or in an inch shop a pound, cleaned to the price of a kilogram to six decimals."""

    def use(self, units: str) -> None:
        self.units = units
        self.label = "Price for a pound" if units == "in" else "Price for a kilogram"

    def read(self, text):
        amount = super().read(text)
        return (amount / POUND_KG).quantize(MICRO) if self.units == "in" else amount

    def prepare_value(self, value):
        if self.units == "in" and isinstance(value, Decimal):
            value = (value * POUND_KG).quantize(Decimal("0.0001"))
        return super().prepare_value(value)
