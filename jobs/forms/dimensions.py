"""Form fields for the dimensions of a shape, made from what ``jobs.forming`` says of each."""

import math
import re

from django import forms
from django.core.exceptions import ValidationError

from jobs.forming.dimension import Dimension
from shop.forms import AngleField, LengthField
from shop.forms.fields import TradeField
from shop.lengths import INCH_MM, THIN_SPACE, Unreadable, angle_to_edit, length_to_edit, parse_length_mm

MOST_LENGTHS = 50
MOST_CHARACTERS = MOST_LENGTHS * 20
# A starting length in inches is one that a rule shows.
START_STEP_MM = float(INCH_MM) / 8

_BETWEEN = re.compile(r";|,(?=\s)|\n")


class LengthsField(TradeField):
    """Several lengths in the shop's units, cleaned to a list of millimetres: ``60; 120; 60``."""

    default_error_messages = {"required": "Write two or more lengths, such as 60; 120; 60."}
    is_long = True  # takes a whole row

    def __init__(self, *, units: str = "mm", **kwargs):
        self.units = units
        super().__init__(**kwargs)
        self.validators = []

    @property
    def unit(self) -> str:
        return self.units

    def read(self, text):
        if len(text) > MOST_CHARACTERS:
            raise ValidationError(f"That is too long. Write at most {MOST_LENGTHS} lengths.", code="flood")
        written = [part.strip() for part in _BETWEEN.split(text) if part.strip()]
        if not 1 <= len(written) <= MOST_LENGTHS:
            raise ValidationError(
                f"Write 2 to {MOST_LENGTHS} lengths, with a semicolon between.", code="count"
            )
        return [self._one(part) for part in written]

    def _one(self, part: str) -> float:
        try:
            return parse_length_mm(part, bare=self.units)
        except Unreadable as error:
            hint = " Put a semicolon between two lengths." if part.count(",") > 1 else ""
            raise ValidationError(f"{error}{hint}", code="unreadable") from error


class PlainNumberField(TradeField):
    """A number without a unit, cleaned to a float."""

    default_error_messages = {"required": "Write a number."}

    def __init__(self, **kwargs):
        super().__init__(**kwargs)
        self.validators = []
        self.widget.attrs["inputmode"] = "decimal"

    def read(self, text):
        plain = text.strip().replace(",", ".")
        if not re.fullmatch(r"[0-9]{0,6}(\.[0-9]{0,10})?", plain) or plain.strip(".") == "":
            raise ValidationError(
                f"“{text[:20]}” cannot be read as a number. Write 0.4, for example.", code="unreadable"
            )
        return float(plain)

    def prepare_value(self, value):
        return f"{value:g}" if isinstance(value, int | float) else value


def field_for(dimension: Dimension, units: str) -> forms.Field:
    """The field of one dimension, in the shop's units."""
    said = {"label": dimension.label, "help_text": dimension.help, "required": dimension.required}
    match dimension.kind:
        case "length":
            return LengthField(units=units, allow_zero=dimension.may_be_zero, **said)
        case "lengths":
            help_text = f"{dimension.help} Put a semicolon between them.".strip()
            return LengthsField(units=units, **{**said, "help_text": help_text})
        case "angle":
            return AngleField(**said)
        case "number":
            return PlainNumberField(**said)
        case "choice":
            wrong = {"invalid_choice": "Pick one of these.", "required": "Pick one of these."}
            return forms.ChoiceField(choices=dimension.choices, error_messages=wrong, **said)
        case _:
            return forms.BooleanField(**{**said, "required": False})


def text_of(dimension: Dimension, value: object, units: str) -> str:
    """A stored value of a dimension as it is typed into its field; a flag that is not set is no text at all."""
    match dimension.kind:
        case _ if value is None or value is False:
            return ""
        case "length":
            return length_to_edit(value, units)
        case "lengths":
            return "; ".join(length_to_edit(length_mm, units) for length_mm in value)
        case "angle":
            return angle_to_edit(value)
        case "number":
            return f"{value:g}"
        case "flag":
            return "on"
        case _:
            return str(value)


def starting_text(dimension: Dimension, units: str) -> str:
    """What a new panel's field starts with, so that there is a shape to see at once."""
    return text_of(dimension, _rounded(dimension, units), units)


def _rounded(dimension: Dimension, units: str) -> object:
    if units == "mm" or dimension.kind not in ("length", "lengths"):
        return dimension.example
    if dimension.kind == "lengths":
        return tuple(_to_a_rule(length_mm) for length_mm in dimension.example)
    return _to_a_rule(dimension.example)


def _to_a_rule(length_mm: float) -> float:
    return max(1, math.floor(length_mm / START_STEP_MM + 0.5)) * START_STEP_MM if length_mm else 0.0


def as_typed(text: str) -> str:
    """A typed value as a sentence repeats it: short, without odd spaces."""
    return " ".join(text.replace(THIN_SPACE, " ").split())[:40]
