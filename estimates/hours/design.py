"""Which coefficients a stage has, and which of them bear on a panel.

    log(hours / driver) = rate + metal + [power] + [finish] + doublings(hand) · log(second-hand factor)

The reference is hand work, smooth finish, the first hand, and a metal of factor 1. Every metal the shop has met
has a coefficient of its own, with the first rates' factor as its prior mean; any other falls to ``another metal``,
which no past panel ever teaches: its estimates stay as wide as the prior has them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from estimates.hours.learning_curve import doublings
from estimates.hours.panels import FINISHES, USUAL_FINISH, Kind
from estimates.hours.rates import FirstRate
from estimates.hours.regression import Belief

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

RATE: Final = "rate"
POWER: Final = "power"
SECOND_HAND: Final = "second hand"
ANOTHER_METAL: Final = "another metal"

Bearing = tuple[tuple[int, float], ...]
"""The coefficients that bear on a panel: index and multiplier."""


@dataclass(frozen=True, slots=True)
class Design:
    """The coefficients of one stage, in order, and where to find them."""

    names: tuple[str, ...]
    places: dict[str, int]

    @property
    def shared(self) -> list[int]:
        """Coefficients that the hammer stages have in common: metal, method and second hand."""
        return [place for place, name in enumerate(self.names) if not _is_apart(name)]

    @property
    def apart(self) -> list[int]:
        """Coefficients that are the stage's own: its rate, and its finishes."""
        return [place for place, name in enumerate(self.names) if _is_apart(name)]

    @classmethod
    def of(cls, first: FirstRate, metals: Iterable[str]) -> Design:
        """Return the design for a stage that may meet these metals (as ``Kind`` spells them)."""
        finishes = (
            [f"finish {finish}" for finish in FINISHES if finish != USUAL_FINISH]
            if first.stage == "smoothing"
            else []
        )
        names = (
            RATE,
            POWER,
            SECOND_HAND,
            *finishes,
            *(f"metal {metal}" for metal in sorted(metals)),
            ANOTHER_METAL,
        )
        return cls(names, {name: place for place, name in enumerate(names)})

    def bearing(self, kind: Kind) -> Bearing:
        """Return the coefficients that bear on a kind of work."""
        places = self.places
        found = [(places[RATE], 1.0)]
        if kind.method == "power":
            found.append((places[POWER], 1.0))
        if kind.hand_order > 1:
            found.append((places[SECOND_HAND], doublings(kind.hand_order)))
        finish = places.get(f"finish {kind.finish}")
        if finish is not None:
            found.append((finish, 1.0))
        found.append((places.get(f"metal {kind.metal}", places[ANOTHER_METAL]), 1.0))
        return tuple(found)

    def rows(self, kinds: Sequence[Kind]) -> NDArray[np.float64]:
        """Return the regression's rows for these kinds of work."""
        import numpy as np

        rows = np.zeros((len(kinds), len(self.names)))
        for row, kind in enumerate(kinds):
            for place, multiplier in self.bearing(kind):
                rows[row, place] = multiplier
        return rows

    def first_belief(self, first: FirstRate) -> Belief:
        """Return what the first rates say of the coefficients."""
        factors = {f"metal {name.strip().casefold()}": factor for name, factor in first.metal_factors}
        finishes = dict(first.finish_factors)
        reference = finishes.get(USUAL_FINISH, 1.0)
        factors |= {f"finish {finish}": factor / reference for finish, factor in finishes.items()}
        factors |= {RATE: first.hours_per_unit * reference, POWER: first.power_factor}
        factors |= {SECOND_HAND: first.second_hand_factor}
        mean = [math.log(factors.get(name, 1.0)) for name in self.names]
        spreads = {RATE: first.rate_spread, SECOND_HAND: first.second_hand_spread}
        sd = [spreads.get(name, first.factor_spread) for name in self.names]
        return Belief.independent(mean, sd, first.worth_panels, first.spread)


def _is_apart(name: str) -> bool:
    return name == RATE or name.startswith("finish ")
