"""Photographs of a job: kept, captioned, shown, removed. Reading the uploaded file is :mod:`jobs.pictures`."""

import secrets
import uuid
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from zoneinfo import ZoneInfo

from django.core.files.base import ContentFile, File
from django.db import IntegrityError, transaction
from django.utils import timezone

from jobs.models import Job, Panel, Photo, Stage
from jobs.pictures import NotAPhoto, Picture, read_picture
from shop.audit import changed, record, snapshot
from shop.models import Person, Shop

__all__ = [
    "NotAPhoto", "add_photo", "add_photos", "all_or_none", "change_photo", "discard_files", "open_photo",
    "remove_photo", "shop_zone",
]  # fmt: skip

AUDITED = ["subject", "caption", "for_customer"]


def shop_zone() -> ZoneInfo:
    """The zone in which the shop's cameras tell the time."""
    return ZoneInfo(Shop.standing().time_zone)


def add_photo(
    job: Job,
    upload: File | Picture,
    *,
    person: Person,
    panel: Panel | None = None,
    stage: Stage | None = None,
    subject: str = Photo.Subject.SO_FAR,
    caption: str = "",
    for_customer: bool = False,
    submission: uuid.UUID | None = None,
    pressed_at: datetime | None = None,
) -> Photo:
    """Keep a photograph of a job, of one of its panels, or of a panel's stage.

    ``upload`` is the file as it arrived, or the picture a form has read from it already. The same ``submission``
    twice gives the photo of the first press. Where the picture does not say when it was taken, it was when it was
    handed in: ``pressed_at``, or now. Raises :class:`NotAPhoto`. The two files are written before the
    row, and removed again when the row cannot be.
    """
    if stage is not None:
        panel = stage.panel
    if submission and (earlier := Photo.objects.filter(submission=submission).first()):
        return earlier
    picture = upload if isinstance(upload, Picture) else read_picture(upload, shop_zone())
    photo = Photo(
        job=job, panel=panel, stage=stage, subject=subject, caption=caption, for_customer=for_customer,
        taken_at=picture.taken_at or pressed_at or timezone.now(), taken_by=person, submission=submission,
    )  # fmt: skip
    _write_files(photo, picture)
    try:
        _save_row(photo, person)
    except IntegrityError:
        discard_files(photo)
        if submission and (earlier := Photo.objects.filter(submission=submission).first()):
            return earlier
        raise
    except BaseException:
        discard_files(photo)
        raise
    return photo


def add_photos(
    job: Job, pictures: Sequence[Picture], *, submission: uuid.UUID | None = None, **words
) -> list[Photo]:
    """Keep several photographs or none; ``words`` are those of :func:`add_photo`, the same for each."""
    with all_or_none() as kept:
        for index, picture in enumerate(pictures):
            each = uuid.uuid5(submission, str(index)) if submission else None
            kept.append(add_photo(job, picture, submission=each, **words))
    return kept


@contextmanager
def all_or_none() -> Iterator[list[Photo]]:
    """One transaction in which photos are kept: list each as it is added.

    When it fails the database rolls back by itself; a disk does not, so the files are taken away here.
    """
    kept: list[Photo] = []
    try:
        with transaction.atomic():
            yield kept
    except BaseException:
        for photo in kept:
            if not Photo.objects.filter(pk=photo.pk).exists():
                discard_files(photo)
        raise


@transaction.atomic
def change_photo(photo: Photo, person: Person, *, subject: str, caption: str, for_customer: bool) -> Photo:
    """Change what is said of a photo and whether its customer may see it."""
    before = snapshot(Photo.objects.select_for_update().get(pk=photo.pk), AUDITED)
    photo.subject, photo.caption, photo.for_customer = subject, caption, for_customer
    photo.save(update_fields=AUDITED)
    if changes := changed(before, snapshot(photo, AUDITED)):
        record(person, "changed photo", photo, changes=changes, job_number=photo.job.number)
    return photo


@transaction.atomic
def remove_photo(photo: Photo, person: Person) -> None:
    """Remove a photo and, once that is certain, its files."""
    record(person, "removed photo", photo, job_number=photo.job.number)
    transaction.on_commit(lambda: discard_files(photo))
    Photo.objects.filter(pk=photo.pk).delete()


def open_photo(photo: Photo, *, thumbnail: bool = False) -> File:
    """Open a photo's JPEG, or its small one, for reading; raises ``FileNotFoundError`` where it is lost.

    Whoever asks decides first who may see it: a customer only what is ``for_customer``.
    """
    return (photo.thumbnail if thumbnail else photo.image).open("rb")


def discard_files(photo: Photo) -> None:
    """Delete the files of a photo whose row is gone or never came to be."""
    for field in (photo.image, photo.thumbnail):
        if field.name:
            field.storage.delete(field.name)


def _write_files(photo: Photo, picture: Picture) -> None:
    """Write both under a name of our own: what the file was called on the phone is nobody's business."""
    name = f"{secrets.token_hex(16)}.jpg"
    try:
        for field, data in ((photo.image, picture.image), (photo.thumbnail, picture.thumbnail)):
            path = field.field.generate_filename(photo, name)
            setattr(photo, field.field.attname, field.storage.save(path, ContentFile(data)))
    except BaseException:
        discard_files(photo)
        raise


@transaction.atomic
def _save_row(photo: Photo, person: Person) -> None:
    photo.save(force_insert=True)
    record(person, "added photo", photo, job_number=photo.job.number)
