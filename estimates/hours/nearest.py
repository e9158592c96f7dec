"""Which past panels are most like this one, for people to judge an estimate by."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass
from operator import itemgetter
from typing import Final

from estimates.hours.panels import Kind, PastPanel
from estimates.hours.ranges import Nearest

SHOWN: Final = 3

_Key = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Shelf:
    """Past panels of one stage, sorted by the size of their driver, for each likeness."""

    by_likeness: dict[_Key, list[tuple[float, Nearest]]]

    @classmethod
    def of(cls, stage: str, past: Iterable[tuple[PastPanel, Kind]]) -> Shelf:
        """Return the shelf of the panels that say something about the stage's rate."""
        entries = []
        for panel, kind in past:
            amount, hours = panel.drivers.amount(stage), panel.hours(stage)
            if amount and hours:
                entries.append((math.log(amount), Nearest(panel.panel, hours, hours / amount), kind))
        entries.sort(key=itemgetter(0))
        shelf: dict[_Key, list[tuple[float, Nearest]]] = {}
        for size, nearest, kind in entries:
            for key in _likenesses(kind):
                shelf.setdefault(key, []).append((size, nearest))
        return cls(shelf)

    def nearest(self, kind: Kind, amount: float, count: int = SHOWN) -> tuple[Nearest, ...]:
        """Return the most alike: same metal and method before same metal before any, then by size."""
        size = math.log(amount)
        found: list[Nearest] = []
        for key in _likenesses(kind):
            entries = self.by_likeness.get(key, [])
            place = bisect_left(entries, size, key=itemgetter(0))
            about = entries[max(0, place - 2 * count) : place + 2 * count]
            for _, panel in sorted(about, key=lambda entry: abs(entry[0] - size)):
                if panel not in found:
                    found.append(panel)
                if len(found) == count:
                    return tuple(found)
        return tuple(found)


def _likenesses(kind: Kind) -> tuple[_Key, ...]:
    """Return the likenesses to look for, closest first."""
    return ((kind.metal, kind.method), (kind.metal,), ())
