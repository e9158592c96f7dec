"""Photographs in the book: kept with their job, shown to those signed in, removed by the owner."""

import io
import uuid

import pytest
from django.core.files.storage import default_storage
from django.db import IntegrityError
from django.urls import reverse
from PIL import Image

from jobs.models import Photo, Stage
from jobs.photos import add_photo, add_photos, discard_files, open_photo
from jobs.pictures import read_picture
from shop.models import AuditEntry, StageKind
from tests.jobs.photo_files import exif, jpeg_upload, picture, png_header_of, saved, upload


@pytest.fixture(autouse=True)
def _photos_of_this_test_only(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def photo(job, shaper) -> Photo:
    return add_photo(
        job, jpeg_upload(), person=shaper, subject=Photo.Subject.OLD_PART, caption="The old skin"
    )


def files(folder) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file())


def test_a_photo_is_kept_with_who_and_when(job, shaper):
    sent = upload(saved(picture(), exif=exif(taken="2026:05:12 16:40:00")), "IMG_4711 Tamsin's yard.jpg")
    photo = add_photo(job, sent, person=shaper, subject=Photo.Subject.PATTERN, caption="Card pattern")
    assert (photo.job, photo.taken_by, photo.caption) == (job, shaper, "Card pattern")
    assert photo.taken_at.isoformat() == "2026-05-12T16:40:00+01:00"
    assert (photo.width, photo.height) == (120, 80)
    entry = AuditEntry.objects.get(what="added photo")
    assert (entry.person, entry.job_number) == (shaper, job.number)


def test_the_name_on_the_phone_is_not_kept(photo, tmp_path):
    assert "IMG" not in photo.image.name + photo.thumbnail.name
    assert len(files(tmp_path)) == 2


def test_a_photo_of_a_stage_belongs_to_its_panel(panel, shaper):
    stage = Stage.objects.create(panel=panel, kind=StageKind.objects.first())
    photo = add_photo(panel.job, jpeg_upload(), person=shaper, stage=stage)
    assert photo.panel == panel


def test_files_are_removed_when_the_row_fails(job, shaper, tmp_path, monkeypatch):
    def refuse(*args, **kwargs):
        raise IntegrityError("the database says no")

    monkeypatch.setattr("jobs.photos._save_row", refuse)
    with pytest.raises(IntegrityError):
        add_photo(job, jpeg_upload(), person=shaper)
    assert files(tmp_path) == []


def test_several_photos_are_kept_or_none(job, shaper, shop, tmp_path, monkeypatch):
    from zoneinfo import ZoneInfo

    from jobs import photos

    pictures = [read_picture(jpeg_upload(), ZoneInfo("UTC")) for _ in range(3)]
    calls = []

    def fail_at_the_third(photo, person, save=photos._save_row):
        calls.append(photo)
        if len(calls) == 3:
            raise RuntimeError("the disk is full")
        save(photo, person)

    monkeypatch.setattr(photos, "_save_row", fail_at_the_third)
    with pytest.raises(RuntimeError):
        add_photos(job, pictures, person=shaper)
    assert len(calls) == 3
    assert Photo.objects.count() == 0
    assert files(tmp_path) == []


def test_one_press_twice_keeps_one_photo(job, shaper, tmp_path):
    submission = uuid.uuid4()
    first = add_photo(job, jpeg_upload(), person=shaper, submission=submission)
    again = add_photo(job, jpeg_upload(), person=shaper, submission=submission)
    assert first == again
    assert len(files(tmp_path)) == 2


def test_two_presses_at_once_keep_one_photo(job, shaper, tmp_path, monkeypatch):
    """The second press looked before the first had written: the database decides."""
    submission = uuid.uuid4()
    first = add_photo(job, jpeg_upload(), person=shaper, submission=submission)
    looks = iter([Photo.objects.none(), Photo.objects.filter(submission=submission)])
    monkeypatch.setattr(Photo.objects, "filter", lambda **kwargs: next(looks))
    assert add_photo(job, jpeg_upload(), person=shaper, submission=submission) == first
    assert len(files(tmp_path)) == 2


def test_a_photo_is_served_to_those_signed_in(shaper_client, photo):
    response = shaper_client.get(reverse("photo-file", args=[photo.pk]))
    assert response.status_code == 200
    assert response["Content-Type"] == "image/jpeg"
    assert response["Cache-Control"] == "private, max-age=31536000, immutable"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert Image.open(io.BytesIO(response.getvalue())).size == (120, 80)


@pytest.mark.parametrize("name", ["photo", "photo-file", "photo-thumbnail"])
def test_a_stranger_sees_no_photo(stranger_client, photo, name):
    address = reverse(name, args=[photo.pk])
    response = stranger_client.get(address)
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("sign-in"))


def test_a_photo_whose_file_is_lost_is_not_found(shaper_client, photo):
    discard_files(photo)
    assert shaper_client.get(reverse("photo-file", args=[photo.pk])).status_code == 404


def test_open_photo_opens_both_sizes(photo):
    with open_photo(photo) as large, open_photo(photo, thumbnail=True) as small:
        assert large.read(3) == small.read(3) == b"\xff\xd8\xff"


def test_the_photo_page_says_what_who_and_when(shaper_client, photo):
    page = shaper_client.get(reverse("photo", args=[photo.pk])).content.decode()
    assert "The old skin" in page
    assert "kept by Maro" in page


def test_a_caption_is_changed_and_the_trail_keeps_the_old_one(shaper_client, photo):
    post = {"subject": "pattern", "caption": "Card pattern, left", "for_customer": "on"}
    assert shaper_client.post(reverse("photo", args=[photo.pk]), post).status_code == 302
    photo.refresh_from_db()
    assert (photo.caption, photo.for_customer) == ("Card pattern, left", True)
    changes = AuditEntry.objects.get(what="changed photo").changes
    assert changes["caption"] == ["The old skin", "Card pattern, left"]


def test_a_caption_that_is_too_long_comes_back_as_typed(shaper_client, photo):
    post = {"subject": "pattern", "caption": "x" * 201}
    response = shaper_client.post(reverse("photo", args=[photo.pk]), post)
    assert response.status_code == 422
    assert "x" * 201 in response.content.decode()


def test_a_caption_cannot_carry_a_script(shaper_client, photo):
    Photo.objects.update(caption="<script>alert(1)</script>")
    for address in (reverse("photo", args=[photo.pk]), reverse("job-photos", args=[photo.job.number])):
        assert "<script>alert" not in shaper_client.get(address).content.decode()


def test_a_shaper_cannot_remove_a_photo(shaper_client, photo):
    assert shaper_client.post(reverse("photo-remove", args=[photo.pk])).status_code == 403
    assert Photo.objects.filter(pk=photo.pk).exists()


def test_the_owner_removes_a_photo_and_its_files(
    owner_client, photo, tmp_path, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        owner_client.post(reverse("photo-remove", args=[photo.pk]))
    assert Photo.objects.count() == 0
    assert files(tmp_path) == []
    assert AuditEntry.objects.filter(what="removed photo", thing="The old skin").exists()


def test_files_stay_when_the_removal_is_undone(owner_client, photo, tmp_path):
    """Until the transaction is certain the files are still there."""
    owner_client.post(reverse("photo-remove", args=[photo.pk]))
    assert len(files(tmp_path)) == 2
    assert default_storage.exists(photo.image.name)


def test_several_photos_are_added_on_the_jobs_page(shaper_client, job):
    post = {
        "photos": [jpeg_upload("a.jpg"), jpeg_upload("b.jpg")],
        "subject": "pattern",
        "caption": "Both sides",
    }
    response = shaper_client.post(reverse("job-photos", args=[job.number]), post)
    assert response.status_code == 302
    assert list(job.photos.values_list("subject", "caption")) == [("pattern", "Both sides")] * 2


def test_the_jobs_page_refuses_and_says_which_photo(shaper_client, job):
    post = {
        "photos": [
            jpeg_upload("good.jpg"),
            upload(b"nothing", "bad.jpg"),
            upload(png_header_of(50_000, 50_000), "vast.png"),
        ],
        "subject": "pattern",
        "caption": "kept words",
    }
    response = shaper_client.post(reverse("job-photos", args=[job.number]), post)
    page = response.content.decode()
    assert response.status_code == 422
    assert "bad.jpg: This file is not a photo the book can read." in page
    assert "vast.png: The photo has more than 120 million pixels." in page
    assert "good.jpg:" not in page
    assert 'value="kept words"' in page
    assert job.photos.count() == 0


def test_a_file_over_the_limit_is_dropped_while_it_arrives(shaper_client, job, settings):
    settings.PHOTO_MAX_BYTES = 2**20
    post = {
        "photos": [upload(b"\0" * (2 * 2**20), "huge.jpg")],
        "subject": "pattern",
        "caption": "kept words",
    }
    response = shaper_client.post(reverse("job-photos", args=[job.number]), post)
    page = response.content.decode()
    assert response.status_code == 422
    assert "huge.jpg: The photo is over 1 MB." in page
    assert 'value="kept words"' in page


def test_no_photo_at_all_is_said(shaper_client, job):
    page = shaper_client.post(reverse("job-photos", args=[job.number]), {"subject": "pattern"})
    assert "Pick a photo, or take one." in page.content.decode()


@pytest.mark.parametrize("count", [1, 12])
def test_the_photos_page_asks_the_database_the_same_for_many(
    shaper_client, job, shaper, count, django_assert_max_num_queries
):
    for _ in range(count):
        add_photo(job, jpeg_upload(), person=shaper)
    with django_assert_max_num_queries(9):
        shaper_client.get(reverse("job-photos", args=[job.number]))


def test_a_stale_caption_is_refused_and_keeps_what_was_typed(owner_client, shaper_client, photo):
    address = reverse("photo", args=[photo.pk])
    seen = owner_client.get(address).context["form"]["seen"].value()
    shaper_client.post(address, {"subject": "pattern", "caption": "By Maro", "seen": seen})
    response = owner_client.post(address, {"subject": "old-part", "caption": "By Osk", "seen": seen})
    page = response.content.decode()
    assert response.status_code == 422
    assert "Somebody changed this while you had it open" in page
    assert 'value="By Osk"' in page
    photo.refresh_from_db()
    assert photo.caption == "By Maro"


class Flood(io.RawIOBase):
    """A form with a caption and a file of zeros, made while it is read so that the test holds none of it."""

    boundary = b"----flood"

    def __init__(self, size: int):
        field = b'--%s\r\nContent-Disposition: form-data; name="%s"%s\r\n\r\n'
        file_name = b'; filename="huge.jpg"\r\nContent-Type: image/jpeg'
        self.parts = [
            io.BytesIO(field % (self.boundary, b"caption", b"") + b"kept words\r\n"),
            io.BytesIO(field % (self.boundary, b"photos", file_name)),
            size,
            io.BytesIO(b"\r\n--%s--\r\n" % self.boundary),
        ]
        self.length = size + sum(len(part.getvalue()) for part in self.parts if part is not self.parts[2])

    def read(self, count=-1):
        while self.parts:
            if isinstance(self.parts[0], int):
                given = min(count, self.parts[0])
                self.parts[0] -= given
                if given:
                    return bytes(given)
            elif data := self.parts[0].read(count):
                return data
            self.parts.pop(0)
        return b""


def test_an_upload_of_200_megabytes_is_dropped_and_the_words_are_kept(shaper_client, job, settings, tmp_path):
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path
    flood = Flood(200 * 2**20)
    response = shaper_client.request(
        REQUEST_METHOD="POST",
        PATH_INFO=reverse("job-photos", args=[job.number]),
        CONTENT_TYPE=f"multipart/form-data; boundary={flood.boundary.decode()}",
        CONTENT_LENGTH=str(flood.length),
        **{"wsgi.input": flood},
    )
    page = response.content.decode()
    assert response.status_code == 422
    assert flood.read(1) == b"", "the whole post was read"
    assert "huge.jpg: The photo is over 40 MB." in page
    assert 'value="kept words"' in page
    assert files(tmp_path) == []
