"""The words after ``blank``'s options, read: what cannot be read is refused under its option's name."""

from __future__ import annotations

from typing import Any

from jobs.forming.dimension import Dimension
from shop.gauges import GAUGED, MAX_SHEET_MM, is_gauge, parse_thickness_mm
from shop.lengths import Unreadable, parse_angle_rad, parse_length_mm
from shop.metals_table import STANDARD_METALS
from shop.one_line import refuse

STEEL_KG_M3 = "7850"


def missing(dimension: Dimension) -> str:
    """Say that a dimension is missing."""
    if dimension.kind == "lengths":
        return f"{dimension.label} are missing: give --{dimension.option} for each."
    return f"{dimension.label} is missing: give --{dimension.option}."


def read(dimension: Dimension, text: Any) -> object:
    """Return the value of one dimension from its text."""
    option = f"--{dimension.option}"
    if dimension.kind == "lengths":
        return tuple(length(option, each) for each in text)
    if dimension.kind == "length":
        return length(option, text)
    if dimension.kind == "angle":
        return angle(option, text)
    if dimension.kind == "choice":
        return choice(dimension, text)
    return number(option, text, "0.33") if dimension.kind == "number" else text


def choice(dimension: Dimension, text: str) -> str:
    """Return the choice that the words stand for, in whatever order and with commas or without."""
    words = sorted(text.replace(",", " ").split())
    for stored, _ in dimension.choices:
        if sorted(stored.split()) == words:
            return stored
    choices = ", ".join(f"‘{stored}’" for stored, _ in dimension.choices)
    refuse(f"--{dimension.option}: “{text}” is not one of its choices. Write one of {choices}.")


def length(option: str, text: str) -> float:
    """Return a length in mm, a bare number being mm."""
    try:
        return parse_length_mm(text, bare="mm")
    except Unreadable as error:
        refuse(f"{option}: {error}")


def thickness(text: str, family: str | None) -> float:
    """Return a thickness in mm; a gauge is a thickness only for a family of metals."""
    if family is not None and family not in GAUGED:
        refuse(f"--family: “{family}” is not sold by gauge; {', '.join(GAUGED)} are.")
    if not is_gauge(text):
        return sheet_thickness(text)
    if family is None:
        refuse(
            f"--thickness: {text} is another thickness for each metal. Say --family, one of {', '.join(GAUGED)}."
        )
    try:
        return parse_thickness_mm(text, family)
    except Unreadable as error:
        refuse(f"--thickness: {error}")


def sheet_thickness(text: str) -> float:
    """Return a thickness in mm that is no gauge, no more than the pages take."""
    thickness_mm = length("--thickness", text)
    if thickness_mm > MAX_SHEET_MM:
        refuse(f"--thickness: “{text}” is thicker than sheet is: write at most {MAX_SHEET_MM:g} mm.")
    return thickness_mm


def density_of(family: str | None) -> str:
    """Return the density taken where none is given: of the family's first metal, or of any steel."""
    if family in (None, "steel", "galvanized"):
        return STEEL_KG_M3
    return next((f"{each.density_kg_m3:g}" for each in STANDARD_METALS if each.family == family), STEEL_KG_M3)


def density_help() -> str:
    """Tell the density taken where none is given."""
    others = {family: density_of(family) for family in GAUGED}
    told = ", ".join(f"{family} {given}" for family, given in others.items() if given != STEEL_KG_M3)
    return f"{STEEL_KG_M3} kg/m3, or by --family: {told}"


def angle(option: str, text: str) -> float:
    """Return an angle in radians from degrees."""
    try:
        return parse_angle_rad(text)
    except Unreadable as error:
        refuse(f"{option}: {error}")


def number(option: str, text: str, example: str) -> float:
    """Return a plain number."""
    try:
        return float(text)
    except ValueError:
        refuse(f"{option}: “{text}” cannot be read as a number. Write one such as {example}.")


def optional_number(option: str, text: str | None, example: str) -> float | None:
    """Return a plain number, or nothing where nothing is given."""
    return None if text is None else number(option, text, example)


def whole_number(option: str, text: str) -> int:
    """Return a whole number."""
    try:
        return int(text)
    except ValueError:
        refuse(f"{option}: “{text}” cannot be read as a whole number. Write one such as 3.")
