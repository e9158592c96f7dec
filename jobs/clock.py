"""The clock at the bench: start, stop, switch, undo the stop.

A person has one running clock, which the database holds to.
"""

import uuid
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import IntegrityError, transaction
from django.utils import timezone

from jobs.forgotten import FORGOTTEN_AFTER, ForgottenClock, is_forgotten
from jobs.models import Stage, TimeEntry
from jobs.time_entries import (
    SHUT,
    ClockRefused,
    hours_between,
    mark_started,
    named,
    one_press_at_a_time,
    refuse_where_shut,
    running_entry,
    said,
    with_names,
)
from shop.audit import record
from shop.models import Person

# How far a phone's clock may be off: a stop within this of another is the same press, sent again.
SAME_PRESS = timedelta(minutes=2)


@dataclass(frozen=True, slots=True)
class Started:
    """A clock that runs now, and the one that was stopped for it."""

    entry: TimeEntry
    stopped: TimeEntry | None = None


def running_clock(request):
    """Context of every page: the signed-in person's running clock, or nothing."""
    if not getattr(request, "user", None) or not request.user.is_authenticated:
        return {"running_clock": None}
    return {"running_clock": running_entry(request.user)}


@transaction.atomic
def clock_in(
    stage: Stage,
    person: Person,
    at: datetime | None = None,
    *,
    instead_of: int | None = None,
    submission: uuid.UUID | None = None,
) -> Started:
    """Start the person's clock on a stage at a moment, now unless said.

    ``instead_of`` is the running entry that the person was shown and means to stop: a switch in one press. Any
    other running clock is left running and refused in words, so that two phones do not stop one another unseen.
    The same ``submission`` twice starts one clock.
    """
    at = at or timezone.now()
    one_press_at_a_time(person)
    if submission and (earlier := with_names(TimeEntry.objects.filter(submission=submission)).first()):
        return Started(earlier)
    refuse_where_shut(stage)
    running = running_entry(person)
    if running:
        _refuse_to_start_beside(running, stage, instead_of)
        _stop(running, at, person)
    _refuse_twice_counted(person, at)
    entry = TimeEntry(stage=stage, person=person, started_at=at, submission=submission)
    try:
        with transaction.atomic():
            entry.save(force_insert=True)
    except IntegrityError as error:
        raise ClockRefused("Your clock was started on another phone at the same moment.") from error
    mark_started(stage, at)
    return Started(entry, running)


@transaction.atomic
def clock_out(person: Person, at: datetime | None = None, *, stage: Stage | None = None) -> TimeEntry:
    """Stop the person's running clock; with ``stage``, only if it runs there.

    A late press that has stopped it already (its first answer was lost on the way) changes nothing. Raises
    :class:`ForgottenClock` past 14 hours: hours are never cut in silence.
    """
    one_press_at_a_time(person)
    running = running_entry(person)
    if at and (running is None or running.started_at > at) and (stopped := _stopped_about(person, stage, at)):
        return stopped
    if running is None:
        raise ClockRefused("No clock of yours is running.")
    if stage is not None and running.stage_id != stage.pk:
        raise ClockRefused(f"Your clock runs on {named(running.stage)}, not here. Stop it there.")
    return _stop(running, at or timezone.now(), person)


@transaction.atomic
def undo_clock_out(entry: TimeEntry, person: Person) -> TimeEntry:
    """Let a stopped clock run on as if it had not been stopped.

    Refused where another clock runs, where a later one was started, where the entry was corrected since, and where
    it would have run for more than 14 hours.
    """
    one_press_at_a_time(person)
    entry = with_names(TimeEntry.objects.select_for_update(of=("self",))).get(pk=entry.pk)
    if entry.is_running:
        return entry
    reason = _why_not_undo(entry, person)
    if reason:
        raise ClockRefused(reason)
    was = entry.hours
    entry.ended_at = entry.hours = None
    entry.save(update_fields=["ended_at", "hours"])
    record(
        person, "undid the stop of", entry, changes={"hours": [str(was), None]},
        job_number=entry.stage.panel.job.number,
    )  # fmt: skip
    return entry


def undoable(entry: TimeEntry | None, person: Person) -> bool:
    """Whether a page should offer to undo this stop."""
    return bool(entry and not entry.is_running and not _why_not_undo(entry, person))


def _refuse_to_start_beside(running: TimeEntry, stage: Stage, instead_of: int | None) -> None:
    if is_forgotten(running):
        raise ForgottenClock(running)
    if running.stage_id == stage.pk:
        raise ClockRefused(f"Your clock on this stage runs already, since {said(running.started_at)}.")
    if running.pk != instead_of:
        raise ClockRefused(
            f"Your clock runs on {named(running.stage)} since {said(running.started_at)}. "
            "Press again to stop it there and start here."
        )


def _refuse_twice_counted(person: Person, at: datetime) -> None:
    """A press that arrives late must not count time that another clock of the person has counted."""
    over = with_names(
        TimeEntry.objects.filter(person=person, source=TimeEntry.Source.CLOCK, ended_at__gt=at, hours__gt=0)
    ).first()
    if over:
        raise ClockRefused(
            f"Your clock on {named(over.stage)} ran until {said(over.ended_at)}: a start at {said(at)} "
            "would count that time twice. Enter the hours by hand."
        )


def _stopped_about(person: Person, stage: Stage | None, at: datetime) -> TimeEntry | None:
    """The clock that was stopped at a moment, give or take what a phone's clock may be off."""
    stops = TimeEntry.objects.filter(
        person=person, source=TimeEntry.Source.CLOCK, ended_at__range=(at - SAME_PRESS, at + SAME_PRESS)
    )
    return with_names(stops if stage is None else stops.filter(stage=stage)).first()


def _stop(entry: TimeEntry, at: datetime, person: Person) -> TimeEntry:
    if at < entry.started_at:
        raise ClockRefused(
            f"The clock was started at {said(entry.started_at)}, after this press at {said(at)}. "
            "Stop it again, or correct its hours."
        )
    if at - entry.started_at > FORGOTTEN_AFTER:
        raise ForgottenClock(entry)
    entry.ended_at, entry.hours = at, hours_between(entry.started_at, at)
    entry.save(update_fields=["ended_at", "hours"])
    return entry


def _why_not_undo(entry: TimeEntry, person: Person) -> str:
    mine = TimeEntry.objects.filter(person=person)
    if entry.person_id != person.pk:
        return f"Only {entry.person} can undo this stop."
    if entry.source != TimeEntry.Source.CLOCK:
        return "These hours were entered by hand. Correct them instead."
    if timezone.now() - entry.started_at > FORGOTTEN_AFTER:
        return "That clock was started more than 14 hours ago. Correct its hours instead."
    if entry.corrections.exists():
        return "These hours have been corrected since. Correct them again instead."
    if entry.stage.done_at or entry.stage.panel.job.state in SHUT:
        return "This stage takes no more hours. Correct the entry instead."
    later = with_names(mine.filter(started_at__gte=entry.ended_at, source=TimeEntry.Source.CLOCK)).exclude(
        pk=entry.pk
    )
    if other := later.first():
        return f"You have started a clock on {named(other.stage)} since, at {said(other.started_at)}."
    return ""
