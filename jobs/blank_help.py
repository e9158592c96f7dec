"""What ``blank --help`` says of forms, options and keys, read off the forms themselves."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Mapping

from jobs.forming import FORMS
from jobs.forming.dimension import Dimension
from jobs.forming.keys import PANEL, PARTS, Key

METAVARS = {"length": "LENGTH", "lengths": "LENGTH", "angle": "DEGREES", "number": "NUMBER", "choice": "WORD"}
KEYS_HEAD = """what --json prints: one object, without the keys that do not apply to the form
  (edge and passes are those of one edge or corner where a panel has several alike)"""
HELD = "\N{NO-BREAK SPACE}"


def help_of(dimensions: Mapping[str, Dimension]) -> str:
    """Return what an option is, its choices and default, and the forms that have it, by their names."""
    forms: dict[tuple[str, str], list[str]] = {}
    for form, dimension in dimensions.items():
        forms.setdefault((dimension.label, meaning(dimension)), []).append(form)
    told, said = [], ""
    for (label, words), having in forms.items():
        named = words if label == said else ": ".join(filter(None, (label, words)))
        told.append(f"{named} ({', '.join(having)})")
        said = label
    one = next(iter(dimensions.values()))
    if one.kind == "lengths":
        told.append("repeat for each")
    if one.default is not None and one.kind != "flag":
        told.append(f"{written_default(one)} if not given")
    return "; ".join(told)


def meaning(dimension: Dimension) -> str:
    """Return where a dimension is measured, or what its choices are."""
    if dimension.choices:
        return "; ".join(f"'{stored}' {first_low(words)}" for stored, words in dimension.choices)
    return first_low(dimension.help).rstrip(".")


def first_low(words: str) -> str:
    """Return words that begin a sentence as they go on after a colon."""
    return words[:1].lower() + words[1:]


def written_default(dimension: Dimension) -> str:
    """Return the value taken where nothing is given, as one would type it."""
    if dimension.kind == "angle":
        return f"{math.degrees(float(str(dimension.default))):g}"
    return f"{dimension.default:g}" if isinstance(dimension.default, float) else f"'{dimension.default}'"


def forms_help() -> str:
    """Return a line or two for each form: what it is and its options, those that may be left out in brackets."""
    told = []
    for name, form in FORMS.items():
        options = [option_of(each) for each in form.dimensions]
        told.append(f"  {name}: {form.about}")
        told += textwrap.wrap(
            " ".join(options), 92, initial_indent="    ", subsequent_indent="    ", break_on_hyphens=False
        )
    return "\n".join(told).replace(HELD, " ")


def option_of(dimension: Dimension) -> str:
    """Return an option as a usage line has it, held together over the end of a line."""
    option = f"--{dimension.option}"
    if dimension.kind != "flag":
        option += f" {METAVARS[dimension.kind]}" + (" ..." if dimension.kind == "lengths" else "")
    if not dimension.required or dimension.default is not None:
        option = f"[{option}]"
    return option.replace(" ", HELD)


def keys_help() -> str:
    """Return every key of the JSON object with what it stands for."""
    return "\n".join(
        line
        for name, key in PANEL.items()
        for line in (
            key_line(name, key),
            *(key_line(f"  {inner}", each) for inner, each in PARTS.get(name, {}).items()),
        )
    )


def key_line(name: str, key: Key) -> str:
    """Return one line of the list of keys."""
    unit, more = f", {key.unit}" if key.unit else "", f": {key.more}" if key.more else ""
    return f"  {name:<28}{key.words}{unit}{more}"
