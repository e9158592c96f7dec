"""Learning: from past panels and first rates to a model."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Final

from estimates.hours.design import Design
from estimates.hours.model import Model, StageRate
from estimates.hours.nearest import Shelf
from estimates.hours.own import own_records
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
    return History.of(past).model(first_rates, on, half_life_days)


@dataclass(frozen=True, slots=True, eq=False)
class History:
    """Past panels made ready to be learned from, all or only the first so many, without reading them again.

    ``used`` are those that teach, in the order given; ``finished`` are the days they were finished on, as ordinals.
    """

    used: list[PastPanel]
    kinds: list[Kind]
    finished: NDArray[np.intp]
    records: dict[str, _Record]
    left_out: tuple[tuple[str, str], ...]

    @classmethod
    def of(cls, past: Sequence[PastPanel]) -> History:
        """Return the history of these panels; those with a ``left_out_reason`` are only named."""
        import numpy as np

        used = [panel for panel in past if not panel.left_out_reason]
        kinds = [panel.drivers.kind for panel in used]
        finished = np.array([panel.finished_on.toordinal() for panel in used], np.intp)
        left_out = tuple((panel.panel, panel.left_out_reason) for panel in past if panel.left_out_reason)
        return cls(
            used, kinds, finished, {stage: _Record.of(stage, used, kinds) for stage in STAGES}, left_out
        )

    def model(self, first_rates: Sequence[FirstRate], on: date, half_life_days: float | None) -> Model:
        """Return what all of it teaches, with the panels nearest to any other and those unlike all others.

        Raises :class:`UnusableHistory` as :func:`learn` does.
        """
        taught = self._taught(len(self.used), first_rates, on, half_life_days)
        shelves = {stage: Shelf.of(stage, zip(self.used, self.kinds, strict=True)) for stage in STAGES}
        unlike = [odd for stage, each in taught.items() for odd in _unlike(stage, self.used, each)]
        own = own_records(self.used, _weights(self.finished, on, half_life_days))
        return replace(self._model(taught, on, half_life_days, shelves), unlike=tuple(unlike), own=own)

    def rates_after(
        self, count: int, first_rates: Sequence[FirstRate], on: date, half_life_days: float | None
    ) -> Model:
        """Return what the first ``count`` panels that teach say of hours; of the panels themselves it says nothing."""
        taught = self._taught(count, first_rates, on, half_life_days)
        return self._model(taught, on, half_life_days, dict.fromkeys(STAGES, Shelf({})))

    def _taught(
        self, count: int, first_rates: Sequence[FirstRate], on: date, half_life_days: float | None
    ) -> dict[str, _Taught]:
        firsts = _one_for_each_stage(first_rates)
        if half_life_days is not None and not half_life_days > 0:
            raise UnusableHistory(f"A half-life of {half_life_days} days; it has to be more than 0.")
        weights = _weights(self.finished[:count], on, half_life_days)
        records = {stage: record.first(weights) for stage, record in self.records.items()}
        metals = _metals(self.kinds[:count], first_rates)
        lessons = {stage: _lesson(firsts[stage], metals, records[stage]) for stage in STAGES}
        return {
            stage: _Taught(
                records[stage],
                lesson,
                prior(stage, lessons).learn(lesson.rows, lesson.values, lesson.weights, lesson.within),
                count,
            )
            for stage, lesson in lessons.items()
        }

    def _model(
        self,
        taught: dict[str, _Taught],
        on: date,
        half_life_days: float | None,
        shelves: dict[str, Shelf],
    ) -> Model:
        rates = {
            stage: StageRate.of(
                stage, each.lesson.design, each.belief, shelves[stage], len(each.record.panels)
            )
            for stage, each in taught.items()
        }
        correlation = _stage_correlation([each.surprises() for each in taught.values()])
        return Model(rates, correlation, on, half_life_days, taught[STAGES[0]].count, self.left_out)


@dataclass(frozen=True, slots=True, eq=False)
class _Record:
    """What past panels say of one stage: which panels, of which kind, log hours per unit, and how much they count.

    Kinds stand in the order in which they came up.
    """

    panels: NDArray[np.intp]
    kinds: list[Kind]
    kind_of: NDArray[np.intp]
    values: NDArray[np.float64]
    weights: NDArray[np.float64]

    @classmethod
    def of(cls, stage: str, used: Sequence[PastPanel], kinds: Sequence[Kind]) -> _Record:
        """Return the record of all panels, each counting in full."""
        import numpy as np

        known = [
            (i, rate) for i, panel in enumerate(used) if (rate := panel.hours_per_unit(stage)) is not None
        ]
        place: dict[Kind, int] = {}
        kind_of = np.array([place.setdefault(kinds[i], len(place)) for i, _ in known], np.intp)
        values = np.log(np.array([rate for _, rate in known], np.float64))
        return cls(
            np.array([i for i, _ in known], np.intp), list(place), kind_of, values, np.ones(len(known))
        )

    def first(self, weights: NDArray[np.float64]) -> _Record:
        """Return the record of the first panels, of each of which the weight is given."""
        end = int(self.panels.searchsorted(len(weights)))
        panels, kind_of = self.panels[:end], self.kind_of[:end]
        kinds = self.kinds[: int(kind_of.max(initial=-1)) + 1]
        return _Record(panels, kinds, kind_of, self.values[:end], weights[panels])


@dataclass(frozen=True, slots=True, eq=False)
class _Taught:
    """One stage: its record, what that has to teach, and what is believed after it. ``count`` panels teach in all."""

    record: _Record
    lesson: Lesson
    belief: Belief
    count: int

    def surprises(self) -> NDArray[np.float64]:
        """Return for each panel how far it lay from its kind's expected value, in spreads, or NaN."""
        import numpy as np

        surprises = np.full(self.count, np.nan)
        expected = (self.lesson.rows @ self.belief.mean)[self.record.kind_of]
        surprises[self.record.panels] = (self.record.values - expected) / self.belief.spread
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


def _weights(finished: NDArray[np.intp], on: date, half_life_days: float | None) -> NDArray[np.float64]:
    import numpy as np

    if half_life_days is None:
        return np.ones(len(finished))
    ages = np.maximum(0, on.toordinal() - finished)
    return np.maximum(LEAST_WEIGHT, 0.5 ** (ages / half_life_days))


def _lesson(first: FirstRate, metals: set[str], record: _Record) -> Lesson:
    """Return the record as regression rows, panels of one kind drawn together in their mean."""

    design = Design.of(first, metals)
    weights = _sums(record.weights, record)
    means = _sums(record.weights * record.values, record) / weights
    within = float(record.weights @ (record.values - means[record.kind_of]) ** 2)
    return Lesson(design, design.first_belief(first), design.rows(record.kinds), means, weights, within)


def _unlike(stage: str, used: Sequence[PastPanel], taught: _Taught) -> list[Unlike]:
    record = taught.record
    found = far_off(taught.belief, taught.lesson.rows, record.kind_of, record.values, record.weights)
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
