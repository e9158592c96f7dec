"""A job's page: what it is, what it waits for, who did what; and changing it."""

import datetime as dt
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs import parts
from jobs.job_facts import job_facts
from jobs.models import Job, Stage
from jobs.parts import NextAction, PanelRange, Part
from jobs.photos import add_photo
from shop.models import AuditEntry, StageKind
from tests.jobs.photo_files import jpeg_upload
from tests.jobs.test_listing import book_hours, make_panels


@pytest.fixture(autouse=True)
def _photos_of_this_test_only(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def in_work(panel) -> Job:
    """A job in work, its panel with all stages."""
    Job.objects.filter(pk=panel.job_id).update(state=Job.State.IN_WORK, accepted_at=timezone.now())
    for kind in StageKind.objects.all():
        Stage.objects.create(panel=panel, kind=kind, budget_low_hours=3, budget_high_hours=Decimal("4.5"))
    return Job.objects.get(pk=panel.job_id)


def typed(**other) -> dict:
    return {
        "title": "Bow fairing",
        "description": "",
        "due_on": "",
        "promised_on": "",
        "customer": "",
        **other,
    }


def seen_on(client, job) -> str:
    return client.get(reverse("job-edit", args=[job.number])).context["form"]["seen"].value()


def test_the_page_shows_job_customer_panels_and_trail(shaper_client, panel):
    page = shaper_client.get(panel.job.get_absolute_url()).content.decode()
    for words in ("Bow fairing", "Tamsin Pell", "Fairing skin", "Aluminium 1100-O", "1.6 mm", "added panel"):
        assert words in page


def test_a_job_without_panels_waits_for_its_first(owner_client, job):
    facts = job_facts(job, job.created_by)
    assert facts.next_action.words == "Add the first panel: its metal, its shape and its hand."
    page = owner_client.get(job.get_absolute_url()).content.decode()
    assert reverse("panel-new", args=[job.number]) in page


def test_a_job_with_panels_waits_for_its_quote(panel, owner):
    assert job_facts(panel.job, owner).next_action.words == "Quote it."


def test_a_job_in_work_waits_for_its_first_open_stage(in_work, owner):
    first = Stage.objects.first()
    assert job_facts(in_work, owner).next_action == NextAction(
        f"Begin the layout of {first.panel}.", reverse("bench", args=[first.code]), "To the bench"
    )
    Stage.objects.filter(pk=first.pk).update(progress=1, done_at=timezone.now())
    assert "gathering" in job_facts(in_work, owner).next_action.words


def test_a_job_whose_stages_are_done_waits_to_be_closed(in_work, owner):
    Stage.objects.update(progress=1, done_at=timezone.now())
    assert job_facts(in_work, owner).next_action.url == reverse("job-close", args=[in_work.number])


@pytest.mark.parametrize("state", [Job.State.CLOSED, Job.State.DECLINED])
def test_a_job_that_is_over_waits_for_nothing(panel, owner, state):
    panel.job.state = state
    assert job_facts(panel.job, owner).next_action is None


def test_later_rooms_add_a_section_and_say_what_is_next(panel, owner, owner_client, monkeypatch):
    waits = NextAction("Ask the customer.", "/ask/", "Ask")

    def section(job, person):
        return Part("components/_empty.html", {}, waits)

    monkeypatch.setattr(parts, "_part_makers", [section])
    assert job_facts(panel.job, owner).next_action == waits
    assert "Ask the customer." in owner_client.get(panel.job.get_absolute_url()).content.decode()


def test_hours_stand_beside_the_range_of_the_whole_panel(in_work, panel, shaper, owner_client, monkeypatch):
    monkeypatch.setattr(
        parts, "_range_makers", [lambda panels: {each.pk: PanelRange(31.8, 38.2) for each in panels}]
    )
    book_hours(panel, shaper, "14.3")
    page = owner_client.get(in_work.get_absolute_url()).content.decode()
    assert "<b>14.3</b> of <b>32–38\xa0h</b>" in page


@pytest.mark.parametrize("count", [3, 30])
def test_the_page_asks_the_database_the_same_for_many(
    owner_client, in_work, panel, owner, shaper, count, django_assert_max_num_queries
):
    for each in make_panels(in_work, panel, count, first=2):
        book_hours(each, shaper)
        add_photo(in_work, jpeg_upload(), person=owner)
    with django_assert_max_num_queries(16):
        owner_client.get(in_work.get_absolute_url())


def test_a_job_that_is_not_there_is_not_found(owner_client, job):
    assert owner_client.get(reverse("job", args=["2026-999"])).status_code == 404


def test_a_shaper_changes_what_it_is_and_not_what_is_promised(shaper_client, job, customer):
    tomorrow = timezone.localdate() + dt.timedelta(1)
    post = typed(
        title="Bow cap", customer=customer.pk, promised_on=tomorrow.isoformat(), time_and_material="on",
        seen=seen_on(shaper_client, job),
    )  # fmt: skip
    assert shaper_client.post(reverse("job-edit", args=[job.number]), post).status_code == 302
    job.refresh_from_db()
    assert (job.title, job.promised_on, job.time_and_material) == ("Bow cap", None, False)
    assert AuditEntry.objects.get(what="changed job").changes == {"title": ["Bow fairing", "Bow cap"]}


def test_the_owner_promises_a_date(owner_client, job, customer):
    tomorrow = timezone.localdate() + dt.timedelta(1)
    post = typed(customer=customer.pk, promised_on=tomorrow.isoformat(), seen=seen_on(owner_client, job))
    owner_client.post(reverse("job-edit", args=[job.number]), post)
    job.refresh_from_db()
    assert job.promised_on == tomorrow


def test_a_date_that_passed_while_the_job_was_in_hand_may_stay(owner_client, job, customer):
    passed = timezone.localdate() - dt.timedelta(4)
    Job.objects.update(due_on=passed)
    post = typed(
        title="Bow cap", customer=customer.pk, due_on=passed.isoformat(), seen=seen_on(owner_client, job)
    )
    assert owner_client.post(reverse("job-edit", args=[job.number]), post).status_code == 302
    post |= {"due_on": (passed - dt.timedelta(1)).isoformat(), "seen": seen_on(owner_client, job)}
    response = owner_client.post(reverse("job-edit", args=[job.number]), post)
    assert "is past; today is" in response.content.decode()


def test_a_stale_form_is_refused_and_says_what_changed(owner_client, shaper_client, job, customer):
    address = reverse("job-edit", args=[job.number])
    seen = seen_on(owner_client, job)
    shaper_seen = seen_on(shaper_client, job)
    shaper_client.post(address, typed(title="Bow cap", customer=customer.pk, seen=shaper_seen))
    response = owner_client.post(address, typed(description="New words", customer=customer.pk, seen=seen))
    page = response.content.decode()
    assert response.status_code == 422
    assert "Somebody changed this while you had it open" in page
    assert "Bow cap" in page
    assert "New words" in page
    job.refresh_from_db()
    assert (job.title, job.description) == ("Bow cap", "")


def test_the_customer_stays_once_the_job_is_quoted(owner_client, job):
    Job.objects.update(state=Job.State.QUOTED)
    form = owner_client.get(reverse("job-edit", args=[job.number])).context["form"]
    assert "customer" not in form.fields


def test_a_promise_made_meanwhile_does_not_stop_a_shaper(shaper_client, job, customer):
    """A shaper's form has no promise in it, so it cannot write over one."""
    address = reverse("job-edit", args=[job.number])
    post = typed(title="Bow cap", customer=customer.pk, seen=seen_on(shaper_client, job))
    tomorrow = timezone.localdate() + dt.timedelta(1)
    Job.objects.update(promised_on=tomorrow)
    assert shaper_client.post(address, post).status_code == 302
    job.refresh_from_db()
    assert (job.title, job.promised_on) == ("Bow cap", tomorrow)


def test_a_shaper_is_not_sent_to_what_only_the_owner_does(in_work, panel, shaper):
    Stage.objects.update(progress=1, done_at=timezone.now())
    assert job_facts(in_work, shaper).next_action == NextAction(
        "Every stage is done. Check the last readings and tell the owner."
    )
    in_work.state = Job.State.ENQUIRY
    assert job_facts(in_work, shaper).next_action == NextAction("It waits for the owner to quote it.")


def test_the_range_of_a_whole_panel_is_less_than_its_stages_high_ends(in_work, owner):
    """Four stages of 3 to 4.5 h: half of panels take about 12 h, and four in five less than 18."""
    facts = job_facts(in_work, owner).panels[0]
    assert 12 <= facts.range.low < 13.5
    assert facts.range.low < facts.range.high < 18
    assert facts.strip is not None
