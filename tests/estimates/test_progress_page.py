"""The customer's page of a job: what it shows, what it never shows, and how its link ends."""

from datetime import date, timedelta

import pytest
from django.db import IntegrityError
from django.urls import reverse
from django.utils import timezone

from estimates.progress.link import LinkRefused, make_link, renew_link, withdraw_link
from estimates.progress.mail import usual_progress_words
from estimates.progress.page import _side_by_side
from jobs.drawings.rule import Span
from jobs.models import Job, ProgressLink
from jobs.panels import add_mirrored_hand
from jobs.photos import add_photo
from shop.models import AuditEntry
from tests.estimates.work_cast import accepted, book, finish, more_jobs, stages_of
from tests.jobs.photo_files import jpeg_upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def in_work(job, panel, owner, shaper, shop):
    accepted(job, owner, shop)
    stages = stages_of(panel)
    book(stages["layout"], shaper, "3.25")
    finish(stages["layout"])
    gathering = stages["gathering"]
    gathering.started_at = timezone.now()
    gathering.save()
    return job


@pytest.fixture
def link(in_work, owner):
    return make_link(in_work, owner)


def photo_of(job, panel, owner, *, shown=True, slug="layout", **more):
    stage = stages_of(panel)[slug]
    return add_photo(job, jpeg_upload(), person=owner, panel=panel, stage=stage, for_customer=shown, **more)


def test_the_page_says_where_the_work_is_and_when_it_may_be_ready(link, stranger_client):
    page = stranger_client.get(link.get_absolute_url()).content.decode()
    assert "It is in <b>gathering</b>, the second of four stages." in page
    assert "We expect to finish" in page
    assert "Layout: " in page
    assert "Today is " in page


def test_the_newest_stage_comes_first(link, in_work, panel, owner, stranger_client):
    photo_of(in_work, panel, owner)
    photo_of(in_work, panel, owner, slug="gathering")
    page = stranger_client.get(link.get_absolute_url()).content.decode()
    assert page.index("<h2>Gathering</h2>") < page.index("<h2>Layout</h2>")


def test_no_hours_no_prices_no_staff_addresses_and_nothing_of_other_jobs(
    link, in_work, panel, owner, aluminium, shop, stranger_client
):
    photo_of(in_work, panel, owner)
    (other,) = more_jobs(1, owner, aluminium, shop)
    page = stranger_client.get(link.get_absolute_url()).content.decode()
    for hidden in (
        "3.25",
        "3.3",
        "€",
        " h<",
        other.number,
        other.title,
        "/photos/1/thumbnail",
        "/bench/",
        "Maro",
    ):
        assert hidden not in page


def test_the_page_says_how_to_reach_the_shop(link, shop, stranger_client):
    shop.phone, shop.email = "01 555 0134", "bench@drumlin.example"
    shop.save()
    page = stranger_client.get(link.get_absolute_url()).content.decode()
    assert 'href="tel:015550134"' in page
    assert 'href="mailto:bench@drumlin.example"' in page


def test_the_jobs_page_leads_to_the_e_mail_and_holds_the_address_to_copy(
    link, in_work, owner_client, shaper_client, settings
):
    settings.PUBLIC_ADDRESS = "https://book.example"
    page = owner_client.get(in_work.get_absolute_url()).content.decode()
    assert f'readonly value="https://book.example{link.get_absolute_url()}"' in page
    mail = reverse("progress-email", args=[in_work.number])
    assert f'href="{mail}">E-mail it to the customer' in page
    assert mail not in shaper_client.get(in_work.get_absolute_url()).content.decode()


def test_the_usual_words_of_the_e_mail_say_what_is_there_and_how_to_ask(in_work, shop):
    shop.phone = shop.email = ""
    assert "If you would like to know more" not in usual_progress_words(in_work, shop)
    shop.phone = "01 555 0134"
    words = usual_progress_words(in_work, shop)
    assert "the stage it is in, when we expect to finish it, and photos" in words
    assert "If you would like to know more, call 01 555 0134." in words


def test_only_photos_meant_for_the_customer_are_shown(link, in_work, panel, owner, stranger_client):
    shown = photo_of(in_work, panel, owner)
    hidden = photo_of(in_work, panel, owner, shown=False)
    page = stranger_client.get(link.get_absolute_url()).content.decode()
    assert reverse("progress-photo", args=[link.token, shown.pk]) in page
    assert reverse("progress-photo", args=[link.token, hidden.pk]) not in page


def test_a_photo_opens_through_the_link_and_is_not_kept_by_caches(
    link, in_work, panel, owner, stranger_client
):
    shown = photo_of(in_work, panel, owner)
    for small in ("", "?small"):
        answer = stranger_client.get(reverse("progress-photo", args=[link.token, shown.pk]) + small)
        assert answer.status_code == 200
        assert answer.headers["Content-Type"] == "image/jpeg"
        assert "no-store" in answer.headers["Cache-Control"]
        assert "immutable" not in answer.headers["Cache-Control"]
        assert answer.getvalue().startswith(b"\xff\xd8")


def test_photos_kept_back_or_of_another_job_do_not_exist_for_the_customer(
    link, in_work, panel, owner, aluminium, shop, stranger_client
):
    hidden = photo_of(in_work, panel, owner, shown=False)
    (other,) = more_jobs(1, owner, aluminium, shop)
    others = photo_of(other, other.panels.get(), owner)
    for photo in (hidden, others):
        assert stranger_client.get(reverse("progress-photo", args=[link.token, photo.pk])).status_code == 404
    assert stranger_client.get(reverse("photo-file", args=[hidden.pk])).status_code == 302


def test_a_token_that_was_never_given_leads_nowhere(link, stranger_client):
    assert stranger_client.get(reverse("progress", args=["guessed"])).status_code == 404
    assert stranger_client.get(reverse("progress-photo", args=["guessed", 1])).status_code == 404


def test_the_page_is_kept_out_of_indexes_and_caches(link, stranger_client):
    answer = stranger_client.get(link.get_absolute_url())
    assert "no-store" in answer.headers["Cache-Control"]
    assert answer.headers["X-Robots-Tag"] == "noindex, nofollow"
    assert '<meta name="robots" content="noindex' in answer.content.decode()


def test_a_withdrawn_link_says_so_and_nothing_of_the_job(link, in_work, panel, owner, stranger_client):
    shown = photo_of(in_work, panel, owner)
    withdraw_link(in_work, owner)
    answer = stranger_client.get(link.get_absolute_url())
    assert answer.status_code == 410
    page = answer.content.decode()
    assert "Its link was withdrawn" in page
    assert in_work.title not in page
    assert in_work.customer.name not in page
    assert "no-store" in answer.headers["Cache-Control"]
    assert stranger_client.get(reverse("progress-photo", args=[link.token, shown.pk])).status_code == 410


def test_a_link_that_has_run_out_says_so(link, stranger_client):
    ProgressLink.objects.update(expires_at=timezone.now() - timedelta(minutes=1))
    answer = stranger_client.get(link.get_absolute_url())
    assert answer.status_code == 410
    assert "Its link has run out." in answer.content.decode()


def test_a_job_not_begun_says_what_will_be_here(job, owner, stranger_client):
    link = make_link(job, owner)
    assert "Work has not begun." in stranger_client.get(link.get_absolute_url()).content.decode()


def test_a_finished_job_says_so_and_names_no_date_to_come(link, in_work, panel, stranger_client):
    finish(*stages_of(panel).values())
    page = stranger_client.get(link.get_absolute_url()).content.decode()
    assert "Every stage is done." in page
    assert "We expect" not in page


def test_several_panels_each_say_where_they_are(job, panel, owner, shop, stranger_client):
    add_mirrored_hand(panel, owner)
    accepted(job, owner, shop)
    finish(stages_of(panel)["layout"])
    page = stranger_client.get(make_link(job, owner).get_absolute_url()).content.decode()
    assert "Fairing skin, left</b> gathering comes next" in page
    assert "Fairing skin, right</b> layout comes next" in page


def test_stages_that_overlap_stand_side_by_side_on_the_rule():
    day = date(2026, 5, 11)

    def spans(*days):
        return [
            Span(name, name, day + timedelta(days=first), day + timedelta(days=last))
            for name, first, last in days
        ]  # fmt: skip

    assert _side_by_side(spans(("layout", 0, 4), ("gathering", 3, 6))) == spans(
        ("layout", 0, 2), ("gathering", 3, 6)
    )
    assert _side_by_side(spans(("layout", 0, 2), ("gathering", 0, 6))) == spans(
        ("layout", 0, 2), ("gathering", 3, 6)
    )
    assert _side_by_side(spans(("layout", 0, 2), ("gathering", 0, 1))) == spans(("layout", 0, 2))
    assert _side_by_side(spans(("layout", 0, 1), ("gathering", 5, 6))) == spans(
        ("layout", 0, 1), ("gathering", 5, 6)
    )


def test_the_stage_in_work_is_on_the_rule_while_the_other_hand_is_behind(
    job, panel, owner, shop, stranger_client
):
    add_mirrored_hand(panel, owner)
    accepted(job, owner, shop)
    stages = stages_of(panel)
    for slug, days in (("layout", 6), ("gathering", 2)):
        stages[slug].started_at = timezone.now() - timedelta(days=days)
        stages[slug].save()
    page = stranger_client.get(make_link(job, owner).get_absolute_url()).content.decode()
    assert "Layout: " in page
    assert "Gathering: " in page


# The link


def test_a_job_has_one_link_at_a_time(in_work, owner):
    first = make_link(in_work, owner)
    assert make_link(in_work, owner) == first
    second = renew_link(in_work, owner)
    assert second.token != first.token
    assert ProgressLink.objects.filter(withdrawn_at=None).count() == 1
    with pytest.raises(IntegrityError):
        ProgressLink.objects.create(job=in_work, expires_at=timezone.now())


def test_a_link_that_has_run_out_makes_room_for_a_new_one(in_work, owner):
    first = make_link(in_work, owner)
    ProgressLink.objects.update(expires_at=timezone.now() - timedelta(days=1))
    assert make_link(in_work, owner).token != first.token


def test_making_and_withdrawing_are_in_the_trail(in_work, owner):
    make_link(in_work, owner)
    withdraw_link(in_work, owner)
    withdraw_link(in_work, owner)
    said = AuditEntry.objects.filter(what__contains="progress page").values_list("what", flat=True)
    assert sorted(said) == ["made the progress page of", "withdrew the progress page of"]
    assert not AuditEntry.objects.filter(changes__icontains="token").exists()


def test_a_declined_job_gets_no_page(job, owner):
    job.state = Job.State.DECLINED
    job.save()
    with pytest.raises(LinkRefused, match="was declined"):
        make_link(job, owner)


def test_owner_and_shaper_make_links_and_a_stranger_does_not(
    in_work, owner_client, shaper_client, stranger_client
):
    address = reverse("progress-link", args=[in_work.number])
    assert stranger_client.post(address, {"what": "make"}).status_code == 302
    assert not ProgressLink.objects.exists()
    shaper_client.post(address, {"what": "make"})
    token = ProgressLink.objects.get(withdrawn_at=None).token
    page = owner_client.get(in_work.get_absolute_url()).content.decode()
    assert f"/for/job/{token}/" in page
    owner_client.post(address, {"what": "renew"})
    assert ProgressLink.objects.get(withdrawn_at=None).token != token
    owner_client.post(address, {"what": "withdraw"})
    assert not ProgressLink.objects.filter(withdrawn_at=None).exists()
    assert owner_client.post(address, {"what": "burn"}).status_code == 404
    assert owner_client.get(address).status_code == 405


@pytest.mark.parametrize("count", [3, 30])
def test_the_page_asks_the_same_for_many_photos(
    link, in_work, panel, owner, stranger_client, count, django_assert_max_num_queries
):
    for _ in range(count):
        photo_of(in_work, panel, owner)
    with django_assert_max_num_queries(14):
        stranger_client.get(link.get_absolute_url())
