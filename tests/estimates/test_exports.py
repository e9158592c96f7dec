"""What goes out of the book: CSV, the archive, the calendar's address, the progress page by e-mail."""

import csv
import io
import zipfile
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from urllib.parse import urlsplit

import pytest
from django.core import mail
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from icalendar import Calendar
from PIL import Image

from estimates.exports.calendar_feed import calendar_bytes, make_calendar_link, open_calendar_link
from estimates.exports.tables import EXPORTS, cell
from estimates.models import CalendarLink, ProgressSent
from estimates.progress.link import make_link
from jobs.hours_log import correct_entry
from jobs.models import Job, Photo, Stage, TimeEntry
from jobs.photos import add_photo
from shop.models import AuditEntry, StageKind


def table(response) -> list[list[str]]:
    whole = b"".join(response.streaming_content)
    assert whole.startswith(b"\xef\xbb\xbf")
    return list(csv.reader(io.StringIO(whole.decode("utf-8-sig"), newline="")))


@pytest.fixture
def hours(panel, shaper):
    stage = Stage.objects.create(panel=panel, kind=StageKind.objects.first())
    return TimeEntry.objects.create(
        stage=stage, person=shaper, hours=Decimal("2.125"), note="=HYPERLINK(1)", source="hand",
        started_at=datetime(2026, 5, 14, 23, 30, tzinfo=UTC), ended_at=datetime(2026, 5, 15, 1, 37, 30, tzinfo=UTC),
    )  # fmt: skip


def test_hours_are_on_the_shops_own_day(owner_client, hours):
    head, row = table(owner_client.get("/exports/hours.csv"))
    said = dict(zip(head, row, strict=True))
    assert said["hours"] == "2.125"
    assert said["day"] == "2026-05-15"  # 00:30 in Dublin in summer
    assert said["started_at"] == "2026-05-15T00:30:00+01:00"


def test_a_note_does_not_become_a_formula(owner_client, hours):
    head, row = table(owner_client.get("/exports/hours.csv"))
    assert dict(zip(head, row, strict=True))["note"] == "'=HYPERLINK(1)"


def test_corrected_hours_stand_once_with_who_and_when(owner_client, hours, owner, shaper):
    """The hours as corrected, last of all; the clock's own end would say the old ones beside them."""
    correct_entry(hours, shaper, "Forgot the break", hours=Decimal("1.5"))
    correct_entry(hours, owner, "It was a short break", hours=Decimal("1.875"))
    head, *rows = table(owner_client.get("/exports/hours.csv"))
    assert len(rows) == 1
    said = dict(zip(head, rows[0], strict=True))
    assert (said["hours"], said["ended_at"]) == ("1.875", "")
    assert (said["corrected_by"], said["why_corrected"]) == ("Osk", "It was a short break")
    assert said["corrected_at"].startswith(timezone.localdate().isoformat())
    assert "2.125" not in rows[0]
    assert "1.5" not in rows[0]


def test_hours_as_clocked_keep_their_end(owner_client, hours):
    head, row = table(owner_client.get("/exports/hours.csv"))
    said = dict(zip(head, row, strict=True))
    assert said["ended_at"] == "2026-05-15T02:37:30+01:00"
    assert (said["corrected_at"], said["corrected_by"], said["why_corrected"]) == ("", "", "")


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@x", "\t=1", "\r=1", " =1"])
def test_every_beginning_of_a_formula_is_disarmed(text):
    assert cell(text) == f"'{text}"


@pytest.mark.parametrize("value", [Decimal("-2.50"), -3, "Fairing", ""])
def test_figures_and_plain_words_stay_as_they_are(value):
    assert cell(value) == value


@pytest.mark.parametrize("key", list(EXPORTS))
def test_each_table_has_as_many_fields_as_columns(owner_client, hours, sheet, key):
    head, *rows = table(owner_client.get(f"/exports/{key}.csv"))
    assert tuple(head) == EXPORTS[key].columns
    assert {len(row) for row in rows} <= {len(head)}


def test_tables_ask_no_more_for_more_rows(owner_client, hours, django_assert_max_num_queries):
    for index in range(30):
        hours.pk = None
        hours.started_at -= timedelta(minutes=index)
        hours.save()
    with django_assert_max_num_queries(5):
        assert len(table(owner_client.get("/exports/hours.csv"))) == 32


def picture() -> SimpleUploadedFile:
    made = io.BytesIO()
    Image.new("RGB", (64, 48), "grey").save(made, "JPEG")
    return SimpleUploadedFile("a.jpg", made.getvalue(), "image/jpeg")


def test_archive_holds_every_table_and_every_photo(owner_client, owner, hours, job):
    photo = add_photo(job, picture(), person=owner, caption="Old part")
    whole = b"".join(owner_client.get("/exports/shop.zip").streaming_content)
    with zipfile.ZipFile(io.BytesIO(whole)) as archive:
        assert archive.testzip() is None
        names = set(archive.namelist())
        assert names == {
            "read-me.txt",
            *(f"{key}.csv" for key in EXPORTS),
            f"photos/{job.number}/{photo.pk}.jpg",
        }
        with photo.image.open("rb") as file:
            assert archive.read(f"photos/{job.number}/{photo.pk}.jpg") == file.read()
        assert b"Old part" in archive.read("photos.csv")


def test_a_lost_photo_does_not_spoil_the_archive(owner_client, owner, job):
    photo = add_photo(job, picture(), person=owner)
    photo.image.storage.delete(photo.image.name)
    whole = b"".join(owner_client.get("/exports/shop.zip").streaming_content)
    with zipfile.ZipFile(io.BytesIO(whole)) as archive:
        assert f"photos/{job.number}/{photo.pk}.jpg" in archive.read("missing.txt").decode()
    assert Photo.objects.count() == 1


@pytest.mark.parametrize("address", ["/exports/", "/exports/hours.csv", "/exports/shop.zip"])
def test_only_the_owner_takes_the_book_along(shaper_client, stranger_client, shop, address):
    assert shaper_client.get(address).status_code == 403
    assert stranger_client.get(address).status_code == 302


# The calendar


@pytest.fixture
def dated(job):
    job.due_on, job.promised_on = date(2026, 5, 29), date(2026, 6, 3)
    job.title = (
        "Bow fairing; left, right\nand a very long name that has to be folded because it is over 75 octets é"
    )
    job.save()
    return job


def events(feed: bytes) -> list:
    return [one for one in Calendar.from_ical(feed).walk() if one.name == "VEVENT"]


def test_feed_holds_wish_and_promise_for_the_whole_day(stranger_client, owner, dated):
    link = make_calendar_link(owner)
    response = stranger_client.get(f"/calendar/{link.token}.ics")
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    promised, wanted = events(response.content)
    assert promised.decoded("dtstart") == date(2026, 6, 3)
    assert promised.decoded("dtend") == date(2026, 6, 4)
    assert wanted.decoded("dtstart") == date(2026, 5, 29)
    assert str(promised["uid"]) == f"{dated.number}-promised@testserver"
    assert promised["dtstamp"].dt.tzinfo is not None
    assert str(promised["summary"]) == f"{dated.number} {dated.title}, promised"


def test_lines_of_the_feed_end_and_fold_as_the_standard_says(shop, dated):
    """RFC 5545, 3.1: CRLF, at most 75 octets without it."""
    feed = calendar_bytes(shop, "shop.example", lambda job: "https://shop.example/")
    assert b"\n" not in feed.replace(b"\r\n", b"")
    assert max(len(line) for line in feed.split(b"\r\n")) <= 75
    assert b"Bow fairing\\; left\\, right\\nand" in feed.replace(b"\r\n ", b"")


def test_identifiers_stay_the_same_from_fetch_to_fetch(shop, dated):
    first, second = (
        {str(event["uid"]) for event in events(calendar_bytes(shop, "a.example", Job.get_absolute_url))}
        for _ in range(2)
    )
    assert first == second
    assert len(first) == 2


@pytest.mark.parametrize("state", ["declined", "closed"])
def test_jobs_no_longer_in_hand_are_not_in_the_calendar(shop, dated, state):
    Job.objects.update(state=state, closed_at=timezone.now() if state == "closed" else None)
    assert events(calendar_bytes(shop, "a.example", Job.get_absolute_url)) == []


def test_a_withdrawn_address_gives_nothing(owner_client, stranger_client, dated):
    owner_client.post("/calendar/", {"action": "make"})
    token = open_calendar_link().token
    assert stranger_client.get(f"/calendar/{token}.ics").status_code == 200
    owner_client.post("/calendar/", {"action": "withdraw"})
    assert stranger_client.get(f"/calendar/{token}.ics").status_code == 404
    owner_client.post("/calendar/", {"action": "make"})
    assert open_calendar_link().token != token


def test_two_presses_make_one_address(owner_client, shop):
    for _ in range(2):
        owner_client.post("/calendar/", {"action": "make"})
    assert CalendarLink.objects.count() == 1
    page = owner_client.get("/exports/").content.decode()
    assert open_calendar_link().token in page


def test_a_shaper_does_not_give_the_calendar_away(shaper_client, shop):
    assert shaper_client.post("/calendar/", {"action": "make"}).status_code == 403


# The progress page by e-mail


def test_progress_page_is_sent_once_for_one_press(owner_client, owner, job):
    link = make_link(job, owner)
    data = {
        "to": "tamsin@pell.example", "words": "Have a look.", "submission": "8f7fb8a2-6d9f-4e35-9f0e-3ac1b4a3b5a1",
    }  # fmt: skip
    for _ in range(2):
        assert owner_client.post(f"/jobs/{job.number}/progress-link/e-mail/", data).status_code == 302
    assert len(mail.outbox) == 1
    (address,) = [line for line in mail.outbox[0].body.splitlines() if line.startswith("http")]
    assert urlsplit(address).path == f"/for/job/{link.token}/"
    assert ProgressSent.objects.count() == 1
    assert AuditEntry.objects.filter(what__startswith="sent the progress page").count() == 1


def test_a_refused_mail_can_be_sent_again(owner_client, owner, job, monkeypatch):
    make_link(job, owner)
    data = {
        "to": "tamsin@pell.example",
        "words": "Look.",
        "submission": "8f7fb8a2-6d9f-4e35-9f0e-3ac1b4a3b5a2",
    }
    with monkeypatch.context() as broken:
        broken.setattr("django.core.mail.EmailMessage.send", _refuse)
        response = owner_client.post(f"/jobs/{job.number}/progress-link/e-mail/", data)
    assert response.status_code == 422
    assert "Nothing was sent" in response.content.decode()
    owner_client.post(f"/jobs/{job.number}/progress-link/e-mail/", data)
    assert len(mail.outbox) == 1


def _refuse(*_args, **_kwargs):
    raise OSError("no route")


def test_without_a_page_there_is_nothing_to_send(owner_client, job):
    response = owner_client.get(f"/jobs/{job.number}/progress-link/e-mail/", follow=True)
    assert "Make the customer’s page first" in response.content.decode()


def test_an_ordered_sheet_goes_out_with_the_day_it_is_expected(owner_client, sheet):
    sheet.expected_on = date(2026, 12, 3)
    sheet.save()
    head, row = table(owner_client.get("/exports/sheets.csv"))
    assert (head[-1], row[-1]) == ("expected_on", "2026-12-03")
