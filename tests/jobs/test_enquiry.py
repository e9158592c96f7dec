"""Taking in an enquiry: one form, one transaction, one job for one press."""

import datetime as dt
import uuid

import pytest
from django.db import IntegrityError
from django.urls import reverse
from django.utils import timezone

from jobs.enquiry import Enquiry, take_enquiry
from jobs.models import Customer, Job, Photo
from shop.models import AuditEntry
from tests.jobs.photo_files import jpeg_upload, png_header_of, upload

NEW = reverse("job-new")


@pytest.fixture(autouse=True)
def _photos_of_this_test_only(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def typed(**other) -> dict:
    return {
        "customer": "Tamsin Pell",
        "which": "",
        "email": "",
        "phone": "",
        "title": "Bow fairing",
        "description": "Cracked along the bead.",
        "due_on": "",
        "subject": "old-part",
        "submission": str(uuid.uuid4()),
        **other,
    }


def files(folder) -> list:
    return [path for path in folder.rglob("*") if path.is_file()]


def test_a_shaper_takes_in_an_enquiry_of_a_new_customer(shaper_client, shaper, shop):
    due_on = timezone.localdate() + dt.timedelta(days=20)
    post = typed(customer="Ings Green Friends", email="band@ings.example", due_on=due_on.isoformat())
    response = shaper_client.post(NEW, post | {"photos": [jpeg_upload("a.jpg"), jpeg_upload("b.jpg")]})
    job = Job.objects.get()
    assert response["Location"] == reverse("panel-new", args=[job.number])
    assert (job.customer.name, job.customer.email) == ("Ings Green Friends", "band@ings.example")
    assert (job.title, job.due_on, job.created_by) == ("Bow fairing", due_on, shaper)
    assert job.number == f"{timezone.localdate().year}-001"
    assert list(job.photos.values_list("subject", flat=True)) == ["old-part", "old-part"]
    assert AuditEntry.objects.filter(job_number=job.number, what="took in enquiry", person=shaper).exists()


def test_no_due_date_is_fine(owner_client, customer):
    owner_client.post(NEW, typed())
    assert Job.objects.get().due_on is None


def test_a_name_the_book_knows_is_that_customer(owner_client, customer):
    owner_client.post(NEW, typed(customer="  tamsin pell "))
    assert Job.objects.get().customer == customer
    assert Customer.objects.count() == 1


def test_a_known_name_with_another_email_is_asked_about(owner_client, customer):
    response = owner_client.post(NEW, typed(email="other@pell.example"))
    page = response.content.decode()
    assert response.status_code == 422
    assert "Say whether it is the same customer" in page
    assert "Tamsin Pell, tamsin@pell.example" in page
    assert Job.objects.count() == 0
    owner_client.post(NEW, typed(email="other@pell.example", which="new"))
    assert Job.objects.get().customer.email == "other@pell.example"


def test_two_customers_of_one_name_are_told_apart(owner_client, customer):
    other = Customer.objects.create(name="Tamsin Pell", phone="0555 12")
    assert owner_client.post(NEW, typed()).status_code == 422
    owner_client.post(NEW, typed(which=str(other.pk)))
    assert Job.objects.get().customer == other


def test_a_customer_of_another_name_cannot_be_slipped_in(owner_client, customer):
    stranger = Customer.objects.create(name="Hearth Lane Bakery")
    response = owner_client.post(NEW, typed(which=str(stranger.pk)))
    assert response.status_code == 422
    assert Job.objects.count() == 0


def test_a_past_due_date_is_refused_in_words(owner_client, customer):
    yesterday = timezone.localdate() - dt.timedelta(days=1)
    response = owner_client.post(NEW, typed(due_on=yesterday.isoformat()))
    page = response.content.decode()
    assert response.status_code == 422
    assert "is past; today is" in page
    assert f'value="{yesterday.isoformat()}"' in page
    assert "Cracked along the bead." in page
    assert Job.objects.count() == 0


@pytest.mark.parametrize("due_on", ["29th of May", "2026-02-30", "0", "9" * 500])
def test_what_is_no_date_is_said_and_kept(owner_client, customer, due_on):
    page = owner_client.post(NEW, typed(due_on=due_on)).content.decode()
    assert "This is not a day." in page
    assert f'value="{due_on}"' in page


def test_what_is_missing_is_said_beside_its_field(owner_client, shop):
    page = owner_client.post(NEW, typed(customer="", title="")).content.decode()
    assert "Write who asks." in page
    assert "Write what is to be made, in a few words." in page


@pytest.mark.parametrize(
    ("name", "words"),
    [("customer", "x" * 121), ("title", "x" * 121), ("email", "not an address"), ("customer", "a\0b")],
)
def test_words_that_do_not_fit_are_refused(owner_client, customer, name, words):
    assert owner_client.post(NEW, typed(**{name: words})).status_code == 422
    assert Job.objects.count() == 0


def test_a_file_that_is_no_photo_is_refused_and_nothing_is_kept(owner_client, customer, tmp_path):
    photos = [
        jpeg_upload("good.jpg"),
        upload(b"no photo", "bad.jpg"),
        upload(png_header_of(50_000, 50_000), "vast.png"),
    ]
    response = owner_client.post(NEW, typed() | {"photos": photos})
    page = response.content.decode()
    assert response.status_code == 422
    assert "bad.jpg: This file is not a photo" in page
    assert "vast.png: The photo has more than" in page
    assert "Cracked along the bead." in page
    assert (Job.objects.count(), files(tmp_path)) == (0, [])


def test_a_photo_over_the_limit_is_said_and_the_words_are_kept(owner_client, customer, settings):
    settings.PHOTO_MAX_BYTES = 2**20
    response = owner_client.post(NEW, typed() | {"photos": [upload(b"\0" * 2**21, "huge.jpg")]})
    page = response.content.decode()
    assert response.status_code == 422
    assert "huge.jpg: The photo is over 1 MB." in page
    assert "Cracked along the bead." in page


def test_photos_that_were_fine_have_to_be_picked_again_and_the_page_says_so(owner_client, customer):
    response = owner_client.post(NEW, typed(title="") | {"photos": [jpeg_upload()]})
    assert "Pick the photos again" in response.content.decode()


def test_more_than_twelve_photos_are_refused(owner_client, customer):
    photos = [jpeg_upload(f"{number}.jpg") for number in range(13)]
    assert (
        "At most 12 photos at once." in owner_client.post(NEW, typed() | {"photos": photos}).content.decode()
    )


def test_a_double_press_makes_one_job(owner_client, customer, tmp_path):
    post = typed(customer="Somebody new")
    first = owner_client.post(NEW, post | {"photos": [jpeg_upload()]})
    again = owner_client.post(NEW, post | {"photos": [jpeg_upload()]})
    assert first["Location"] == again["Location"]
    assert (Job.objects.count(), Photo.objects.count(), len(files(tmp_path))) == (1, 1, 2)
    assert Customer.objects.filter(name="Somebody new").count() == 1


def test_two_presses_at_once_make_one_job(owner, customer, monkeypatch):
    """The second looked before the first had written: the database refuses it, and it gets the first one's job."""
    submission = uuid.uuid4()
    first = take_enquiry(Enquiry(customer, "Bow fairing", submission=submission), owner)
    looks = iter([None, first])
    monkeypatch.setattr("jobs.enquiry._job_of", lambda submission: next(looks))
    again = take_enquiry(Enquiry(Customer(name="New"), "Bow fairing", submission=submission), owner)
    assert again == first
    assert Job.objects.count() == 1
    assert not Customer.objects.filter(name="New").exists()


def test_nothing_is_kept_when_the_last_step_fails(owner, shop, monkeypatch, tmp_path):
    def refuse(*args, **kwargs):
        raise IntegrityError("the database says no")

    monkeypatch.setattr("jobs.enquiry.add_photos", refuse)
    with pytest.raises(IntegrityError):
        take_enquiry(Enquiry(Customer(name="New"), "Bow fairing"), owner)
    assert (Job.objects.count(), Customer.objects.count(), AuditEntry.objects.count()) == (0, 0, 0)
    assert files(tmp_path) == []


def test_words_cannot_carry_a_script(owner_client, shop):
    script = "<script>alert(1)</script>"
    owner_client.post(NEW, typed(customer=script, title=script, description=script))
    job = Job.objects.get()
    for address in (
        job.get_absolute_url(),
        job.customer.get_absolute_url(),
        reverse("job-list"),
        reverse("customer-list"),
    ):
        page = owner_client.get(address).content.decode()
        assert script not in page
        assert "&lt;script&gt;" in page


def test_names_are_offered_while_they_are_typed(shaper_client, customer):
    Customer.objects.create(name="Hearth Lane Bakery")
    page = shaper_client.get(reverse("customer-names"), {"customer": "tams"}).content.decode()
    assert '<option value="Tamsin Pell">tamsin@pell.example</option>' in page
    assert "Hearth" not in page


def test_an_enquiry_can_start_from_a_customers_page(shaper_client, customer):
    page = shaper_client.get(NEW, {"customer": "Tamsin Pell"}).content.decode()
    assert 'value="Tamsin Pell"' in page


def test_a_stranger_cannot_take_in_an_enquiry(stranger_client):
    assert stranger_client.post(NEW, typed())["Location"].startswith(reverse("sign-in"))
    assert Job.objects.count() == 0
