"""Hours entered by hand, corrected and struck out, and the book of them week by week."""

import uuid
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from django.core.paginator import Page, Paginator
from django.db import transaction
from django.db.models import Max, Min, QuerySet, Sum
from django.utils import timezone

from jobs.models import Stage, TimeCorrection, TimeEntry
from jobs.time_entries import (
    MOST_HOURS,
    mark_started,
    named,
    one_press_at_a_time,
    refuse_where_shut,
    with_names,
)
from shop.audit import changed, record, snapshot
from shop.models import Person

OLDEST = timedelta(days=366)
NOTHING = Decimal("0.000")
WEEKS_A_PAGE = 4
AUDITED = ["stage", "started_at", "hours"]


class HoursRefused(Exception):
    """These hours cannot be kept; ``field`` is where it is wrong and the text says what fits."""

    def __init__(self, words: str, field: str | None = None):
        self.field = field
        super().__init__(words)


@dataclass(frozen=True, slots=True)
class Week:
    """A week's entries, last first, with their sum and each person's."""

    monday: date
    entries: tuple[TimeEntry, ...]
    hours: Decimal
    by_person: tuple[tuple[Person, Decimal], ...]


def noon_of(day: date) -> datetime:
    """Noon of a day in the shop: where hours entered by hand stand, clear of every change of the clocks."""
    return timezone.make_aware(datetime.combine(day, time(12)))


@transaction.atomic
def add_hours(
    stage: Stage,
    person: Person,
    day: date,
    hours: Decimal,
    note: str = "",
    *,
    submission: uuid.UUID | None = None,
) -> TimeEntry:
    """Add a person's own hours on a stage for a day. The same ``submission`` twice adds them once."""
    one_press_at_a_time(person)
    if submission and (earlier := TimeEntry.objects.filter(submission=submission).first()):
        return earlier
    refuse_where_shut(stage)
    _refuse_day(day)
    _refuse_more_than_a_day(person, day, hours)
    noon = noon_of(day)
    entry = TimeEntry.objects.create(
        stage=stage, person=person, started_at=noon, ended_at=noon + timedelta(hours=float(hours)),
        hours=hours, source=TimeEntry.Source.HAND, note=note, submission=submission,
    )  # fmt: skip
    mark_started(stage, noon)
    record(person, "added hours", entry, job_number=stage.panel.job.number)
    return entry


@transaction.atomic
def correct_entry(
    entry: TimeEntry,
    person: Person,
    reason: str,
    *,
    hours: Decimal,
    stage: Stage | None = None,
    day: date | None = None,
    corrections_seen: int | None = None,
) -> TimeEntry:
    """Correct an entry's hours, stage or day, keeping what it said before.

    By the person themselves or the owner. ``corrections_seen`` is how often it had been corrected when the page was
    opened: another number means that somebody else corrected it meanwhile, and their value is said.
    """
    one_press_at_a_time(entry.person)
    entry = with_names(TimeEntry.objects.select_for_update(of=("self",))).get(pk=entry.pk)
    _refuse_correction(entry, person, reason, corrections_seen)
    before = snapshot(entry, AUDITED)
    TimeCorrection.objects.create(
        entry=entry, person=person, old_stage=entry.stage, old_started_at=entry.started_at,
        old_hours=entry.hours, reason=reason.strip(),
    )  # fmt: skip
    _rewrite(entry, stage or entry.stage, day or _local(entry.started_at), hours)
    record(
        person, "corrected hours", entry, changes=changed(before, snapshot(entry, AUDITED)),
        job_number=entry.stage.panel.job.number,
    )  # fmt: skip
    return entry


def _rewrite(entry: TimeEntry, stage: Stage, day: date, hours: Decimal) -> None:
    """Give an entry its corrected values. Moved to another day it stands at that day's noon, as if entered by hand."""
    moved = day != _local(entry.started_at)
    if moved:
        _refuse_day(day)
    _refuse_more_than_a_day(entry.person, day, hours, but=entry)
    entry.stage, entry.hours = stage, hours
    if moved:
        entry.started_at = noon_of(day)
        entry.ended_at = entry.started_at + timedelta(hours=float(hours))
    entry.save(update_fields=["stage", "hours", "started_at", "ended_at"])
    mark_started(stage, entry.started_at)


def strike_out(
    entry: TimeEntry, person: Person, reason: str, *, corrections_seen: int | None = None
) -> TimeEntry:
    """Strike an entry out: it stays in the book with 0 hours and the reason."""
    return correct_entry(entry, person, reason, hours=NOTHING, corrections_seen=corrections_seen)


def may_correct(entry: TimeEntry, person: Person) -> bool:
    return entry.person_id == person.pk or person.is_owner


def weeks_of(people, page_number=1) -> tuple[Page, list[Week]]:
    """The book of hours of some people, as a page of weeks, last first; a week without hours stands among them.

    ``people`` is a query of persons. Three queries, whatever the book holds.
    """
    entries = TimeEntry.objects.filter(person__in=people)
    page = Paginator(_mondays(entries), WEEKS_A_PAGE).get_page(page_number)
    by_monday: dict[date, list[TimeEntry]] = {monday: [] for monday in page.object_list}
    if not by_monday:
        return page, []
    begin, end = min(by_monday), max(by_monday) + timedelta(days=7)
    held = entries.filter(started_at__gte=_midnight(begin), started_at__lt=_midnight(end))
    for entry in with_names(held).prefetch_related("corrections__person"):
        by_monday[_monday_of(entry.started_at)].append(entry)
    return page, [_week(monday, rows) for monday, rows in by_monday.items()]


def _mondays(entries: QuerySet[TimeEntry]) -> list[date]:
    """The Monday of every week from the last entry back to the first."""
    ends = entries.aggregate(first=Min("started_at"), last=Max("started_at"))
    if ends["first"] is None:
        return []
    first, last = _monday_of(ends["first"]), _monday_of(ends["last"])
    return [last - timedelta(days=days) for days in range(0, (last - first).days + 1, 7)]


def _local(moment: datetime) -> date:
    return timezone.localtime(moment).date()


def _monday_of(moment: datetime) -> date:
    day = _local(moment)
    return day - timedelta(days=day.weekday())


def _midnight(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, time()))


def hours_on(person: Person, day: date, but: TimeEntry | None = None) -> Decimal:
    """What a person has in the book for a day."""
    tomorrow = _midnight(day + timedelta(days=1))
    held = TimeEntry.objects.filter(person=person, started_at__gte=_midnight(day), started_at__lt=tomorrow)
    if but is not None:
        held = held.exclude(pk=but.pk)
    return held.aggregate(sum=Sum("hours"))["sum"] or NOTHING


def _week(monday: date, entries: list[TimeEntry]) -> Week:
    sums: dict[Person, Decimal] = {}
    for entry in entries:
        sums[entry.person] = sums.get(entry.person, NOTHING) + (entry.hours or NOTHING)
    return Week(monday, tuple(entries), sum(sums.values(), NOTHING), tuple(sums.items()))


def _refuse_day(day: date) -> None:
    today = timezone.localdate()
    if day > today:
        raise HoursRefused("That day is still to come. Write today or a day before.", "day")
    if day < today - OLDEST:
        raise HoursRefused("That day is more than a year ago. Look at the year.", "day")


def _refuse_more_than_a_day(person: Person, day: date, hours: Decimal, but: TimeEntry | None = None) -> None:
    already = hours_on(person, day, but)
    if already + hours > MOST_HOURS:
        raise HoursRefused(
            f"With the {already.normalize():f} h in the book that day it makes {(already + hours).normalize():f} h; "
            f"a day has {MOST_HOURS}.",
            "hours",
        )


def _refuse_correction(entry: TimeEntry, person: Person, reason: str, seen: int | None) -> None:
    if not may_correct(entry, person):
        raise HoursRefused(f"Only {entry.person} or the owner can correct these hours.")
    if entry.is_running:
        raise HoursRefused("This clock is still running. Stop it first.")
    if not reason.strip():
        raise HoursRefused("Say why, in a few words.", "reason")
    count = entry.corrections.count()
    if seen is not None and seen != count:
        last = entry.corrections.select_related("person").first()
        raise HoursRefused(
            f"{last.person} corrected this entry meanwhile, to {entry.hours} h on {named(entry.stage)}: "
            f"“{last.reason}”. Look again, and correct it if it is still wrong."
        )
