"""Hours still to go, from what was estimated, what has been spent, and how much is done.

Three things are known of a stage's total hours H once work runs:

1. the estimate, log-t about ``mean_log`` with ``scale`` σ;
2. the pace. A share q done in s hours says that the rest takes ``(1 − q)`` of ``(κ M + s) / (κ + q)`` hours, M being
   the estimate's middle: the estimate counts like the share κ of the stage (a gamma prior on hours per share). The
   total it says is read on the log with a variance ``τ² (1 − q) / q``: a small share is a small sample of the work;
3. H is more than s.

1 and 2 are weighed by their precisions, as normals (conjugate); 3 cuts the result off at s. Where the two are
further apart than both allow, it is the estimate that is doubted: its variance grows until they agree, so that a
stage whose hours are gone with most of it still to do says so, however sure the estimate was. So with no progress
reported only 1 and 3 speak, and with all done nothing is left. The range changes continuously with both inputs;
more hours spent never lower the hours at completion; and while work is on pace or ahead of it
(``s <= q M``), more progress never raises the hours to go. Behind pace, a first report of progress may raise them:
that is the news it brings.

κ and τ are assumed. Both only say how fast the estimate gives way to the bench.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from estimates.hours import student
from estimates.hours.model import PanelHours, panel_hours
from estimates.hours.ranges import HoursRange, StageHours

ESTIMATE_SHARE: Final = 0.1
"""κ: the estimate's middle counts like a tenth of the stage."""
PACE_SPREAD: Final = 0.25
"""τ: log standard deviation of the total that the pace says at half way."""
LEAST_SCALE: Final = 0.05
"""No stage is known closer than this before it is done, even where the owner gave one figure for both ends."""


@dataclass(frozen=True, slots=True)
class Spent:
    """Hours spent on a stage, and the share of it that is done (0: none, or none reported; 1: finished)."""

    hours: float
    progress: float = 0.0

    def __post_init__(self) -> None:
        if not 0 <= self.hours < math.inf:
            raise ValueError(f"Hours spent are 0 or more, and {self.hours} is not.")
        if not 0 <= self.progress <= 1:
            raise ValueError(f"Progress runs from 0 to 1, and {self.progress} does not.")


def to_go(estimated: HoursRange, spent_hours: float, progress: float) -> HoursRange:
    """Return the hours a stage still takes, as the log-t range through its P50 and P80.

    >>> stage = HoursRange.between(10, 13)
    >>> round(to_go(stage, 0, 0).p50, 6), to_go(stage, 9, 1).p50
    (10.0, 0.0)
    >>> to_go(stage, 8, 0.5).p50 > to_go(stage, 5, 0.5).p50 > to_go(stage, 5, 0.6).p50
    True

    Raises
    ------
    ValueError
        For hours below 0 or progress outside 0 to 1.
    """
    spent = Spent(spent_hours, progress)
    if spent.progress == 1 or estimated.is_zero:
        return HoursRange.none()
    middle, scale = _weighed(estimated, spent)
    if spent.hours == 0:
        return HoursRange(middle, scale, estimated.df)
    cut = (math.log(spent.hours) - middle) / scale
    p50, p80 = (
        _left(spent.hours, scale * (student.beyond(cut, 1 - p, estimated.df) - cut)) for p in (0.5, 0.8)
    )
    return HoursRange.between(p50, max(p50, p80), estimated.df)


def at_completion(estimated: HoursRange, spent_hours: float, progress: float) -> HoursRange:
    """Return the hours a stage will have taken when it is done."""
    return after(spent_hours, to_go(estimated, spent_hours, progress))


def after(spent_hours: float, rest: HoursRange) -> HoursRange:
    """Return the hours at completion: those spent, and the range of the rest."""
    if rest.is_zero:
        return HoursRange.between(spent_hours, spent_hours)
    return HoursRange.between(spent_hours + rest.p50, spent_hours + rest.p80, rest.df)


def rest_of_panel(panel: PanelHours, spent: Mapping[str, Spent]) -> PanelHours:
    """Return the panel with every stage's hours still to go; a stage without an entry has not been begun.

    The answer is added up like any panel: ``job_total`` of such panels gives the hours to go of a job.
    """
    stages = {
        name: _rest_of_stage(stage, spent.get(name, Spent(0.0))) for name, stage in panel.stages.items()
    }
    return panel_hours(stages, panel.correlation, panel.confidence)


def _rest_of_stage(stage: StageHours, spent: Spent) -> StageHours:
    rest = to_go(stage, spent.hours, spent.progress)
    # The bench has taken the place of the rates by as much as it has narrowed the range.
    kept = 0.0 if rest.is_zero else min(1.0, _weighed(stage, spent)[1] / max(stage.scale, LEAST_SCALE))
    loadings = tuple(loading * kept for loading in stage.loadings)
    return replace(stage, mean_log=rest.mean_log, scale=rest.scale, df=rest.df, loadings=loadings)


def _weighed(estimated: HoursRange, spent: Spent) -> tuple[float, float]:
    """Return centre and scale of the log of total hours, from estimate and pace."""
    scale = max(estimated.scale, LEAST_SCALE)
    if not spent.progress:
        return estimated.mean_log, scale
    middle = math.exp(estimated.mean_log)
    per_share = (ESTIMATE_SHARE * middle + spent.hours) / (ESTIMATE_SHARE + spent.progress)
    said = math.log(spent.hours + (1 - spent.progress) * per_share)
    doubt = PACE_SPREAD**2 * (1 - spent.progress)
    conflict = (said - estimated.mean_log) ** 2 / (scale**2 + doubt / spent.progress)
    scale *= math.sqrt(max(1.0, conflict))
    read = scale**2 * spent.progress
    trust = read / (read + doubt)
    return estimated.mean_log + trust * (said - estimated.mean_log), scale * math.sqrt(doubt / (read + doubt))


def _left(spent_hours: float, log_growth: float) -> float:
    """Return by how much the total exceeds the hours spent, its logarithm being ``log_growth`` above theirs."""
    if log_growth < 1:
        return spent_hours * math.expm1(log_growth)  # keeps its digits where little is left
    return math.exp(min(math.log(spent_hours) + log_growth, 700.0)) - spent_hours
