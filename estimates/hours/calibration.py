"""How well the model would have done: every past panel estimated from those before it only.

The panels are taken in the order they were finished. Each is estimated by a model that has seen nothing of it
nor of any later one (a prequential check), then joins the past. With many panels the model is learned afresh
before each of at most ``MOST_LESSONS`` blocks. The past is read into columns once and learned from up to a row of
them: what comes out is what :func:`learn` makes of the same panels.

References
----------
A. P. Dawid, Statistical Theory: the Prequential Approach, J. Royal Statistical Society A 147 (1984) 278 (from
memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median
from typing import Final

from estimates.hours.learning import History
from estimates.hours.model import Model
from estimates.hours.panels import STAGES, PastPanel
from estimates.hours.ranges import HoursRange
from estimates.hours.rates import FIRST_RATES, FirstRate

MOST_LESSONS: Final = 60
TOTAL: Final = "total"


@dataclass(frozen=True, slots=True)
class Trial:
    """One estimate against its actual hours. ``stage`` is a stage's name or ``total``."""

    panel: str
    finished_on: date
    stage: str
    metal: str
    estimated: HoursRange
    actual_hours: float

    @property
    def surprise(self) -> float:
        """How far the actual lay above the middle, in scales of the log; beyond 3 either way is rare."""
        return (math.log(self.actual_hours) - self.estimated.mean_log) / self.estimated.scale

    @property
    def error(self) -> float:
        """Distance of the middle from the actual, as a share of the actual."""
        return abs(self.estimated.p50 / self.actual_hours - 1)


@dataclass(frozen=True, slots=True)
class Score:
    """How a set of trials came out.

    ``inside`` is the share that took no more than the high end (``confidence``) and ``below_middle`` no more
    than the middle; ``bias`` is the median of actual over middle (1.1: work takes a tenth longer than said).
    """

    trials: int
    confidence: float
    inside: float
    below_middle: float
    median_error: float
    bias: float

    @classmethod
    def of(cls, trials: Sequence[Trial], confidence: float) -> Score:
        """Return the score of at least one trial."""
        count = len(trials)
        inside = sum(trial.actual_hours <= trial.estimated.quantile(confidence) for trial in trials)
        below = sum(trial.actual_hours <= trial.estimated.p50 for trial in trials)
        bias = median(math.log(trial.actual_hours) - trial.estimated.mean_log for trial in trials)
        error = median(trial.error for trial in trials)
        return cls(count, confidence, inside / count, below / count, error, math.exp(bias))


@dataclass(frozen=True, slots=True)
class Move:
    """How a panel (with its block) moved the rate of a stage, for work like itself, hours per unit."""

    panel: str
    finished_on: date
    stage: str
    metal: str
    before: float
    after: float

    @property
    def change(self) -> float:
        """The change as a share: 0.06 for six per cent slower."""
        return self.after / self.before - 1


@dataclass(frozen=True, slots=True)
class Calibration:
    """All trials in the order the panels were finished, and what the rates learned from each.

    ``left_out`` names the panels the owner left out, and why.
    """

    trials: tuple[Trial, ...]
    moves: tuple[Move, ...]
    left_out: tuple[tuple[str, str], ...]
    confidence: float

    def by_stage(self) -> dict[str, Score]:
        """Return the score of each stage and of the total, for those that have trials."""
        return self._scores(self.trials, lambda trial: trial.stage)

    def by_metal(self, stage: str = TOTAL) -> dict[str, Score]:
        """Return the score of each metal, for one stage or the total."""
        return self._scores((t for t in self.trials if t.stage == stage), lambda trial: trial.metal)

    def greatest_moves(
        self, count: int = 5, *, stage: str = "", metal: str = "", since: date | None = None
    ) -> tuple[Move, ...]:
        """Return what changed the rates most: of one stage, metal or all, by panels finished from a day on or ever."""
        asked = [
            move
            for move in self.moves
            if stage in ("", move.stage)
            and metal in ("", move.metal)
            and (since is None or move.finished_on >= since)
        ]
        asked.sort(key=lambda move: abs(math.log(move.after / move.before)), reverse=True)
        return tuple(asked[:count])

    def _scores(self, trials: Iterable[Trial], key: Callable[[Trial], str]) -> dict[str, Score]:
        sorted_out: dict[str, list[Trial]] = {}
        for trial in trials:
            sorted_out.setdefault(key(trial), []).append(trial)
        return {name: Score.of(found, self.confidence) for name, found in sorted_out.items()}


def calibration(
    past: Sequence[PastPanel],
    first_rates: Sequence[FirstRate] = FIRST_RATES,
    *,
    half_life_days: float | None = None,
    confidence: float = 0.8,
) -> Calibration:
    """Estimate every past panel from those before it, and compare.

    Panels finished on the same day are estimated together. A stage without recorded hours or without a driver
    has no trial; a panel has a trial of its total where every stage that has a driver has its hours.

    Raises
    ------
    UnusableHistory
        As :func:`learn` does.
    """
    history = History.of(sorted(past, key=lambda panel: panel.finished_on))
    trials: list[Trial] = []
    found: list[Move] = []
    after = None
    for known, block in _blocks(history.used):
        # Where panels fade with age, what was known has faded since the block before.
        if after is None or half_life_days is not None:
            before = history.rates_after(known, first_rates, block[0].finished_on, half_life_days)
        else:
            before = after
        after = history.rates_after(known + len(block), first_rates, block[-1].finished_on, half_life_days)
        for panel in block:
            trials.extend(_trials(before, panel))
            found.extend(moves(before, after, panel))
    return Calibration(tuple(trials), tuple(found), history.left_out, confidence)


def _blocks(used: Sequence[PastPanel]) -> Iterator[tuple[int, Sequence[PastPanel]]]:
    """Yield how many panels were known and what came next; a day is never cut in two."""
    size = math.ceil(len(used) / MOST_LESSONS)
    start = 0
    while start < len(used):
        end = min(start + size, len(used))
        while end < len(used) and used[end].finished_on == used[end - 1].finished_on:
            end += 1
        yield start, used[start:end]
        start = end


def _trials(model: Model, panel: PastPanel) -> Iterator[Trial]:
    hours = model.estimate(panel.drivers)
    recorded: list[float] = []
    for stage in STAGES:
        actual, estimated = panel.hours(stage), hours.stages[stage]
        if actual and not estimated.is_zero:
            recorded.append(actual)
            yield Trial(panel.panel, panel.finished_on, stage, panel.drivers.metal, estimated, actual)
    if recorded and len(recorded) == sum(not estimated.is_zero for estimated in hours.stages.values()):
        yield Trial(
            panel.panel, panel.finished_on, TOTAL, panel.drivers.metal, hours.total, math.fsum(recorded)
        )


def moves(before: Model, after: Model, panel: PastPanel) -> Iterator[Move]:
    """Yield how each stage that a panel teaches moved from a model without it to one with it, for work like it."""
    for stage in STAGES:
        if panel.hours_per_unit(stage) is not None:
            was, now = (model.rates[stage].middle_per_unit(panel.drivers) for model in (before, after))
            yield Move(panel.panel, panel.finished_on, stage, panel.drivers.metal, was, now)
