"""Learning: from past panels and first rates to a model."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final

from estimates.hours.design import Design
from estimates.hours.model import Model, StageRate
from estimates.hours.nearest import Shelf
from estimates.hours.panels import STAGES, Kind, PastPanel, UnusableHistory
from estimates.hours.pooling import Lesson, prior
from estimates.hours.rates import FIRST_RATES, FirstRate
from estimates.hours.regression import Belief
from estimates.hours.unlike import Unlike, far_off

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FIRST_CORRELATION: Final = 0.3
"""How far the stages of one panel go over together before panels say so; assumed."""
CORRELATION_WORTH_PANELS: Final = 5.0
GREATEST_CORRELATION: Final = 0.95
"""Beyond this the stages would be one stage, and their joint distribution no distribution."""
LEAST_WEIGHT: Final = 1e-9


def learn(
    past: Sequence[PastPanel],
    first_rates: Sequence[FirstRate] = FIRST_RATES,
    *,
    on: date,
    half_life_days: float | None = None,
) -> Model:
    """Learn the rates of all stages from past panels, starting from first rates.

    Parameters
    ----------
    past
        Past panels in any order; those with a ``left_out_reason`` are counted and not learned from.
    first_rates
        One for each of ``STAGES``.
    on
        The day the model speaks for; panels lose weight by their age on it.
    half_life_days
        Age at which a panel counts half; ``None`` lets all count in full. A panel dated later than ``on``
        counts in full.

    Raises
    ------
    UnusableHistory
        Where first rates are missing for a stage, or the half-life is not more than 0.
    """
    firsts = _one_for_each_stage(first_rates)
    if half_life_days is not None and not half_life_days > 0:
        raise UnusableHistory(f"A half-life of {half_life_days} days; it has to be more than 0.")
    used = [panel for panel in past if not panel.left_out_reason]
    kinds = [panel.drivers.kind for panel in used]
    weights = [_weight(panel, on, half_life_days) for panel in used]
    metals = _metals(kinds, first_rates)
    records = {stage: _record(stage, used, kinds, weights) for stage in STAGES}
    lessons = {stage: _lesson(firsts[stage], metals, records[stage]) for stage in STAGES}
    rates: dict[str, StageRate] = {}
    surprises: list[NDArray[np.float64]] = []
    unlike: list[Unlike] = []
    for stage, lesson in lessons.items():
        belief = prior(stage, lessons).learn(lesson.rows, lesson.values, lesson.weights, lesson.within)
        shelf = Shelf.of(stage, zip(used, kinds, strict=True))
        rates[stage] = StageRate.of(stage, lesson.design, belief, shelf, len(records[stage].panels))
        unlike += _unlike(stage, used, records[stage], lesson, belief)
        surprises.append(records[stage].surprises(lesson.rows @ belief.mean, belief.spread, len(used)))
    left_out = tuple((panel.panel, panel.left_out_reason) for panel in past if panel.left_out_reason)
    return Model(rates, _stage_correlation(surprises), on, half_life_days, len(used), left_out, tuple(unlike))


@dataclass(frozen=True, slots=True, eq=False)
class _Record:
    """What the past panels say of one stage: which panels, of which kind, log hours per unit, weight."""

    panels: NDArray[np.intp]
    kinds: list[Kind]
    kind_of: NDArray[np.intp]
    values: NDArray[np.float64]
    weights: NDArray[np.float64]

    def surprises(self, expected: NDArray[np.float64], spread: float, count: int) -> NDArray[np.float64]:
        """Return for all ``count`` panels how far each lay from its kind's expected value, in spreads, or NaN."""
        import numpy as np

        surprises = np.full(count, np.nan)
        surprises[self.panels] = (self.values - expected[self.kind_of]) / spread
        return surprises


def _one_for_each_stage(first_rates: Sequence[FirstRate]) -> dict[str, FirstRate]:
    firsts = {first.stage: first for first in first_rates}
    if missing := [stage for stage in STAGES if stage not in firsts]:
        raise UnusableHistory(f"No first rate for {', '.join(missing)}.")
    return firsts


def _metals(kinds: Sequence[Kind], first_rates: Sequence[FirstRate]) -> set[str]:
    """Return every metal that a past panel or a first rate names; all stages have a coefficient for each."""
    named = {name.strip().casefold() for first in first_rates for name, _ in first.metal_factors}
    return named | {kind.metal for kind in kinds}


def _weight(panel: PastPanel, on: date, half_life_days: float | None) -> float:
    if half_life_days is None:
        return 1.0
    age = max(0, (on - panel.finished_on).days)
    return max(LEAST_WEIGHT, float(0.5 ** (age / half_life_days)))


def _record(
    stage: str, used: Sequence[PastPanel], kinds: Sequence[Kind], weights: Sequence[float]
) -> _Record:
    import numpy as np

    known = [(i, rate) for i, panel in enumerate(used) if (rate := panel.hours_per_unit(stage)) is not None]
    panels = np.array([i for i, _ in known], np.intp)
    place: dict[Kind, int] = {}
    kind_of = np.array([place.setdefault(kinds[i], len(place)) for i, _ in known], np.intp)
    values = np.log(np.array([rate for _, rate in known], np.float64))
    return _Record(panels, list(place), kind_of, values, np.array(weights, np.float64)[panels])


def _lesson(first: FirstRate, metals: set[str], record: _Record) -> Lesson:
    """Return the record as regression rows, panels of one kind drawn together in their mean."""

    design = Design.of(first, metals)
    weights = _sums(record.weights, record)
    means = _sums(record.weights * record.values, record) / weights
    within = float(record.weights @ (record.values - means[record.kind_of]) ** 2)
    return Lesson(design, design.first_belief(first), design.rows(record.kinds), means, weights, within)


def _unlike(
    stage: str, used: Sequence[PastPanel], record: _Record, lesson: Lesson, belief: Belief
) -> list[Unlike]:
    found = far_off(belief, lesson.rows, record.kind_of, record.values, record.weights)
    panels = [(used[record.panels[i]], log_above) for i, log_above in found]
    return [
        Unlike(panel.panel, stage, hours, hours * math.exp(-log_above))
        for panel, log_above in panels
        if (hours := panel.hours(stage)) is not None
    ]


def _sums(of_panels: NDArray[np.float64], record: _Record) -> NDArray[np.float64]:
    """Return sums by kind."""
    import numpy as np

    return np.asarray(np.bincount(record.kind_of, of_panels, len(record.kinds)), np.float64)


def _stage_correlation(surprises: Sequence[NDArray[np.float64]]) -> float:
    """Return how far stages of one panel go over together: the mean product of their surprises.

    Drawn towards ``FIRST_CORRELATION`` as if that rested on ``CORRELATION_WORTH_PANELS`` panels, and never
    below 0: stages that made up for each other would promise more than a few panels can know.
    """
    import numpy as np

    table = np.array(surprises)
    known = ~np.isnan(table)
    stages = known.sum(axis=0)
    sums, squares = np.where(known, table, 0.0).sum(axis=0), (np.where(known, table, 0.0) ** 2).sum(axis=0)
    several = stages > 1
    products = ((sums**2 - squares)[several] / (stages * (stages - 1))[several]).sum()
    first = CORRELATION_WORTH_PANELS * FIRST_CORRELATION
    correlation = float((first + products) / (CORRELATION_WORTH_PANELS + several.sum()))
    return max(0.0, min(correlation, GREATEST_CORRELATION))
