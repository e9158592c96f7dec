"""All panels in work with their stages and hours, read once for a page: four queries whatever is in work."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import NamedTuple

from django.db.models import DecimalField, Exists, OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils import timezone

from estimates.work.standing import (
    NOTHING,
    JobStanding,
    PanelStanding,
    StageStanding,
    by_job,
    standings,
)
from jobs.drawings.strip import FOUR
from jobs.forgotten import may_be_forgotten
from jobs.models import Job, MaterialUse, Panel, PassDone, Reading, Stage, TimeEntry
from jobs.time_entries import hours_between

IN_WORK = Job.State.IN_WORK
HAMMER_STAGES = FOUR[1:]
# What no line of Today says of a panel, its job, its customer and its metal; hundreds of rows are read without it.
UNREAD = (
    "note", "created_at", "changed_at", "finish", "method", "code", "own_stages",
    "finished_area_mm2", "mass_kg", "layout_m", "moved_dm2", "worked_dm2", "finished_dm2",
    "job__time_and_material", "job__description", "job__created_at", "job__accepted_at", "job__closed_at",
    "job__submission", "job__created_by",
    "job__customer__note", "job__customer__address", "job__customer__phone", "job__customer__email",
    "job__customer__submission", "job__customer__created_at", "metal__source", "metal__price_per_kg",
)  # fmt: skip
# And all that it says of a running clock.
OF_CLOCKS = (
    "started_at", "ended_at",
    "person__username", "person__first_name", "person__last_name", "person__bench_hours_per_day",
    "stage__code", "stage__panel__position", "stage__panel__hand", "stage__panel__job__number", "stage__kind__name",
)  # fmt: skip


class KindInWork(NamedTuple):
    """What Today asks of a kind of stage."""

    name: str
    slug: str
    driver: str


class StageInWork(NamedTuple):
    """A stage as it was read: hundreds come at once, and a model apiece costs more than the whole query."""

    pk: int
    panel_id: int
    code: str
    budget_low_hours: Decimal
    budget_high_hours: Decimal
    mean_log: float | None
    scale: float | None
    degrees_of_freedom: float | None
    progress: Decimal
    done_at: datetime | None
    booked: Decimal | None
    kind: KindInWork

    def get_absolute_url(self) -> str:
        return reverse("bench", args=[self.code])


@dataclass(frozen=True, slots=True)
class Passes:
    """Passes ticked on a panel, and the last of them that nobody has measured."""

    done: int = 0
    unread: int | None = None


@dataclass(frozen=True, slots=True)
class InWork:
    """Every panel in work, earliest deadline first, and the clocks that run."""

    panels: tuple[PanelStanding, ...]
    jobs: tuple[JobStanding, ...]
    running: tuple[TimeEntry, ...]
    passes: dict[int, Passes]

    def without_metal(self) -> list[Panel]:
        """Panels that still wait for their metal: none cut, the layout not done, and no hammer has been at it."""
        return [
            standing.panel
            for standing in self.panels
            if not standing.panel.has_metal and not any(map(_shows_metal, standing.stages))
        ]

    def on_it(self, panel: Panel) -> list[str]:
        """Who stands at a panel now."""
        return sorted({str(entry.person) for entry in self.running if entry.stage.panel_id == panel.pk})

    def doubted(self, panel: Panel) -> list[TimeEntry]:
        """Clocks on a panel that may be forgotten: their hours count, in doubt."""
        return [
            entry for entry in self.running if entry.stage.panel_id == panel.pk and may_be_forgotten(entry)
        ]


def _shows_metal(stage: StageStanding) -> bool:
    """Whether a stage could not stand as it does without metal, booked or not."""
    if stage.stage.kind.slug == "layout":
        return stage.progress == 1
    return stage.stage.kind.slug in HAMMER_STAGES and bool(stage.progress or stage.used)


def in_work(alike: dict[int, float]) -> InWork:
    """Read what is in work. ``alike`` is ``estimates.work.standing.correlations`` of those jobs."""
    panels = panels_in_work()
    # By person: the index of running clocks serves, where an order in time would read every hour of the book.
    clocks = TimeEntry.objects.filter(ended_at=None).order_by("person_id")
    running = tuple(clocks.select_related("person", "stage__kind", "stage__panel__job").only(*OF_CLOCKS))
    stages = _stages()
    standing = standings(panels, stages, _spent(stages, running), alike)
    return InWork(standing, tuple(by_job(standing)), running, _passes())


def panels_in_work() -> list[Panel]:
    """Panels of jobs in work by deadline, with whether metal has been cut for them."""
    has_metal = Exists(MaterialUse.objects.filter(panel=OuterRef("pk")))
    rows = Panel.objects.filter(job__state=IN_WORK).select_related("job__customer", "metal").defer(*UNREAD)
    first_due = Coalesce("job__promised_on", "job__due_on").asc(nulls_last=True)
    return list(rows.annotate(has_metal=has_metal).order_by(first_due, "job_id", "position"))


def _stages() -> list[StageInWork]:
    """Stages in order with their hours booked."""
    hours = TimeEntry.objects.filter(stage=OuterRef("pk")).order_by().values("stage")
    booked = Subquery(hours.annotate(sum=Sum("hours")).values("sum"), output_field=DecimalField())
    rows = Stage.objects.filter(panel__job__state=IN_WORK).annotate(booked=booked)
    of_stage = StageInWork._fields[:-1]
    of_kind = [f"kind__{name}" for name in KindInWork._fields]
    return [
        StageInWork(*row[: len(of_stage)], KindInWork(*row[len(of_stage) :]))
        for row in rows.order_by("panel_id", "kind__position").values_list(*of_stage, *of_kind)
    ]


def _spent(stages: list[StageInWork], running: tuple[TimeEntry, ...]) -> dict[int, Decimal]:
    now = timezone.now()
    spent = {stage.pk: stage.booked or NOTHING for stage in stages}
    for entry in running:
        if entry.stage_id in spent:
            spent[entry.stage_id] += max(hours_between(entry.started_at, now), NOTHING)
    return spent


def _passes() -> dict[int, Passes]:
    read = Exists(Reading.objects.filter(panel=OuterRef("panel"), pass_number__gte=OuterRef("number")))
    ticked = (
        PassDone.objects.filter(panel__job__state=IN_WORK).annotate(read=read).order_by("panel_id", "number")
    )
    found: dict[int, Passes] = {}
    for panel, number, was_read in ticked.values_list("panel", "number", "read"):
        so_far = found.get(panel, Passes())
        found[panel] = Passes(so_far.done + 1, so_far.unread if was_read else number)
    return found


def deadlines(jobs: tuple[JobStanding, ...]) -> list[tuple[date, JobStanding]]:
    """The jobs that have a date, by it."""
    return sorted(
        ((standing.job.deadline, standing) for standing in jobs if standing.job.deadline),
        key=lambda pair: (pair[0], pair[1].job.pk),
    )
