"""Hours of this week by person, day by day, against the hours they mean to stand at the bench: one query."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from django.db.models import FilteredRelation, Q, Sum
from django.db.models.functions import TruncDate
from django.utils import timezone

from estimates.work.standing import NOTHING
from jobs.drawings.scene import Scene
from jobs.drawings.strip_scales import hours_bar
from jobs.models import TimeEntry
from jobs.time_entries import hours_between
from shop.models import Person


@dataclass(frozen=True, slots=True)
class PersonWeek:
    """One person: hours of each day since Monday, and the bench hours of a full week."""

    person: Person
    by_day: tuple[Decimal, ...]
    full: Decimal

    @property
    def used(self) -> Decimal:
        return sum(self.by_day, NOTHING)

    @property
    def bar(self) -> Scene:
        full = float(self.full or self.used) or 1.0
        return hours_bar([float(hours) for hours in self.by_day], full)


def monday_of(today: date) -> date:
    return today - timedelta(days=today.weekday())


def people_and_week(today: date, running: tuple[TimeEntry, ...]) -> tuple[list[Person], list[PersonWeek]]:
    """Everybody who works here, and their week; running clocks count up to now."""
    start = datetime.combine(monday_of(today), time(), timezone.get_current_timezone())
    this_week = FilteredRelation("time_entries", condition=Q(time_entries__started_at__gte=start))
    rows = (
        Person.objects.filter(is_active=True)
        .annotate(week=this_week)
        .annotate(on=TruncDate("week__started_at"), worked=Sum("week__hours"))
        .order_by("first_name", "username", "pk", "on")
        .defer("password", "email", "last_login", "date_joined")
    )
    people: dict[int, Person] = {}
    days: dict[int, dict[date, Decimal]] = {}
    for row in rows:
        people.setdefault(row.pk, row)
        if row.on:
            days.setdefault(row.pk, {})[row.on] = row.worked or NOTHING
    for entry in running:
        of_day = days.setdefault(entry.person_id, {})
        day = max(timezone.localtime(entry.started_at).date(), monday_of(today))
        since = max(entry.started_at, start)
        of_day[day] = of_day.get(day, NOTHING) + hours_between(since, timezone.now())
    return list(people.values()), [_week(person, days.get(person.pk, {})) for person in people.values()]


def _week(person: Person, days: dict[date, Decimal]) -> PersonWeek:
    full = person.bench_hours_per_day * len(person.works_on)
    return PersonWeek(person, tuple(hours for _, hours in sorted(days.items())), full)
