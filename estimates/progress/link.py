"""The customer's private page of a job: making its link, withdrawing it, making a new one in its place."""

from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from jobs.models import Job, ProgressLink
from shop.audit import record
from shop.models import Person

HOLDS = timedelta(days=365)  # long enough for the longest job; a link nobody needs any more still ends


class LinkRefused(Exception):
    """The link cannot be made or withdrawn; the text says why."""


@transaction.atomic
def make_link(job: Job, person: Person) -> ProgressLink:
    """The job's link: the one that stands, or a new one where none stands or it has run out."""
    held = _held(job)
    standing = _standing(held)
    if standing and standing.expires_at > timezone.now():
        return standing
    if standing:
        _withdraw(standing)
    return _make(held, person, "made the progress page of")


@transaction.atomic
def renew_link(job: Job, person: Person) -> ProgressLink:
    """Make a new link; the old one stops for good."""
    held = _held(job)
    if standing := _standing(held):
        _withdraw(standing)
    return _make(held, person, "renewed the progress page of")


@transaction.atomic
def withdraw_link(job: Job, person: Person) -> None:
    """Stop the job's link for good. Without one, nothing happens."""
    held = _held(job)
    if standing := _standing(held):
        _withdraw(standing)
        record(person, "withdrew the progress page of", held, job_number=held.number)


def standing_link(job: Job) -> ProgressLink | None:
    """The link that has not been withdrawn; it may have run out."""
    return _standing(job)


def _held(job: Job) -> Job:
    return Job.objects.select_for_update().get(pk=job.pk)


def _standing(job: Job) -> ProgressLink | None:
    return ProgressLink.objects.filter(job=job, withdrawn_at=None).first()


def _withdraw(link: ProgressLink) -> None:
    link.withdrawn_at = timezone.now()
    link.save(update_fields=["withdrawn_at"])


def _make(job: Job, person: Person, what: str) -> ProgressLink:
    if job.state == Job.State.DECLINED:
        raise LinkRefused(f"Job {job.number} was declined; there is no progress to show.")
    link = ProgressLink.objects.create(job=job, expires_at=timezone.now() + HOLDS)
    record(person, what, job, job_number=job.number)
    return link
