"""What a clock and hours entered by hand share: entries and their names, and who may have hours added to them.

Hours come from two moments in UTC, to a thousandth, so that the night on which the clocks change counts as long as
it was.
"""

from datetime import UTC, datetime
from decimal import ROUND_HALF_UP, Decimal

from django.utils import timezone

from jobs.models import Job, Stage, TimeEntry
from shop.models import Person

MOST_HOURS = Decimal("24")
THOUSANDTH = Decimal("0.001")
SHUT = {Job.State.CLOSED: "is closed", Job.State.DECLINED: "was declined"}


class ClockRefused(Exception):
    """The clock cannot do that now; the text says why and what can be done."""


def running_entry(person: Person) -> TimeEntry | None:
    """The person's running clock."""
    return with_names(TimeEntry.objects.filter(person=person, ended_at=None)).first()


def with_names(entries):
    """Entries with all that is needed to say what they are of."""
    return entries.select_related("person", "stage__kind", "stage__panel__job")


def hours_between(started_at: datetime, ended_at: datetime) -> Decimal:
    """Hours from one moment to another, to a thousandth of an hour (3.6 s).

    Both are brought to UTC first: two times of one zone would be subtracted as the clock on the wall shows them,
    an hour wrong on the night when it changes.
    """
    seconds = Decimal(str((ended_at.astimezone(UTC) - started_at.astimezone(UTC)).total_seconds()))
    return (seconds / 3600).quantize(THOUSANDTH, ROUND_HALF_UP)


def named(stage: Stage) -> str:
    """What a person calls a stage: 2026-014.1 L, gathering."""
    return f"{stage.panel.mark}, {stage.kind.name.lower()}"


def said(moment: datetime) -> str:
    """A moment as it is said in the shop: 10:04, and with the day where that is not today."""
    local = timezone.localtime(moment)
    return (
        f"{local:%H:%M}"
        if local.date() == timezone.localdate()
        else f"{local:%a} {local.day} {local:%b %H:%M}"
    )


def refuse_where_shut(stage: Stage) -> None:
    """Hours belong to stages that are open, of jobs that are not over."""
    job = stage.panel.job
    if job.state in SHUT:
        raise ClockRefused(f"Job {job.number} {SHUT[job.state]}: no hours can be added to it.")
    if stage.done_at:
        raise ClockRefused("This stage is done. Reopen it first, then add hours to it.")


def one_press_at_a_time(person: Person) -> None:
    """Hold the person's row: a second phone of theirs waits until the first press is written."""
    Person.objects.select_for_update().filter(pk=person.pk).first()


def mark_started(stage: Stage, at: datetime) -> None:
    """The first hour on a stage says when it was started."""
    if Stage.objects.filter(pk=stage.pk, started_at=None).update(started_at=at):
        stage.started_at = at
