"""Closing a job: what it earned, what it teaches, and its panels put among the past ones. And opening it again.

Before a job closes the owner says of each panel that came out far from what was expected whether it teaches
(:mod:`estimates.lessons`); the answer is written with the closing, or neither is.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from estimates.history import leave_out, take_back
from estimates.lessons import Lessons, Verdict, lessons_of, past_of, wrong_verdicts
from estimates.models import PastPanel
from estimates.payments import job_statement, keep_unpaid
from estimates.work.cost import Agreed, JobCost, agreed_quotes, cost_of, net_price
from estimates.work.standing import JobStanding, PanelStanding, StageStanding, standing_of_job
from jobs.models import Job, Panel, Stage, TimeEntry
from shop.audit import record
from shop.figures import counted
from shop.models import Person, Shop

LEAST_WORDS = 3


class CloseRefused(Exception):
    """The job cannot be closed or opened again; the text says why.

    ``stages`` are those still to be explained; ``panels`` says by its key what is wrong with the answer on a panel.
    """

    def __init__(self, text: str, stages: tuple[int, ...] = (), panels: Mapping[int, str] | None = None):
        self.stages = stages
        self.panels = panels or {}
        super().__init__(text)


@dataclass(frozen=True, slots=True)
class Closing:
    """What closing a job comes to, before or after it has happened."""

    standing: JobStanding
    agreed: tuple[Agreed, ...]
    price: Decimal  # without tax: agreed, or charged where that is by time and material
    by_hours: bool
    cost: JobCost
    lessons: Lessons
    unfinished: tuple[StageStanding, ...]
    running: tuple[TimeEntry, ...]
    still_to_pay: Decimal

    @property
    def never_quoted(self) -> list[str]:
        """The marks of panels that no accepted quote has brought to the bench."""
        return [panel.mark for panel in self.standing.waiting]

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
    agreed, account = agreed_quotes(job), job_statement(job)
    running = TimeEntry.objects.filter(stage__panel__job=job, ended_at=None)
    return Closing(
        standing=standing,
        agreed=tuple(agreed),
        price=net_price(agreed) if account.charged is None else account.charged,
        by_hours=account.charged is not None,
        cost=cost_of(job, agreed, shop),
        lessons=lessons_of(standing, shop),
        unfinished=tuple(unfinished(standing)),
        running=tuple(running.select_related("person", "stage__kind", "stage__panel__job")),
        still_to_pay=account.balance,
    )


def unfinished(standing: JobStanding) -> list[StageStanding]:
    return [stage for panel in standing.panels for stage in panel.stages if not stage.is_done]


@transaction.atomic
def close_job(
    job: Job, person: Person, explained: Mapping[int, str] | None = None,
    verdicts: Mapping[int, Verdict] | None = None,
) -> Job:  # fmt: skip
    """Close a job and put its panels among the past ones, all of it or nothing.

    ``explained`` says by a stage's primary key why it was never finished, ``verdicts`` by a panel's whether it
    teaches; every such stage, and every panel that is asked about, needs an answer. Pressed twice it closes once.
    """
    _refuse_unless_owner(person, "close a job")
    held = Job.objects.select_for_update().get(pk=job.pk)
    if held.state == Job.State.CLOSED:
        return held
    _refuse_unless_in_work(held)
    standing = standing_of_job(held)
    answers = _answers(standing, explained or {}, verdicts or {})
    _refuse_running_clocks(held)
    held.state, held.closed_at = Job.State.CLOSED, timezone.now()
    held.save(update_fields=["state", "closed_at"])
    keep_unpaid(held)
    rows = [_keep_past(panel) for panel in standing.panels]
    changes = {"state": ["in-work", "closed"]} | {thing: [None, words] for thing, words in answers.items()}
    what = f"closed, with {counted(len(rows), 'past panel')},"
    record(person, what, held, changes=changes, job_number=held.number)
    for row in rows:
        _write_verdict(row, (verdicts or {}).get(row.panel_id), person)
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


def _keep_past(panel: PanelStanding) -> PastPanel:
    """Write the past panel; one that was kept through a reopening is brought up to date and stays left out."""
    row = past_of(panel)
    kept = PastPanel.objects.select_for_update().filter(panel=panel.panel).first()
    if kept:
        row.pk, row.left_out_reason, row.left_out_by_id = kept.pk, kept.left_out_reason, kept.left_out_by_id
    row.save()
    return row


def _write_verdict(row: PastPanel, verdict: Verdict | None, person: Person) -> None:
    if verdict is None:
        return
    if verdict.teaches:
        take_back(row, person)
    else:
        leave_out(row, person, verdict.reason)


def _answers(
    standing: JobStanding, explained: Mapping[int, str], verdicts: Mapping[int, Verdict]
) -> dict[str, str]:
    """What was said of stages left and of panels that teach, as the trail keeps it, or a refusal with all that lacks."""
    open_stages = [stage.stage for stage in unfinished(standing)]
    words = {stage: explained.get(stage.pk, "").strip() for stage in open_stages}
    missing = [stage for stage, said in words.items() if len(said) < LEAST_WORDS]
    panels = {each.panel.pk: each.panel for each in standing.panels}
    given = {pk: verdict for pk, verdict in verdicts.items() if pk in panels}
    questions = lessons_of(standing, Shop.standing()).questions
    wrong = wrong_verdicts(questions, given)
    if missing or wrong:
        unanswered = [panel for pk, panel in panels.items() if pk in wrong]
        text = " ".join(filter(None, (_not_done(missing), _not_answered(unanswered))))
        raise CloseRefused(text, tuple(stage.pk for stage in missing), wrong)
    teaching = {str(each.panel): "teaches" for each in questions if given[each.panel.pk].teaches}
    return {str(stage): said for stage, said in words.items()} | teaching


def _not_done(stages: list[Stage]) -> str:
    if not stages:
        return ""
    names = ", ".join(str(stage) for stage in stages[:4])
    return f"Not done: {names}. Finish each, or say in a few words why it is left."


def _not_answered(panels: list[Panel]) -> str:
    if not panels:
        return ""
    marks = ", ".join(panel.mark for panel in panels[:4])
    return f"Far from what was expected: {marks}. Say of each whether it teaches."


def _refuse_unless_in_work(job: Job) -> None:
    if job.state != Job.State.IN_WORK:
        state = job.get_state_display().lower()
        raise CloseRefused(f"Job {job.number} is {state}; only a job in work is closed.")


def _refuse_running_clocks(job: Job) -> None:
    running = TimeEntry.objects.filter(stage__panel__job=job, ended_at=None).select_related("person").first()
    if running:
        raise CloseRefused(
            f"{running.person}’s clock still runs on this job. Stop it first: its hours count."
        )


def _refuse_unless_owner(person: Person, what: str) -> None:
    if not person.is_owner:
        raise CloseRefused(f"Only the owner can {what}. Ask them.")
