"""The list of jobs: which are shown, in which order, and what stands beside each."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, QuerySet
from django.db.models.functions import Coalesce

from jobs.customers import IN_HAND
from jobs.models import Job, Panel, Stage
from jobs.search import jobs_matching, tidy
from jobs.standing_of_stage import hours_by_stage

ALL = "all"
HAND = "in-hand"
NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class Choice:
    """One of the words above the list: which jobs it shows and how many there are."""

    value: str
    words: str
    count: int


@dataclass(frozen=True, slots=True)
class PanelRow:
    """A panel beside its job: its piece is solid once work on it has begun."""

    panel: Panel
    hours: Decimal
    begun: bool


@dataclass(frozen=True, slots=True)
class JobRow:
    """A job in the list."""

    job: Job
    panels: tuple[PanelRow, ...]

    @property
    def hours(self) -> Decimal:
        return sum((row.hours for row in self.panels), NOTHING)


def choices() -> list[Choice]:
    """The states with their counts, in one query; first the jobs in hand, last all of them."""
    counts = dict(Job.objects.order_by().values_list("state").annotate(Count("pk")))
    each = [Choice(state.value, state.label, counts.get(state.value, 0)) for state in Job.State]
    in_hand = sum(counts.get(state, 0) for state in IN_HAND)
    return [Choice(HAND, "In hand", in_hand), *each, Choice(ALL, "All", sum(counts.values()))]


def known_state(value: str) -> str:
    """The choice that an address names, or the jobs in hand."""
    return value if value in {ALL, *Job.State.values} else HAND


def jobs_listed(state: str, text: str = "") -> QuerySet[Job]:
    """Jobs of a state that match a text. Those in hand stand by deadline, what has no date last."""
    text = tidy(text)
    jobs = jobs_matching(text) if text else Job.objects.all()
    if state in Job.State.values:
        jobs = jobs.filter(state=state)
    elif state != ALL:
        jobs = jobs.filter(state__in=IN_HAND)
    if state in {HAND, *IN_HAND}:
        jobs = jobs.order_by(Coalesce("promised_on", "due_on").asc(nulls_last=True), "-year", "-count")
    return jobs.select_related("customer")


def job_rows(jobs: Sequence[Job]) -> list[JobRow]:
    """A row for each job of one page, in four queries whatever the jobs hold."""
    by_job: dict[int, list[PanelRow]] = {}
    for row in panel_rows(Panel.objects.filter(job__in=[job.pk for job in jobs])):
        by_job.setdefault(row.panel.job_id, []).append(row)
    jobs_by_pk = {job.pk: job for job in jobs}
    for pk, rows in by_job.items():
        for row in rows:
            row.panel.job = jobs_by_pk[pk]
    return [JobRow(job, tuple(by_job.get(job.pk, ()))) for job in jobs]


def panel_rows(panels: QuerySet[Panel]) -> list[PanelRow]:
    """Panels with their hours so far, the sums made in the database."""
    rows = list(panels.select_related("metal").order_by("job", "position"))
    pks = [panel.pk for panel in rows]
    panel_of = dict(Stage.objects.filter(panel__in=pks).values_list("pk", "panel"))
    spent = sums(hours_by_stage(pks).items(), panel_of)
    begun = set(Stage.objects.filter(panel__in=pks).exclude(started_at=None).values_list("panel", flat=True))
    return [PanelRow(panel, spent.get(panel.pk, NOTHING), panel.pk in begun) for panel in rows]


def sums(hours: Iterable[tuple[int, Decimal]], panel_of: dict[int, int]) -> dict[int, Decimal]:
    """Hours of stages added up by panel."""
    total: dict[int, Decimal] = {}
    for stage, spent in hours:
        total[panel_of[stage]] = total.get(panel_of[stage], NOTHING) + spent
    return total
