"""The shop's dates as an iCalendar feed (RFC 5545) on a private address that can be withdrawn."""

from datetime import date, datetime, timedelta

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone
from icalendar import Calendar, Event

from estimates.models import CalendarLink
from jobs.customers import IN_HAND
from jobs.models import Job
from shop.audit import record
from shop.models import Person, Shop

PRODUCT = "-//Gatherbook//Dates of a shop//EN"
CONTENT_TYPE = "text/calendar; charset=utf-8"
FETCH_AGAIN = timedelta(hours=4)


@transaction.atomic
def make_calendar_link(person: Person) -> CalendarLink:
    """The open address, or a new one where there is none: two presses make one."""
    _one_at_a_time()
    if standing := open_calendar_link():
        return standing
    link = CalendarLink.objects.create(made_by=person)
    record(person, "made the calendar's address", link)
    return link


@transaction.atomic
def withdraw_calendar_link(person: Person) -> None:
    """Stop the open address for good. Without one, nothing happens."""
    _one_at_a_time()
    if standing := open_calendar_link():
        standing.withdrawn_at = timezone.now()
        standing.save(update_fields=["withdrawn_at"])
        record(person, "withdrew the calendar's address", standing)


def open_calendar_link() -> CalendarLink | None:
    """The address that has not been withdrawn."""
    return CalendarLink.objects.filter(withdrawn_at=None).first()


def _one_at_a_time() -> None:
    """Hold the shop's row, so that two presses at one moment do not make two addresses."""
    Shop.objects.select_for_update().filter(pk=1).first()


def calendar_bytes(shop: Shop, host: str, address_of, now: datetime | None = None) -> bytes:
    """The dates of every job in hand: what is wanted and what is promised, all day. A closed one goes out of the feed.

    ``host`` makes the identifiers the shop's own; ``address_of`` gives a job's page. Lines end in CRLF and are folded
    at 75 octets; a day's end is the next day, as RFC 5545 (3.6.1) has it for whole days.
    """
    now = now or timezone.now()
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", f"{shop.name}: dates")
    calendar.add("refresh-interval", FETCH_AGAIN, parameters={"VALUE": "DURATION"})
    for job in _jobs():
        for event in _events(job, host, address_of(job), now):
            calendar.add_component(event)
    return calendar.to_ical()


def _jobs() -> QuerySet[Job]:
    dated = Q(due_on__isnull=False) | Q(promised_on__isnull=False)
    return Job.objects.filter(dated, state__in=IN_HAND).order_by("year", "count")


def _events(job: Job, host: str, address: str, now: datetime):
    """A promise stands above a wish for the same day."""
    if job.promised_on:
        yield _event(job, "promised", job.promised_on, host, address, now)
    if job.due_on and job.due_on != job.promised_on:
        yield _event(job, "wanted", job.due_on, host, address, now)


def _event(job: Job, kind: str, on: date, host: str, address: str, now: datetime) -> Event:
    event = Event()
    event.add("uid", f"{job.number}-{kind}@{host}")
    event.add("dtstamp", now)
    event.add("dtstart", on)
    event.add("dtend", on + timedelta(days=1))
    event.add("summary", f"{job.number} {job.title}, {kind}")
    event.add("url", address)
    event.add("status", "CONFIRMED" if kind == "promised" else "TENTATIVE")
    event.add("transp", "TRANSPARENT")
    return event
