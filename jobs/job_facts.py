"""A job as its page shows it: its panels with their hours, its photos, its trail, and what it waits for."""

from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.urls import reverse

from jobs.listing import PanelRow, panel_rows
from jobs.models import Job, Panel, Photo, Stage
from jobs.parts import NextAction, PanelRange, Part, parts_of, ranges_of
from shop.audit import changed, record, snapshot
from shop.models import AuditEntry, Person

PHOTOS_SHOWN = 8
TRAIL_SHOWN = 12


@dataclass(frozen=True, slots=True)
class PanelFacts:
    """A panel on its job's page: hours so far, the range for the whole of it where known, and what is next."""

    panel: Panel
    hours: Decimal
    begun: bool
    stages: tuple[Stage, ...]
    range: PanelRange | None

    @property
    def next_stage(self) -> Stage | None:
        """The first stage that is not done."""
        return next((stage for stage in self.stages if stage.done_at is None), None)


@dataclass(frozen=True, slots=True)
class JobFacts:
    job: Job
    panels: tuple[PanelFacts, ...]
    parts: tuple[Part, ...]
    photos: tuple[Photo, ...]
    trail: tuple[AuditEntry, ...]
    trail_more: bool

    @property
    def hours(self) -> Decimal:
        return sum((facts.hours for facts in self.panels), Decimal(0))

    @property
    def next_action(self) -> NextAction | None:
        return next_action(self)


def job_facts(job: Job, person: Person) -> JobFacts:
    """Everything the job's page shows, in a constant number of queries."""
    rows = panel_rows(Panel.objects.filter(job=job).select_related("mirrors"))
    for row in rows:
        row.panel.job = job
    stages: dict[int, list[Stage]] = {}
    for stage in Stage.objects.filter(panel__job=job).select_related("kind").order_by("kind__position"):
        stages.setdefault(stage.panel_id, []).append(stage)
    ranges = ranges_of(row.panel for row in rows) if stages else {}
    photos = list(job.photos.select_related("panel", "stage__kind", "taken_by")[:PHOTOS_SHOWN])
    trail = list(AuditEntry.objects.filter(job_number=job.number)[: TRAIL_SHOWN + 1])
    return JobFacts(
        job=job,
        panels=tuple(_facts(row, stages.get(row.panel.pk, []), ranges.get(row.panel.pk)) for row in rows),
        parts=tuple(parts_of(job, person)),
        photos=tuple(photos),
        trail=tuple(trail[:TRAIL_SHOWN]),
        trail_more=len(trail) > TRAIL_SHOWN,
    )


def _facts(row: PanelRow, stages: list[Stage], span: PanelRange | None) -> PanelFacts:
    for stage in stages:
        stage.panel = row.panel
    return PanelFacts(row.panel, row.hours, row.begun, tuple(stages), span)


def next_action(facts: JobFacts) -> NextAction | None:
    """What the job waits for: its panels first, then what later rooms say, then its work."""
    job = facts.job
    if job.state in {Job.State.CLOSED, Job.State.DECLINED}:
        return None
    if not facts.panels:
        return NextAction(
            "Add the first panel: its metal, its shape and its hand.",
            reverse("panel-new", args=[job.number]),
            "Add a panel",
        )
    if found := next((part.next_action for part in facts.parts if part.next_action), None):
        return found
    return _work(facts) if job.state == Job.State.IN_WORK else None


def _work(facts: JobFacts) -> NextAction:
    """The first panel with a stage to do, or closing when all are done."""
    for panel in facts.panels:
        if stage := panel.next_stage:
            verb = "Go on with" if stage.started_at else "Begin"
            words = f"{verb} the {stage.kind.name.lower()} of {panel.panel}."
            return NextAction(words, reverse("bench", args=[stage.code]), "To the bench")
    return NextAction(
        "Every stage is done. Check the last readings, then close the job.",
        reverse("job-close", args=[facts.job.number]),
        "Close the job",
    )


@transaction.atomic
def change_job(job: Job, person: Person, fields: list[str]) -> Job:
    """Save changed facts of a job with the trail. ``job`` carries the new values, unsaved."""
    before = snapshot(Job.objects.select_for_update().get(pk=job.pk), fields)
    job.save(update_fields=fields)
    if changes := changed(before, snapshot(job, fields)):
        record(person, "changed job", job, changes=changes, job_number=job.number)
    return job
