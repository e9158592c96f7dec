"""A price as text and back, so that a sent quote stays what it was.

Nothing is reckoned on the way back: the lines are read as they were written, whatever the rules have become.
"""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from estimates.pricing.entries import BoughtIn, ByMass, Consumable, Entry, Labour, PartOfSheet, WholeSheets
from estimates.pricing.money import Currency
from estimates.pricing.price import Priced

VERSION = 1
ADDED_SINCE: dict[type, set[str]] = {
    Currency: {"style"},
    ByMass: {"units"},
    Consumable: {"quantity_p50", "quantity_p80"},
}
"""Fields that prices of this version may lack; their defaults write what was written before there were any."""
_ENTRIES: dict[str, type[Entry]] = {
    entry.kind: entry for entry in (Labour, WholeSheets, PartOfSheet, ByMass, Consumable, BoughtIn)
}


class UnreadableSnapshot(ValueError):
    """The text is no price that this version can read."""


def to_json(priced: Priced) -> str:
    """Write a price with all it was made from as JSON: amounts as strings, dates as ISO 8601."""
    return json.dumps({"version": VERSION, "priced": _plain(priced)}, ensure_ascii=False)


def from_json(text: str) -> Priced:
    """Read what :func:`to_json` wrote. Raises :class:`UnreadableSnapshot` for anything else."""
    try:
        held = json.loads(text)
        if held["version"] != VERSION:
            raise UnreadableSnapshot(f"This price was written in version {held['version']}, not {VERSION}.")
        priced = _rebuilt(Priced, held["priced"])
    except UnreadableSnapshot:
        raise
    except (ArithmeticError, AttributeError, KeyError, TypeError, ValueError, RecursionError) as error:
        raise UnreadableSnapshot(f"This is no price: {error}") from error
    assert isinstance(priced, Priced)
    return priced


def _plain(value: Any) -> Any:
    """Turn dataclasses into dictionaries and Decimals and dates into strings."""
    if is_dataclass(value) and not isinstance(value, type):
        plain = {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
        return {"entry": value.kind, **plain} if isinstance(value, Entry) else plain
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Decimal):
        return str(value)
    return value.isoformat() if isinstance(value, date) else value


def _rebuilt(hint: Any, held: Any) -> Any:
    """Turn plain values back into what the type says."""
    if get_origin(hint) in (UnionType, Union):
        (hint,) = (arg for arg in get_args(hint) if arg is not type(None))
        return None if held is None else _rebuilt(hint, held)
    if get_origin(hint) is tuple:
        return tuple(_rebuilt(get_args(hint)[0], item) for item in held)
    if hint is Decimal:
        amount = Decimal(held) if isinstance(held, str) else Decimal("NaN")
        if not amount.is_finite():
            raise UnreadableSnapshot(f"{held!r} is no amount.")
        return amount
    if hint is date:
        return date.fromisoformat(held)
    if is_dataclass(hint):
        return _rebuilt_object(hint, held)
    if get_origin(hint) is Literal:
        if held not in get_args(hint):
            raise UnreadableSnapshot(f"{held!r} is none of {get_args(hint)}.")
        return held
    if not isinstance(held, hint):
        raise UnreadableSnapshot(f"{held!r} is no {hint.__name__}.")
    return held


def _rebuilt_object(hint: Any, held: dict[str, Any]) -> Any:
    """Build a dataclass from its dictionary: no field it does not know, none missing but those added since."""
    kind: Any = _ENTRIES[held["entry"]] if hint is Entry else hint
    given = {name: value for name, value in held.items() if name != "entry"}
    hints = _field_types(kind)
    if given.keys() - hints.keys() or hints.keys() - given.keys() - ADDED_SINCE.get(kind, set()):
        raise UnreadableSnapshot(f"The fields of {kind.__name__} do not fit.")
    return kind(**{name: _rebuilt(hints[name], value) for name, value in given.items()})


@cache
def _field_types(kind: Any) -> dict[str, Any]:
    hints = get_type_hints(kind)
    return {field.name: hints[field.name] for field in fields(kind)}
