"""What the trail kept, as people read it: every kept value has its unit in its name, and is shown in the shop's own."""

from collections.abc import Callable
from decimal import Decimal, InvalidOperation

from shop import figures
from shop.gauges import format_thickness
from shop.lengths import Units, format_angle, format_length

# Columns that keep a share of one; people read and write all shares in per cent.
SHARES_OF_ONE = {"confidence", "second_hand_factor", "elongation", "progress"}
AMOUNTS = {"amount", "consumables_per_hour", "cost", "per_hour", "price_per_kg", "total"}
UNITS_IN_NAMES = ("_mm", "_rad", "_percent", "_kg_m3", "_per_kg", "_id")


def field_words(name: str) -> str:
    """A column's name without its unit: bench hours per day.

    >>> field_words("outside_radius_mm"), field_words("price_per_kg")
    ('outside radius', 'price')
    """
    for ending in UNITS_IN_NAMES:
        name = name.removesuffix(ending)
    return name.replace("_", " ")


def amount_in_words(value: object, name: str, units: Units, write: Callable[[Decimal], str]) -> str | None:
    """A kept amount as the shop writes money; nothing where the column keeps none.

    >>> amount_in_words("10", "price_per_kg", "in", "${:.2f}".format)
    '$4.54 a pound'
    """
    if name not in AMOUNTS or value is None:
        return None
    try:
        amount = Decimal(str(value))
    except InvalidOperation:
        return None
    if name != "price_per_kg":
        return write(amount)
    return f"{write(amount * figures.POUND_KG)} a pound" if units == "in" else f"{write(amount)} a kilogram"


def value_in_words(value: object, name: str, units: Units) -> object:
    """A kept value in the shop's units, by what its column's name says it is; what is no number stays as it is.

    >>> value_in_words(44.45, "trim_mm", "in"), value_in_words({"depth_mm": 60.0, "stretch": False}, "dimensions", "mm")
    ('1\\xa03/4 in', 'depth 60 mm, stretch no')
    >>> value_in_words("0.85", "second_hand_factor", "mm"), value_in_words(None, "place", "mm")
    ('85 %', 'nothing')
    """
    if value is None or value == "":
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return ", ".join(
            f"{field_words(key)} {value_in_words(each, key, units)}" for key, each in value.items()
        )
    if name == "bend_limits" and isinstance(value, list):
        return (
            "; ".join(f"{format_thickness(up_to, units)}: {radius:g}" for up_to, radius in value) or "nothing"
        )
    if isinstance(value, list):
        return ", ".join(str(value_in_words(each, name, units)) for each in value) or "nothing"
    try:
        return _measured(float(str(value)), name, units) or value
    except ValueError:
        return value


def _measured(number: float, name: str, units: Units) -> str:
    """A number with its unit; nothing for a plain number."""
    if name in SHARES_OF_ONE:
        return f"{number * 100:.1f}".removesuffix(".0") + " %"
    if name.endswith("_percent"):
        return f"{number:g} %"
    if name == "thickness_mm":
        return format_thickness(number, units)
    if name.endswith("_mm"):
        return format_length(number, units)
    if name.endswith("_rad"):
        return format_angle(number)
    if name.endswith("_kg_m3"):
        return figures.density(number, units)
    return ""
