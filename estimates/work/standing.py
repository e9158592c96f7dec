"""Where panels in work stand against their estimate: hours spent, the range estimated, the range still to go.

A stage keeps the distribution it was budgeted at (``jobs.models.Stage``); how far the stages of one panel run over
together is kept in the accepted quote. What is not known any more is read from the budget's two ends.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from math import inf

from django.db.models import F

from estimates import hours
from estimates.hours.learning import FIRST_CORRELATION
from estimates.models import Quote
from estimates.outcome import Outcome, came_out
from jobs.drawings.scene import Scene
from jobs.drawings.strip import StageHours, hours_scale, sentence, stage_strip
from jobs.models import Job, Panel, Stage
from jobs.standing_of_stage import hours_by_stage
from shop.figures import hours_over

NOTHING = Decimal(0)
KEPT = 8192


@dataclass(frozen=True, slots=True)
class StageStanding:
    """One stage: what it was estimated at and what has gone into it."""

    stage: Stage
    used: Decimal
    estimated: hours.StageHours

    @property
    def low(self) -> Decimal:
        return self.stage.budget_low_hours

    @property
    def high(self) -> Decimal:
        return self.stage.budget_high_hours

    @property
    def progress(self) -> Decimal:
        return self.stage.progress

    @property
    def is_done(self) -> bool:
        return self.stage.done_at is not None

    @property
    def over(self) -> Decimal:
        """Hours past the high end of the stage's range; nought where there is no range to be past."""
        return hours_over(self.used, self.high)

    @property
    def outcome(self) -> Outcome:
        """How the hours spent lie against the range, in words; for a stage that is done."""
        return came_out(self.used, self.low, self.high)

    @property
    def to_go(self) -> hours.HoursRange:
        return _to_go(self.estimated, round(float(self.used), 2), float(self.progress))

    @property
    def at_completion(self) -> hours.HoursRange:
        return hours.after(float(self.used), self.to_go)

    def drawn(self) -> StageHours:
        """The stage as a strip draws it."""
        kind = self.stage.kind
        return StageHours(
            kind.slug, kind.name, float(self.low), float(self.high), float(self.used), float(self.progress)
        )


@dataclass(frozen=True, slots=True)
class PanelStanding:
    """One panel with its stages in order."""

    panel: Panel
    stages: tuple[StageStanding, ...]
    correlation: float = FIRST_CORRELATION

    @property
    def used(self) -> Decimal:
        return sum((stage.used for stage in self.stages), NOTHING)

    @property
    def estimated(self) -> hours.HoursRange:
        """The range of the whole panel, which is not the sum of its stages' ranges."""
        return _whole(tuple(stage.estimated for stage in self.stages), self.correlation).total

    @property
    def to_go(self) -> hours.HoursRange:
        return self.to_go_by(0.01)

    @property
    def at_completion(self) -> hours.HoursRange:
        return hours.after(float(self.used), self.to_go)

    @property
    def is_done(self) -> bool:
        return all(stage.is_done for stage in self.stages)

    @property
    def outcome(self) -> Outcome:
        """How the hours spent on the panel lie against its range, in words; for one that is done."""
        return came_out(self.used, self.estimated.p50, self.estimated.p80)

    @property
    def now(self) -> StageStanding | None:
        """The first stage that is not done."""
        return next((stage for stage in self.stages if not stage.is_done), None)

    def to_go_by(self, step_hours: float) -> hours.HoursRange:
        """The hours still to go, with the hours spent read to a step, so that a running clock asks the same again."""
        spent = tuple(
            (round(float(stage.used) / step_hours) * step_hours, float(stage.progress))
            for stage in self.stages
        )
        return _rest(tuple(stage.estimated for stage in self.stages), spent, self.correlation)

    def longest(self) -> float:
        """What a strip of this panel needs of its scale, hours."""
        return max(self.estimated.p80, float(self.used))

    def strip(self, scale_hours: float) -> Scene:
        whole = self.estimated
        return _strip(tuple(stage.drawn() for stage in self.stages), whole.p50, whole.p80, scale_hours)

    def sentence(self) -> str:
        """What stands beside the strip: 14.3 of 32–38 h."""
        whole = self.estimated
        return sentence([stage.drawn() for stage in self.stages], whole.p50, whole.p80)


@dataclass(frozen=True, slots=True)
class JobStanding:
    """All panels of one job that have come to the bench; ``waiting`` are those that have not, where asked for."""

    job: Job
    panels: tuple[PanelStanding, ...]
    waiting: tuple[Panel, ...] = ()

    @property
    def used(self) -> Decimal:
        return sum((panel.used for panel in self.panels), NOTHING)

    @property
    def estimated(self) -> hours.HoursRange:
        return _together(tuple(panel.estimated for panel in self.panels))

    @property
    def to_go(self) -> hours.HoursRange:
        return self.to_go_by(0.01)

    @property
    def at_completion(self) -> hours.HoursRange:
        return hours.after(float(self.used), self.to_go)

    @property
    def is_done(self) -> bool:
        return all(panel.is_done for panel in self.panels)

    @property
    def open_panels(self) -> int:
        return sum(not panel.is_done for panel in self.panels)

    def to_go_by(self, step_hours: float) -> hours.HoursRange:
        return _together(tuple(panel.to_go_by(step_hours) for panel in self.panels))


def standing_of_job(job: Job) -> JobStanding:
    """One job, in five queries."""
    panels = list(Panel.objects.filter(job=job).select_related("metal", "mirrors").order_by("position"))
    for panel in panels:
        panel.job = job
    stages = list(Stage.objects.filter(panel__job=job).select_related("kind").order_by("kind__position"))
    panel_by_pk = {panel.pk: panel for panel in panels}
    for stage in stages:
        stage.panel = panel_by_pk[stage.panel_id]
    spent = hours_by_stage([panel.pk for panel in panels])
    begun = {stage.panel_id for stage in stages}
    waiting = tuple(panel for panel in panels if panel.pk not in begun)
    return JobStanding(job, standings(panels, stages, spent, correlations([job.pk])), waiting)


def standings(
    panels: Sequence[Panel], stages: Iterable[Stage], spent: dict[int, Decimal], alike: dict[int, float]
) -> tuple[PanelStanding, ...]:
    """Put panels, stages in their order and hours by stage together, without asking the database."""
    of_panel: dict[int, list[StageStanding]] = {panel.pk: [] for panel in panels}
    for stage in stages:
        if stage.panel_id in of_panel:
            of_panel[stage.panel_id].append(
                StageStanding(stage, spent.get(stage.pk, NOTHING), estimated_hours(stage))
            )
    return tuple(
        PanelStanding(panel, tuple(of_panel[panel.pk]), alike.get(panel.job_id, FIRST_CORRELATION))
        for panel in panels
        if of_panel[panel.pk]
    )


def by_job(panels: Iterable[PanelStanding]) -> list[JobStanding]:
    """The same panels job by job, in the order in which the jobs come up."""
    found: dict[int, list[PanelStanding]] = {}
    for standing in panels:
        found.setdefault(standing.panel.job_id, []).append(standing)
    return [JobStanding(each[0].panel.job, tuple(each)) for each in found.values()]


def correlations(jobs: Iterable[int]) -> dict[int, float]:
    """How far the stages of a panel run over together, by job, as its accepted quote was reckoned."""
    accepted = Quote.objects.filter(job__in=list(jobs), state=Quote.State.ACCEPTED).order_by("revision")
    held = accepted.annotate(alike=F("frozen__model__correlation")).values_list("job", "alike")
    return {job: float(alike) for job, alike in held if alike is not None}


def estimated_hours(stage: Stage) -> hours.StageHours:
    """The distribution a stage was budgeted at; from its two ends where that was never kept."""
    if stage.mean_log is not None and stage.scale is not None:
        df = inf if stage.degrees_of_freedom is None else stage.degrees_of_freedom
        return hours.StageHours(stage.mean_log, stage.scale, df, stage.kind.slug)
    low, high = float(stage.budget_low_hours), float(stage.budget_high_hours)
    return hours.StageHours.by_owner(stage.kind.slug, low or high, high)


def shared_scale(panels: Iterable[PanelStanding]) -> float:
    """The hours scale that the strips of one page share."""
    return hours_scale(*(panel.longest() for panel in panels))


@lru_cache(maxsize=256)
def _strip(stages: tuple[StageHours, ...], low: float, high: float, scale_hours: float) -> Scene:
    return stage_strip(stages, low, high, scale_hours)


@lru_cache(maxsize=KEPT)
def _to_go(estimated: hours.StageHours, used: float, progress: float) -> hours.HoursRange:
    return hours.to_go(estimated, used, progress)


@lru_cache(maxsize=KEPT)
def _whole(stages: tuple[hours.StageHours, ...], correlation: float) -> hours.PanelHours:
    return hours.panel_hours({stage.stage: stage for stage in stages}, correlation)


@lru_cache(maxsize=KEPT)
def _rest(
    stages: tuple[hours.StageHours, ...], spent: tuple[tuple[float, float], ...], correlation: float
) -> hours.HoursRange:
    done = {stage.stage: hours.Spent(*each) for stage, each in zip(stages, spent, strict=True)}
    return hours.rest_of_panel(_whole(stages, correlation), done).total


@lru_cache(maxsize=KEPT)
def _together(panels: tuple[hours.HoursRange, ...]) -> hours.HoursRange:
    """Panels of a job, each surprising on its own: what they share of the rates was not kept with their budgets."""
    return hours.job_total([hours.PanelHours({}, panel, 0.0) for panel in panels])
