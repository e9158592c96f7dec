"""The example shop, loaded as a person would load it: once, and once more."""

import io
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from django.contrib.auth import authenticate
from django.core.management import call_command
from django.db import transaction
from django.utils import timezone

from estimates.hours.calibration import calibration
from estimates.learning import first_rates, past_panels, stage_kinds
from estimates.models import Answer, PastPanel, Payment, Question, Quote
from jobs.models import Customer, Job, Panel, Photo, Stage, TimeEntry
from jobs.sheets_needed import sheet_plan
from shop.models import AuditEntry, DayOff, Metal, Person, SheetStock, Shop

pytestmark = pytest.mark.slow
EVERYTHING = [
    AuditEntry, Answer, Customer, DayOff, Job, Metal, Panel, PastPanel, Payment, Person, Photo, Question, Quote,
    SheetStock, Shop, Stage, TimeEntry,
]  # fmt: skip


@pytest.fixture(scope="module")
def told(django_db_setup, django_db_blocker):
    """The demo in a book that was empty, and what the command said; rolled back once this file is done."""
    with django_db_blocker.unblock(), transaction.atomic():
        said = io.StringIO()
        call_command("load_demo", picture_width=86, stdout=said)
        yield said.getvalue()
        transaction.set_rollback(True)


@pytest.fixture
def book(told, db):
    return told


@pytest.fixture
def as_osk(book, client):
    client.force_login(Person.objects.get(username="osk"))
    return client


def test_it_says_where_to_go_and_how_to_sign_in(book):
    assert "http://127.0.0.1:8000" in book
    assert "for trying only" in book
    for name, role in (("osk", "owner"), ("maro", "shaper")):
        assert authenticate(username=name, password="planish-the-dome").role == role
        assert f"{name} " in book


def test_there_are_six_live_jobs_at_all_points_and_forty_past_panels(book):
    live = Job.objects.filter(state=Job.State.IN_WORK)
    assert live.count() == 6
    assert PastPanel.objects.count() == 40
    assert PastPanel.objects.filter(origin=PastPanel.Origin.CLOSED).count() == 13
    assert (
        PastPanel.objects.exclude(left_out_reason="").get().left_out_reason.startswith("Dropped on the floor")
    )
    reached = set(
        Stage.objects.filter(panel__job__in=live, started_at__isnull=False, done_at=None)
        .values_list("kind__slug", flat=True)
    )  # fmt: skip
    assert reached == {"layout", "gathering", "blending", "smoothing"}
    untouched = live.exclude(panels__stages__started_at__isnull=False).get()
    assert untouched.title == "Cowl for the cider press"
    assert "Copper" in str(sheet_plan().to_order[0].metal)


def test_quotes_wait_ten_six_and_two_days(book):
    with timezone.override(ZoneInfo("Europe/Dublin")):
        waiting = Quote.objects.filter(state=Quote.State.SENT).order_by("sent_at")
        assert [quote.days_waiting for quote in waiting] == [10, 6, 2]
    assert Answer.objects.filter(kind=Answer.Kind.DECLINED).count() == 1
    assert Question.objects.filter(replied_at=None).count() == 1


def test_what_happened_is_in_the_past_and_in_order(book):
    now = timezone.now()
    assert not TimeEntry.objects.filter(started_at__gt=now).exists()
    assert not Photo.objects.filter(taken_at__gt=now).exists()
    assert not AuditEntry.objects.filter(at__gt=now).exists()
    for job in Job.objects.filter(accepted_at__isnull=False):
        hours = TimeEntry.objects.filter(stage__panel__job=job)
        assert job.created_at < job.quotes.earliest("sent_at").sent_at < job.accepted_at
        assert not hours.filter(started_at__lt=job.accepted_at).exists()
    assert TimeEntry.objects.get(ended_at=None).person.username == "maro"


def test_nobody_is_in_two_places_at_once(book):
    for person in Person.objects.all():
        by_the_clock = TimeEntry.objects.filter(
            person=person, source=TimeEntry.Source.CLOCK, ended_at__isnull=False
        )
        times = list(by_the_clock.order_by("started_at").values_list("started_at", "ended_at"))
        assert all(ended <= begins for (_, ended), (begins, _) in pairwise(times))


def test_the_past_panels_have_something_to_say_about_the_estimates(book):
    kinds = stage_kinds()
    result = calibration(past_panels(), first_rates(Shop.standing(), kinds))
    assert len(result.trials) > 100
    closed = PastPanel.objects.filter(origin=PastPanel.Origin.CLOSED)
    assert all(set(past.estimated) == {kind.slug for kind in kinds} for past in closed if past.moved_dm2)


def test_loading_twice_does_no_harm(book):
    before = {model: model.objects.count() for model in EVERYTHING}
    assert all(before.values())
    said = io.StringIO()
    call_command("load_demo", stdout=said)
    assert "nothing was loaded" in said.getvalue()
    assert {model: model.objects.count() for model in EVERYTHING} == before


def test_a_book_with_anybody_in_it_is_left_alone(book):
    """No shop, but people, and the owner has a password of his own by now."""
    Shop.objects.all().delete()
    osk = Person.objects.get(username="osk")
    osk.set_password("something of my own")
    osk.save()
    said = io.StringIO()
    call_command("load_demo", stdout=said)
    assert not Shop.objects.exists()
    assert "planish" not in said.getvalue()
