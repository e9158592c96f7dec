"""The list of jobs: the right ones, in order, with their hours, and quick whatever the book holds."""

import datetime as dt
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.listing import job_rows, jobs_listed
from jobs.models import Customer, Job, Panel, Stage, TimeEntry
from jobs.numbers import save_with_number
from shop.models import StageKind

LIST = reverse("job-list")


def make_job(customer, owner, title="Pump hood", **other) -> Job:
    return save_with_number(Job(customer=customer, title=title, created_by=owner, **other))


def make_panels(job, panel, count, first=1) -> list[Panel]:
    """Copies of a panel whose figures are already known."""
    fields = {
        field.attname: getattr(panel, field.attname)
        for field in Panel._meta.fields
        if field.attname not in {"id", "job_id", "position", "code", "mirrors_id", "created_at", "changed_at"}
    }
    return [
        Panel.objects.create(job=job, position=position, **fields) for position in range(first, first + count)
    ]


def book_hours(panel, person, hours="2.5", kind=None) -> TimeEntry:
    kind = kind or StageKind.objects.first()
    stage, _ = Stage.objects.get_or_create(panel=panel, kind=kind, defaults={"started_at": timezone.now()})
    now = timezone.now()
    return TimeEntry.objects.create(
        stage=stage, person=person, started_at=now, ended_at=now, hours=Decimal(hours), source="hand"
    )


def test_jobs_in_hand_stand_by_their_deadline(customer, owner):
    today = timezone.localdate()
    undated = make_job(customer, owner)
    late = make_job(customer, owner, due_on=today + dt.timedelta(30))
    promised = make_job(customer, owner, due_on=today + dt.timedelta(60), promised_on=today + dt.timedelta(5))
    soon = make_job(customer, owner, due_on=today + dt.timedelta(10))
    make_job(customer, owner, state=Job.State.DECLINED)
    assert list(jobs_listed("in-hand")) == [promised, soon, late, undated]


@pytest.mark.parametrize("state", ["enquiry", "quoted", "in-work", "closed", "declined"])
def test_a_state_shows_its_jobs_only(owner_client, customer, owner, state):
    for each in Job.State:
        closed_at = timezone.now() if each == Job.State.CLOSED else None
        make_job(customer, owner, f"Job that is {each}", state=each, closed_at=closed_at)
    page = owner_client.get(LIST, {"state": state}).content.decode()
    assert f"Job that is {state}" in page
    assert page.count("Job that is ") == 1


@pytest.mark.parametrize("text", ["weathervane", "WEATHER", "ball vane", "pell ball", "001"])
def test_a_text_finds_title_number_and_customer(owner_client, customer, owner, text):
    make_job(customer, owner, "Ball for a weathervane")
    make_job(customer, owner, "Pump hood")
    page = owner_client.get(LIST, {"q": text}).content.decode()
    assert "Ball for a weathervane" in page
    assert "Pump hood" not in page


@pytest.mark.parametrize("text", ["%", "_", "100%", "\\", "'", '"', "a" * 5000, "\0", "﷽" * 50])
def test_wildcards_and_floods_find_nothing_and_break_nothing(owner_client, customer, owner, text):
    make_job(customer, owner, "Pump hood")
    response = owner_client.get(LIST, {"q": text})
    assert response.status_code == 200
    if text != "\0":
        assert "Pump hood" not in response.content.decode()


def test_a_percent_sign_is_found_as_itself(owner_client, customer, owner):
    make_job(customer, owner, "Cowl, 50% bigger")
    make_job(customer, owner, "Cowl, 500 bigger")
    page = owner_client.get(LIST, {"q": "50%"}).content.decode()
    assert "50% bigger" in page
    assert "500 bigger" not in page


@pytest.mark.parametrize("page", ["0", "-1", "99999999999999999999", "nonsense", ""])
def test_a_page_that_is_not_there_shows_one_that_is(owner_client, job, page):
    assert "Bow fairing" in owner_client.get(LIST, {"page": page}).content.decode()


def test_hours_are_added_up_over_panels_and_stages(panel, owner, shaper):
    second = make_panels(make_job(panel.job.customer, owner), panel, 1)[0]
    kinds = list(StageKind.objects.all())
    book_hours(panel, shaper, "2.5", kinds[0])
    book_hours(panel, owner, "1.25", kinds[1])
    book_hours(second, owner, "8", kinds[0])
    rows = {row.job.pk: row for row in job_rows(list(Job.objects.all()))}
    assert rows[panel.job_id].hours == Decimal("3.75")
    assert rows[second.job_id].hours == Decimal("8")


def test_a_running_clock_counts(panel, shaper):
    stage = Stage.objects.create(panel=panel, kind=StageKind.objects.first())
    started_at = timezone.now() - dt.timedelta(hours=2)
    TimeEntry.objects.create(stage=stage, person=shaper, started_at=started_at)
    assert job_rows([panel.job])[0].hours == pytest.approx(Decimal(2), abs=Decimal("0.01"))


@pytest.mark.parametrize("count", [3, 30])
def test_the_list_asks_the_database_the_same_for_many(
    owner_client, customer, owner, panel, count, django_assert_max_num_queries
):
    for _ in range(count):
        for each in make_panels(make_job(customer, owner), panel, 3):
            book_hours(each, owner)
    with django_assert_max_num_queries(12):
        response = owner_client.get(LIST)
    assert response.content.decode().count('class="job-row') == min(count + 1, 25)


def test_htmx_gets_the_rows_only(owner_client, job):
    part = owner_client.get(LIST, headers={"HX-Request": "true"})
    assert "Bow fairing" in part.content.decode()
    assert "<html" not in part.content.decode()
    assert "HX-Request" in part["Vary"]


def test_an_empty_list_says_what_to_do(owner_client, shop):
    page = owner_client.get(LIST).content.decode()
    assert "Jobs will be here." in page
    assert reverse("job-new") in page


def test_a_text_that_finds_nothing_says_where_to_look(owner_client, job):
    page = owner_client.get(LIST, {"q": "zebra", "state": "enquiry"}).content.decode()
    assert "No job here has “zebra”" in page
    assert "?state=all&amp;q=zebra" in page


def test_the_searched_text_cannot_carry_a_script(owner_client, job):
    page = owner_client.get(LIST, {"q": '"><script>alert(1)</script>'}).content.decode()
    assert "<script>alert" not in page


def test_a_date_gone_by_is_said_in_words(owner_client, customer, owner):
    make_job(customer, owner, due_on=timezone.localdate() - dt.timedelta(3))
    assert "</span> past</span>" in owner_client.get(LIST).content.decode()


def test_a_stranger_sees_no_list(stranger_client):
    assert stranger_client.get(LIST).status_code == 302


def test_pages_keep_state_and_text(owner_client, owner):
    customer = Customer.objects.create(name="Many & more")
    for _ in range(26):
        make_job(customer, owner, "Pump hood")
    page = owner_client.get(LIST, {"q": "many &", "state": "all"}).content.decode()
    assert "?state=all&amp;q=many+%26&amp;page=2" in page
