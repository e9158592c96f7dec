"""Taking in an enquiry: a customer, what they want made, and photos of the old part, all or nothing."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db import IntegrityError

from jobs.customers import keep_customer
from jobs.models import Customer, Job, Photo
from jobs.numbers import save_with_number
from jobs.photos import add_photos, all_or_none
from jobs.pictures import Picture
from shop.audit import record
from shop.models import Person


@dataclass(frozen=True, slots=True)
class Enquiry:
    """What somebody asks for. ``customer`` may be new, that is unsaved."""

    customer: Customer
    title: str
    description: str = ""
    due_on: date | None = None
    pictures: Sequence[Picture] = ()
    subject: str = Photo.Subject.OLD_PART
    submission: uuid.UUID | None = None


def take_enquiry(enquiry: Enquiry, person: Person) -> Job:
    """Make the job, under the next number, with its customer and photos.

    The same ``submission`` twice gives the job of the first press, whether the second comes later or at once.
    """
    if earlier := _job_of(enquiry.submission):
        return earlier
    try:
        return _take(enquiry, person)
    except IntegrityError:
        if earlier := _job_of(enquiry.submission):
            return earlier
        raise


def _job_of(submission: uuid.UUID | None) -> Job | None:
    return Job.objects.filter(submission=submission).first() if submission else None


def _take(enquiry: Enquiry, person: Person) -> Job:
    with all_or_none() as kept:
        if enquiry.customer.pk is None:
            keep_customer(enquiry.customer, person)
        job = save_with_number(
            Job(
                customer=enquiry.customer,
                title=enquiry.title,
                description=enquiry.description,
                due_on=enquiry.due_on,
                created_by=person,
                submission=enquiry.submission,
            )
        )
        record(person, "took in enquiry", job, job_number=job.number)
        kept += add_photos(
            job, enquiry.pictures, person=person, subject=enquiry.subject, submission=enquiry.submission
        )
    return job
