"""A clock that nobody stopped: found by how long it has run, and given its true end by whoever knows it."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from jobs.hours_log import hours_on
from jobs.models import TimeEntry
from jobs.time_entries import MOST_HOURS, ClockRefused, hours_between, named, said, with_names
from shop.audit import record
from shop.figures import hours as hours_said
from shop.models import Person

# Nobody shapes metal for so long: the clock was forgotten, and only the person knows when the work stopped.
FORGOTTEN_AFTER = timedelta(hours=14)
# A guess that leaves less of the day than this would say no more than that the day was full.
LEAST_GUESSED_HOURS = Decimal("0.25")


class ForgottenClock(ClockRefused):
    """The running clock has run too long to be believed; ``entry`` waits for its true end."""

    def __init__(self, entry: TimeEntry):
        self.entry = entry
        super().__init__(
            f"The clock on {named(entry.stage)} has run since {said(entry.started_at)}, more than 14 hours. "
            "Say when the work really stopped."
        )


def is_forgotten(entry: TimeEntry, now: datetime | None = None) -> bool:
    """Whether a running clock has run for longer than anyone works."""
    return entry.is_running and (now or timezone.now()) - entry.started_at > FORGOTTEN_AFTER


def may_be_forgotten(entry: TimeEntry, now: datetime | None = None) -> bool:
    """Whether a running clock has run for longer than its person's own day at the bench, so that it may be doubted."""
    day = timedelta(hours=float(entry.person.bench_hours_per_day)) or FORGOTTEN_AFTER
    return entry.is_running and (now or timezone.now()) - entry.started_at > min(day, FORGOTTEN_AFTER)


def forgotten_clocks(now: datetime | None = None):
    """Running clocks that have run for longer than anyone works, each waiting for its true end."""
    longest = (now or timezone.now()) - FORGOTTEN_AFTER
    return with_names(TimeEntry.objects.filter(ended_at=None, started_at__lt=longest))


@transaction.atomic
def mend_forgotten(entry: TimeEntry, person: Person, ended_at: datetime, note: str = "") -> TimeEntry:
    """Give a forgotten clock the end that its person (or the owner) says it had; the trail keeps how long it ran."""
    entry = with_names(TimeEntry.objects.select_for_update(of=("self",))).get(pk=entry.pk)
    if entry.person_id != person.pk and not person.is_owner:
        raise ClockRefused(f"Only {entry.person} or the owner can mend this clock.")
    if not entry.is_running:
        raise ClockRefused(f"That clock has been stopped already, with {entry.hours} h.")
    if ended_at > timezone.now():
        raise ClockRefused("That is later than now. Write when the work stopped.")
    if ended_at <= entry.started_at:
        raise ClockRefused(f"The clock was started at {said(entry.started_at)}. Write a later time.")
    hours = hours_between(entry.started_at, ended_at)
    if hours > MOST_HOURS:
        raise ClockRefused(
            f"That makes {hours} h; an entry holds at most {MOST_HOURS} h. Write an earlier time."
        )
    ran = hours_between(entry.started_at, timezone.now())
    entry.ended_at, entry.hours, entry.note = ended_at, hours, note[:200]
    entry.save(update_fields=["ended_at", "hours", "note"])
    record(
        person, "mended a forgotten clock", entry, changes={"hours": [f"ran {ran}", str(hours)]},
        job_number=entry.stage.panel.job.number,
    )  # fmt: skip
    return entry


@dataclass(frozen=True, slots=True)
class GuessedEnd:
    """When a forgotten clock may have ended, to the minute, and what the guess rests on."""

    at: datetime
    because: str


def guessed_end(entry: TimeEntry) -> GuessedEnd | None:
    """The end of the person's working day, as far as the book can tell: their usual hours less what the day holds.

    Nothing where the book does not know their hours, or holds a whole day of them already.
    """
    day = timezone.localtime(entry.started_at).date()
    usual, before = entry.person.bench_hours_per_day, hours_on(entry.person, day, entry)
    left = usual - before
    end = (entry.started_at + timedelta(hours=float(left))).replace(second=0, microsecond=0)
    if left < LEAST_GUESSED_HOURS or end > timezone.now():
        return None
    return GuessedEnd(end, _because(entry, usual, before))


def _because(entry: TimeEntry, usual: Decimal, before: Decimal) -> str:
    held = f", of which {hours_said(before)} h of that day are in the book already" if before else ""
    return (
        f"{entry.person} usually stands at the bench for {hours_said(usual)} h a day{held}; "
        f"the clock was started at {said(entry.started_at)}."
    )
