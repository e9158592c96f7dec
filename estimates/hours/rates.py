"""First rates: what the shop believes before its own notebook has anything to say.

Every figure here is invented by us and labelled as assumed. A shop replaces them by its own, and its past
panels outweigh both within some twenty panels.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from estimates.hours.panels import FINISHES, STAGES

Factors = tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class FirstRate:
    """The rate a stage starts from.

    Parameters
    ----------
    stage
        One of ``STAGES``.
    hours_per_unit
        Hours per unit of the stage's driver: by hand, first hand, smooth finish, a metal of factor 1.
    spread
        Log standard deviation of one panel's hours about the shop's rate; 0.25 is about a quarter either way.
    rate_spread
        Log standard deviation of the rate itself; 0.7 is a factor of two either way. An owner who is surer of
        the rates says so here.
    factor_spread
        The same for each factor of metal, method and finish; 0.3 is a third either way.
    metal_factors, finish_factors
        Hours against those of the reference, by name. A metal that is not named has factor 1.
    power_factor
        Hours by power hammer against hours by hand.
    second_hand_factor
        Hours of the second hand of a pair against the first: the rate of the unit learning curve.
    second_hand_spread
        Log standard deviation of that factor; 0.1 puts four in five of 0.85 between 0.75 and 0.97.
    worth_panels
        How many past panels the ``spread`` counts for.
    assumed
        Whether the figures are ours and not the shop's.
    """

    stage: str
    hours_per_unit: float
    spread: float = 0.25
    rate_spread: float = 0.7
    factor_spread: float = 0.3
    metal_factors: Factors = ()
    finish_factors: Factors = ()
    power_factor: float = 1.0
    second_hand_factor: float = 0.85
    second_hand_spread: float = 0.1
    worth_panels: float = 3.0
    assumed: bool = False

    def __post_init__(self) -> None:
        if self.stage not in STAGES:
            raise ValueError(f"{self.stage!r} has no driver; its hours are given, not learned.")
        figures = {
            "hours_per_unit": self.hours_per_unit,
            "spread": self.spread,
            "rate_spread": self.rate_spread,
            "factor_spread": self.factor_spread,
            "power_factor": self.power_factor,
            "second_hand_factor": self.second_hand_factor,
            "second_hand_spread": self.second_hand_spread,
            **{f"factor of {name}": factor for name, factor in self.metal_factors + self.finish_factors},
        }
        for name, figure in figures.items():
            if not (math.isfinite(figure) and figure > 0):
                raise ValueError(f"{self.stage}: {name} is {figure}, and has to be more than 0.")
        if not self.worth_panels > 2:
            raise ValueError(
                f"{self.stage}: a spread worth {self.worth_panels} panels; more than 2 are needed."
            )
        for finish, _ in self.finish_factors:
            if finish not in FINISHES:
                raise ValueError(f"{self.stage}: {finish!r} is none of {', '.join(FINISHES)}.")


_METALS: Final = (
    ("aluminium", 0.75),
    ("zinc", 0.75),
    ("copper", 0.85),
    ("brass", 1.0),
    ("steel", 1.0),
    ("galvanized", 1.0),
    ("stainless", 1.6),
    ("titanium", 2.0),
)

# Gathering by hand: 1.8 h a square decimetre is 1.3 minutes a gather on a short flange (18 gathers, 0.22 dm²), 2.5 on
# a swept skin (78 gathers, 1.8 dm²) and 4.3 on a dome (67 gathers, 2.6 dm²), annealing counted in. Common practice,
# no source.
FIRST_RATES: Final = (
    # A line takes as long to mark on one metal as on another; only the cutting differs. What the first hand's pattern
    # saves the second differs from shop to shop.
    FirstRate(
        "layout", 0.20, factor_spread=0.1, second_hand_factor=0.7, second_hand_spread=0.3, assumed=True
    ),
    FirstRate("gathering", 1.80, metal_factors=_METALS, power_factor=0.5, assumed=True),
    FirstRate("blending", 0.10, metal_factors=_METALS, power_factor=0.6, assumed=True),
    FirstRate(
        "smoothing",
        0.08,
        metal_factors=_METALS,
        finish_factors=(("hammered", 0.6), ("smooth", 1.0), ("bright", 1.8)),
        power_factor=0.6,
        assumed=True,
    ),
)
"""Our invented first rates, one for each stage. Assumed: no notebook stands behind them."""
