"""Form fields for lengths, angles, thicknesses, hours and money.

A field keeps what was typed when it cannot be read, and its message says what would fit. Lengths are typed in
the shop's units and cleaned to millimetres; ``ShopForm`` tells each field which units those are.
"""

import math
import re
from decimal import Decimal, InvalidOperation

from django import forms
from django.core.exceptions import ValidationError

from shop.amounts import SPACES, parse_amount
from shop.figures import FIRST_STYLE, MONEY_STYLES
from shop.gauges import parse_thickness_mm
from shop.lengths import SPACED, Unreadable, angle_to_edit, length_to_edit, parse_angle_rad, parse_length_mm

HALVES = re.compile(r"^(?:([0-9]{1,2})\s+)?([1-9])/([248])$")  # 1 1/2, 3/4
PERCENT = re.compile(r"-?[0-9]{1,6}(\.[0-9]{1,6})?")


class TradeField(forms.CharField):
    """A text field that is read by one of the trade's own readers."""

    unit = ""

    def __init__(self, **kwargs):
        kwargs.setdefault("max_length", None)
        super().__init__(**kwargs)
        self.widget.attrs.setdefault("autocomplete", "off")
        self.widget.attrs.setdefault("inputmode", "text")

    def to_python(self, value):
        text = super().to_python(value)
        if text in self.empty_values:
            return None
        try:
            return self.read(text)
        except Unreadable as error:
            raise ValidationError(str(error), code="unreadable") from error

    def validate(self, value):
        if value is None and self.required:
            raise ValidationError(self.error_messages["required"], code="required")

    def run_validators(self, value):
        if value is not None:
            super().run_validators(value)

    def read(self, text: str) -> float | Decimal:
        raise NotImplementedError

    def said(self, value) -> str:
        """A kept value in words, as it is typed here: 3/4 in, 80 %."""
        return f"{self.prepare_value(value)} {self.unit}".strip()


class LengthField(TradeField):
    """A length in the shop's units, cleaned to millimetres."""

    default_error_messages = {"required": "Write a length, such as 7 in or 180 mm."}

    def __init__(self, *, units: str = "mm", allow_zero: bool = False, **kwargs):
        self.units = units
        self.allow_zero = allow_zero
        self.least_mm, self.most_mm = 0.0, math.inf
        super().__init__(**kwargs)
        self.validators = []

    @property
    def unit(self) -> str:
        return self.units

    def read(self, text):
        length_mm = parse_length_mm(text, bare=self.units)
        if length_mm == 0 and not self.allow_zero:
            raise ValidationError("A length of nothing does not fit here. Write more than 0.", code="zero")
        if not self.least_mm <= length_mm <= self.most_mm:
            least, most = (self.said(limit) for limit in (self.least_mm, self.most_mm))
            raise ValidationError(f"That does not fit here. Write {least} to {most}.", code="range")
        return length_mm

    def prepare_value(self, value):
        return length_to_edit(value, self.units) if isinstance(value, int | float) else value


class AngleField(TradeField):
    """An angle in degrees, cleaned to radians."""

    unit = "°"
    default_error_messages = {"required": "Write an angle in degrees, such as 90."}

    def __init__(self, **kwargs):
        super().__init__(**kwargs)
        self.validators = []

    def read(self, text):
        return parse_angle_rad(text)

    def prepare_value(self, value):
        return angle_to_edit(value) if isinstance(value, int | float) else value


class ThicknessField(TradeField):
    """A sheet thickness as a length or a gauge (18 ga), which depends on the metal's family.

    The family is only known with the rest of the form: clean it there with :meth:`read_for`.
    """

    default_error_messages = {"required": "Write a thickness, such as 1.2 mm, 0.048 in or 18 ga."}

    def __init__(self, *, units: str = "mm", **kwargs):
        self.units = units
        super().__init__(**kwargs)
        self.validators = []

    @property
    def unit(self) -> str:
        return self.units

    def read(self, text):
        return text

    def read_for(self, text: str, family: str) -> float:
        """Return millimetres, or raise ``ValidationError`` with words that say what fits."""
        try:
            return parse_thickness_mm(text, family, bare=self.units)
        except Unreadable as error:
            raise ValidationError(str(error), code="unreadable") from error

    def prepare_value(self, value):
        if isinstance(value, int | float):
            return f"{value:g}" if self.units == "mm" else f"{value / 25.4:.4f}".rstrip("0")
        return value


class HoursField(TradeField):
    """Hours as 1.5, 1,5, 1:30 or 1 h 30, cleaned to a Decimal of at most 24."""

    unit = "h"
    default_error_messages = {"required": "Write hours, such as 1.5 or 1:30."}

    def __init__(self, *, most: Decimal = Decimal("24"), **kwargs):
        self.most = most
        super().__init__(**kwargs)
        self.validators = []
        self.widget.attrs["inputmode"] = "text"

    def read(self, text):
        refusal = ValidationError(
            f"“{text[:20]}” cannot be read as hours. Write 1.5 or 1:30.", code="unreadable"
        )
        plain = text.strip().lower().replace(",", ".").removesuffix("h").strip()
        if plain.endswith("min") and ":" not in plain and "h" not in plain:
            plain = f"0:{plain.removesuffix('min').strip()}"  # 45 min
        plain = HALVES.sub(lambda half: str(int(half[1] or 0) + Decimal(int(half[2])) / int(half[3])), plain)
        plain = SPACES.sub(" ", plain.removesuffix("min")).strip()
        plain = plain.replace(" ", "") if re.fullmatch(SPACED, plain) else plain
        whole, colon, minutes = plain.replace("h", ":").partition(":")
        try:
            if len(plain) > 10 or not re.fullmatch(r"[0-9.:h -]*", plain):
                raise refusal
            hours = Decimal(whole) + (Decimal(int(minutes)) / 60 if colon else 0)
        except (InvalidOperation, ValueError) as error:
            raise refusal from error
        if not hours.is_finite() or (colon and not 0 <= int(minutes) < 60):
            raise refusal
        if not 0 < hours <= self.most:
            raise ValidationError(f"Write more than 0 and at most {self.most} hours.", code="range")
        return hours.quantize(Decimal("0.001"))

    def prepare_value(self, value):
        return f"{value.normalize():f}" if isinstance(value, Decimal) else value


class MoneyField(TradeField):
    """An amount of the shop's currency, not negative, cleaned to a Decimal."""

    default_error_messages = {"required": "Write an amount, such as 125 or 125.50."}

    def __init__(self, *, symbol: str = "", style: str = FIRST_STYLE, **kwargs):
        self.symbol, self.style = symbol, style
        super().__init__(**kwargs)
        self.validators = []
        self.widget.attrs["inputmode"] = "decimal"

    @property
    def unit(self) -> str:
        return self.symbol

    def read(self, text):
        amount = parse_amount(text, self.symbol, self.style)
        if amount < 0:
            raise ValidationError("An amount here is not negative. Write it without a sign.", code="negative")
        if amount >= 10_000_000:
            raise ValidationError("That is ten million or more. Write a smaller amount.", code="range")
        return amount

    def prepare_value(self, value):
        if not isinstance(value, Decimal):
            return value
        return f"{value.normalize():f}".replace(".", MONEY_STYLES[self.style].point)

    def said(self, value) -> str:
        return super().said(Decimal(str(value)))


class PercentField(TradeField):
    """A share, typed and shown in per cent with or without the sign, cleaned to a Decimal.

    It is cleaned to per cent; ``of_one`` cleans it to a share of one, where that is how it is kept. ``least`` and
    ``most`` are per cent either way, and so is what ``decimals`` counts.
    """

    unit = "%"
    default_error_messages = {"required": "Write a share in per cent, such as 15."}

    def __init__(self, *, least: int = 0, most: int = 100, decimals: int = 2, of_one: bool = False, **kwargs):
        self.least, self.most, self.decimals, self.of_one = least, most, decimals, of_one
        super().__init__(**kwargs)
        self.validators = []
        self.widget.attrs["inputmode"] = "decimal"

    def read(self, text):
        plain = text.strip().removesuffix("%").strip().replace(",", ".")
        if not PERCENT.fullmatch(plain):
            raise ValidationError(
                f"“{text[:20]}” cannot be read as a share. Write per cent, such as 15.", code="unreadable"
            )
        percent = Decimal(plain)
        if not self.least <= percent <= self.most:
            raise ValidationError(f"Write {self.least} to {self.most} %.", code="range")
        if percent != round(percent, self.decimals):
            finest = f"with at most {self.decimals} decimals" if self.decimals else "whole per cent"
            raise ValidationError(f"That is finer than is kept here. Write {finest}.", code="decimals")
        return percent / 100 if self.of_one else percent

    def prepare_value(self, value):
        if not isinstance(value, int | float | Decimal):
            return value
        percent = Decimal(str(value)) * (100 if self.of_one else 1)
        return f"{percent.normalize():f}"

    def said(self, value) -> str:
        return super().said(Decimal(str(value)))
