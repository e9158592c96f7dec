"""All panels in work with their stages and hours, read once for a page: four queries whatever is in work."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import DecimalField, Exists, F, OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce
from django.utils import timezone

from estimates.work.standing import NOTHING, JobStanding, PanelStanding, by_job, standings
from jobs.clock import hours_between
from jobs.models import Job, MaterialUse, Panel, PassDone, Reading, Stage, TimeEntry
from shop.models import StageKind

IN_WORK = Job.State.IN_WORK
KIND_FACTS = "name", "slug", "driver", "position"
# What no line of Today says of a panel, its job, its customer and its metal; hundreds of rows are read without it.
UNREAD = (
    "note", "created_at", "changed_at", "job__description", "job__created_at", "job__accepted_at", "job__closed_at",
    "job__submission", "job__created_by", "job__customer__note", "job__customer__address", "job__customer__phone",
    "job__customer__email", "job__customer__created_at", "metal__source", "metal__price_per_kg",
)  # fmt: skip


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

    def on_it(self, panel: Panel) -> list[str]:
        """Who stands at a panel now."""
        return sorted({str(entry.person) for entry in self.running if entry.stage.panel_id == panel.pk})


def in_work(alike: dict[int, float]) -> InWork:
    """Read what is in work. ``alike`` is ``estimates.work.standing.correlations`` of those jobs."""
    panels = panels_in_work()
    # By person: the index of running clocks serves, where an order in time would read every hour of the book.
    clocks = TimeEntry.objects.filter(ended_at=None).order_by("person_id")
    running = tuple(clocks.select_related("person", "stage__kind", "stage__panel__job"))
    stages = _stages()
    standing = standings(panels, stages, _spent(stages, running), alike)
    return InWork(standing, tuple(by_job(standing)), running, _passes())


def panels_in_work() -> list[Panel]:
    """Panels of jobs in work by deadline, with whether metal has been cut for them."""
    has_metal = Exists(MaterialUse.objects.filter(panel=OuterRef("pk")))
    rows = Panel.objects.filter(job__state=IN_WORK).select_related("job__customer", "metal").defer(*UNREAD)
    first_due = Coalesce("job__promised_on", "job__due_on").asc(nulls_last=True)
    return list(rows.annotate(has_metal=has_metal).order_by(first_due, "job_id", "position"))


def _stages() -> list[Stage]:
    """Stages in order with their hours booked; stages of one kind share it, for they are many and kinds are few."""
    hours = TimeEntry.objects.filter(stage=OuterRef("pk")).order_by().values("stage")
    booked = Subquery(hours.annotate(sum=Sum("hours")).values("sum"), output_field=DecimalField())
    of_kind = {f"kind_{name}": F(f"kind__{name}") for name in KIND_FACTS}
    rows = (
        Stage.objects.filter(panel__job__state=IN_WORK).defer("started_at").annotate(booked=booked, **of_kind)
    )
    kinds: dict[int, StageKind] = {}
    stages = list(rows.order_by("panel_id", "kind__position"))
    for stage in stages:
        if stage.kind_id not in kinds:
            facts = {name: getattr(stage, f"kind_{name}") for name in KIND_FACTS}
            kinds[stage.kind_id] = StageKind(pk=stage.kind_id, **facts)
        stage.kind = kinds[stage.kind_id]
    return stages


def _spent(stages: list[Stage], running: tuple[TimeEntry, ...]) -> dict[int, Decimal]:
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
