"""A job as its page shows it: its panels with their hours, its photos, its trail, and what it waits for."""

from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.urls import reverse

from jobs.drawings.scene import Scene
from jobs.models import Job, Panel, Photo, Stage
from jobs.parts import NextAction, PanelRange, Part, parts_of, ranges_of
from jobs.stage_rows import StageRow, hours_in, shared_scale, stage_rows, strip_of
from shop.audit import changed, record, snapshot, trail_for
from shop.models import AuditEntry, Person

PHOTOS_SHOWN = 8
TRAIL_SHOWN = 12
STRIP_PX = 250.0


@dataclass(frozen=True, slots=True)
class PanelFacts:
    """A panel on its job's page: its stages with their hours, and the range for the whole of it where known."""

    panel: Panel
    stages: tuple[StageRow, ...]
    range: PanelRange | None
    strip: Scene | None

    @property
    def hours(self) -> Decimal:
        return hours_in(self.stages)

    @property
    def begun(self) -> bool:
        return any(row.stage.started_at for row in self.stages)

    @property
    def next_stage(self) -> Stage | None:
        """The first stage that is not done."""
        return next((row.stage for row in self.stages if row.stage.done_at is None), None)


@dataclass(frozen=True, slots=True)
class JobFacts:
    """All that the page of a job shows."""

    job: Job
    viewer: Person
    panels: tuple[PanelFacts, ...]
    parts: tuple[Part, ...]
    photos: tuple[Photo, ...]
    trail: tuple[AuditEntry, ...]
    trail_more: bool

    @property
    def hours(self) -> Decimal:
        return sum((facts.hours for facts in self.panels), Decimal(0))

    @property
    def has_strips(self) -> bool:
        return any(facts.strip for facts in self.panels)

    @property
    def next_action(self) -> NextAction | None:
        return next_action(self)


def job_facts(job: Job, person: Person) -> JobFacts:
    """Everything the job's page shows, in a constant number of queries."""
    trail = list(trail_for(person).filter(job_number=job.number)[: TRAIL_SHOWN + 1])
    return JobFacts(
        job=job,
        viewer=person,
        panels=_panels(job),
        parts=tuple(parts_of(job, person)),
        photos=tuple(job.photos.select_related("panel", "stage__kind", "taken_by")[:PHOTOS_SHOWN]),
        trail=tuple(trail[:TRAIL_SHOWN]),
        trail_more=len(trail) > TRAIL_SHOWN,
    )


def _panels(job: Job) -> tuple[PanelFacts, ...]:
    panels = list(Panel.objects.filter(job=job).select_related("metal", "mirrors").order_by("position"))
    for panel in panels:
        panel.job = job
    rows = stage_rows(panels)
    ranges = ranges_of(panels) if any(rows.values()) else {}
    scale = shared_scale([(rows[panel.pk], ranges.get(panel.pk)) for panel in panels])
    return tuple(_facts(panel, rows[panel.pk], ranges.get(panel.pk), scale) for panel in panels)


def _facts(panel: Panel, rows: tuple[StageRow, ...], span: PanelRange | None, scale: float) -> PanelFacts:
    return PanelFacts(panel, rows, span, strip_of(rows, span, scale, STRIP_PX))


def next_action(facts: JobFacts) -> NextAction | None:
    """What the job waits for: its panels first, then what later rooms say, then its work."""
    job = facts.job
    said = next((part.next_action for part in facts.parts if part.next_action), None)
    if job.state in {Job.State.CLOSED, Job.State.DECLINED}:
        return said
    if not facts.panels:
        words = "Add the first panel: its metal, its shape and its hand."
        return NextAction(words, reverse("panel-new", args=[job.number]), "Add a panel")
    return said or (_work(facts) if job.state == Job.State.IN_WORK else None)


def _work(facts: JobFacts) -> NextAction:
    """The first panel with a stage to do, or closing when all are done."""
    for panel in facts.panels:
        if stage := panel.next_stage:
            verb = "Go on with" if stage.started_at else "Begin"
            words = f"{verb} the {stage.kind.name.lower()} of {panel.panel}."
            return NextAction(words, reverse("bench", args=[stage.code]), "To the bench")
    if not facts.viewer.is_owner:
        return NextAction("Every stage is done. Check the last readings and tell the owner.")
    words = "Every stage is done. Check the last readings, then close the job."
    return NextAction(words, reverse("job-close", args=[facts.job.number]), "Close the job")


@transaction.atomic
def change_job(job: Job, person: Person, fields: list[str]) -> Job:
    """Save changed facts of a job with the trail. ``job`` carries the new values, unsaved."""
    before = snapshot(Job.objects.select_for_update().get(pk=job.pk), fields)
    job.save(update_fields=fields)
    if changes := changed(before, snapshot(job, fields)):
        record(person, "changed job", job, changes=changes, job_number=job.number)
    return job
