"""Who writes to whom, as letters carry it."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import IO

from django.core.files.storage import default_storage

from estimates.paper.letter import Party


def shop_party(shop: Mapping[str, str]) -> Party:
    """The shop as a sent quote keeps it, or as :func:`shop_now` gives it."""
    return Party(shop["name"], _lines(shop))


def customer_party(customer: Mapping[str, str]) -> Party:
    """A customer as a sent quote keeps them: the name, and how to reach them."""
    return Party(customer["name"], _lines(customer))


def plain(thing) -> dict[str, str]:
    """Name and address of a stored shop or customer, in the words a sent quote uses."""
    return {name: getattr(thing, name) for name in ("name", "address", "phone", "email")}


def mark_of(name: str) -> Callable[[], IO[bytes]] | None:
    """What opens the shop's mark by the name of its file; nothing where it has none."""
    return partial(default_storage.open, name) if name else None


def _lines(thing: Mapping[str, str]) -> tuple[str, ...]:
    address = [line.strip() for line in thing["address"].splitlines() if line.strip()]
    return (*address, *(thing[name] for name in ("phone", "email") if thing[name]))
