"""Closing a job: what it earned, what it teaches, and its panels put among the past ones. And opening it again.

A stage that was never finished teaches nothing: its hours are kept with its panel's time entries, and left blank
among the past panels. So are stages on which nobody wrote hours down.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from estimates import hours
from estimates.learning import as_past_panel, first_rates, past_panels, stage_kinds
from estimates.models import PastPanel
from estimates.payments import job_statement, keep_unpaid
from estimates.work.cost import Agreed, JobCost, agreed_quotes, cost_of, net_price
from estimates.work.standing import JobStanding, PanelStanding, StageStanding, standing_of_job
from jobs.models import Job, TimeEntry
from shop.audit import record
from shop.figures import counted
from shop.models import Person, Shop

LEAST_WORDS = 3


class CloseRefused(Exception):
    """The job cannot be closed or opened again; the text says why. ``stages`` are those still to be explained."""

    def __init__(self, text: str, stages: tuple[int, ...] = ()):
        self.stages = stages
        super().__init__(text)


@dataclass(frozen=True, slots=True)
class Learned:
    """How the rate of one stage moves with this job, for work like one of its panels, hours a unit."""

    panel: str
    stage: str
    unit: str
    before: float
    after: float

    @property
    def change(self) -> float:
        """The change as a share: 0.06 for six per cent slower."""
        return self.after / self.before - 1


@dataclass(frozen=True, slots=True)
class Closing:
    """What closing a job comes to, before or after it has happened."""

    standing: JobStanding
    agreed: tuple[Agreed, ...]
    price: Decimal
    cost: JobCost
    learned: tuple[Learned, ...]
    unfinished: tuple[StageStanding, ...]
    running: tuple[TimeEntry, ...]
    still_to_pay: Decimal

    @property
    def without_metal(self) -> list[str]:
        """The marks of panels that no metal has been booked for: what the job cost lacks theirs."""
        panels = (each.panel for each in self.standing.panels)
        return [panel.mark for panel in panels if panel.pk not in self.cost.metal_by_panel]

    @property
    def margin(self) -> Decimal:
        """The price agreed, without tax, less everything that :mod:`estimates.work.cost` counts."""
        return self.price - self.cost.total

    @property
    def margin_share(self) -> Decimal | None:
        """Margin as a share of the price; nothing where there is no price."""
        return self.margin / self.price if self.price else None


def closing_of(job: Job, shop: Shop) -> Closing:
    """Add up what a job earned and what it teaches, in a constant number of queries."""
    standing = standing_of_job(job)
    agreed = agreed_quotes(job)
    running = TimeEntry.objects.filter(stage__panel__job=job, ended_at=None)
    return Closing(
        standing=standing,
        agreed=tuple(agreed),
        price=net_price(agreed),
        cost=cost_of(job, agreed, shop),
        learned=tuple(_learned(standing, shop)),
        unfinished=tuple(unfinished(standing)),
        running=tuple(running.select_related("person", "stage__kind", "stage__panel__job")),
        still_to_pay=job_statement(job).balance,
    )


def unfinished(standing: JobStanding) -> list[StageStanding]:
    return [stage for panel in standing.panels for stage in panel.stages if not stage.is_done]


@transaction.atomic
def close_job(job: Job, person: Person, explained: Mapping[int, str] | None = None) -> Job:
    """Close a job and put its panels among the past ones, all of it or nothing.

    ``explained`` says by a stage's primary key why it was never finished; every such stage needs its words. Pressed
    twice it closes once.
    """
    _refuse_unless_owner(person, "close a job")
    held = Job.objects.select_for_update().get(pk=job.pk)
    if held.state == Job.State.CLOSED:
        return held
    if held.state != Job.State.IN_WORK:
        raise CloseRefused(
            f"Job {held.number} is {held.get_state_display().lower()}; only a job in work is closed."
        )
    standing = standing_of_job(held)
    said = {stage.stage: words for stage, words in _explained(standing, explained or {}).items()}
    _refuse_running_clocks(held)
    held.state, held.closed_at = Job.State.CLOSED, timezone.now()
    held.save(update_fields=["state", "closed_at"])
    keep_unpaid(held)
    rows = [_keep_past(panel) for panel in standing.panels]
    changes = {"state": ["in-work", "closed"]} | {str(stage): [None, words] for stage, words in said.items()}
    record(
        person,
        f"closed, with {counted(len(rows), 'past panel')},",
        held,
        changes=changes,
        job_number=held.number,
    )
    return held


@transaction.atomic
def reopen_job(job: Job, person: Person) -> Job:
    """Open a closed job again. Its past panels go, but for those that the owner has left out with a reason since."""
    _refuse_unless_owner(person, "open a closed job")
    held = Job.objects.select_for_update().get(pk=job.pk)
    if held.state == Job.State.IN_WORK:
        return held
    if held.state != Job.State.CLOSED:
        raise CloseRefused(f"Job {held.number} is not closed.")
    held.state, held.closed_at, held.unpaid = Job.State.IN_WORK, None, None
    held.save(update_fields=["state", "closed_at", "unpaid"])
    rows = PastPanel.objects.filter(panel__job=held, origin=PastPanel.Origin.CLOSED)
    gone = [row.name for row in rows.filter(left_out_reason="")]
    rows.filter(left_out_reason="").delete()
    record(
        person, "opened again", held, job_number=held.number,
        changes={"state": ["closed", "in-work"], "past panels": [gone, [row.name for row in rows]]},
    )  # fmt: skip
    return held


def past_of(panel: PanelStanding) -> PastPanel:
    """A panel as it will stand among the past ones, unsaved."""
    known = panel.panel
    done = {
        stage.stage.kind.slug: float(stage.used) for stage in panel.stages if stage.is_done and stage.used
    }
    return PastPanel(
        origin=PastPanel.Origin.CLOSED, panel=known, name=str(known)[:120], finished_on=_finished_on(panel),
        metal=known.metal.family, method=known.method, finish=known.finish, hand_order=known.hand_order,
        layout_m=known.layout_m, moved_dm2=known.moved_dm2, worked_dm2=known.worked_dm2,
        finished_dm2=known.finished_dm2,
        estimated={stage.stage.kind.slug: _budget(stage) for stage in panel.stages},
        **{f"{slug}_hours": done.get(slug) for slug in hours.STAGES},
    )  # fmt: skip


def _keep_past(panel: PanelStanding) -> PastPanel:
    """Write the past panel; one that was kept through a reopening is brought up to date and stays left out."""
    row = past_of(panel)
    kept = PastPanel.objects.select_for_update().filter(panel=panel.panel).first()
    if kept:
        row.pk, row.left_out_reason, row.left_out_by_id = kept.pk, kept.left_out_reason, kept.left_out_by_id
    row.save()
    return row


def _finished_on(panel: PanelStanding) -> date:
    """The day its last stage was done; today where none was."""
    ends = [stage.stage.done_at for stage in panel.stages if stage.stage.done_at]
    return timezone.localtime(max(ends)).date() if ends else timezone.localdate()


def _budget(stage: StageStanding) -> dict[str, float | None]:
    held = stage.stage
    return {
        "low": float(held.budget_low_hours), "high": float(held.budget_high_hours),
        "mean_log": held.mean_log, "scale": held.scale, "df": held.degrees_of_freedom,
    }  # fmt: skip


def _explained(standing: JobStanding, explained: Mapping[int, str]) -> dict[StageStanding, str]:
    """Why each unfinished stage was left, or a refusal that names those without a word."""
    open_stages = unfinished(standing)
    words = {stage: explained.get(stage.stage.pk, "").strip() for stage in open_stages}
    missing = [stage for stage, said in words.items() if len(said) < LEAST_WORDS]
    if missing:
        names = ", ".join(str(stage.stage) for stage in missing[:4])
        raise CloseRefused(
            f"Not done: {names}. Finish each, or say in a few words why it is left.",
            tuple(stage.stage.pk for stage in missing),
        )
    return words


def _refuse_running_clocks(job: Job) -> None:
    running = TimeEntry.objects.filter(stage__panel__job=job, ended_at=None).select_related("person").first()
    if running:
        raise CloseRefused(
            f"{running.person}’s clock still runs on this job. Stop it first: its hours count."
        )


def _refuse_unless_owner(person: Person, what: str) -> None:
    if not person.is_owner:
        raise CloseRefused(f"Only the owner can {what}. Ask them.")


def _learned(standing: JobStanding, shop: Shop) -> list[Learned]:
    """Learn once without this job's panels and once with them, and say how each rate moves for work like theirs."""
    rates = first_rates(shop, stage_kinds())
    mine = {panel.panel.pk: past_of(panel) for panel in standing.panels}
    rows = PastPanel.objects.filter(panel__in=mine).values_list("pk", "left_out_reason")
    held = {str(pk): reason for pk, reason in rows}
    before = [past for past in past_panels() if past.panel not in held]
    if any(held.values()):
        return []
    new = [as_past_panel(row) for row in mine.values()]
    today, half_life = timezone.localdate(), shop.history_half_life_days
    old_model = hours.learn(before, rates, on=today, half_life_days=half_life)
    new_model = hours.learn([*before, *new], rates, on=today, half_life_days=half_life)
    return [
        Learned(
            str(panel.panel), stage, hours.DRIVERS[stage].unit,
            old_model.rates[stage].per_unit(past.drivers).p50, new_model.rates[stage].per_unit(past.drivers).p50,
        )
        for panel, past in zip(standing.panels, new, strict=True)
        for stage in hours.STAGES
        if past.hours_per_unit(stage) is not None
    ]  # fmt: skip
