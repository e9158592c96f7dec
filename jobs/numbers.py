"""Job numbers: the year and a count within it, each given once."""

from django.db import IntegrityError, transaction
from django.db.models import Max
from django.utils import timezone

from jobs.models import Job

TRIES = 20  # two people taking the same number at once retry; twenty in a row means something else is wrong


def save_with_number(job: Job) -> Job:
    """Save a new job under the next number of this year.

    Two people may ask at the same moment and read the same last count. The database lets one of them have the
    number; the other tries the next.
    """
    for attempt in range(TRIES):
        job.year = timezone.localdate().year
        job.count = (Job.objects.filter(year=job.year).aggregate(last=Max("count"))["last"] or 0) + 1
        job.number = f"{job.year}-{job.count:03d}"
        try:
            with transaction.atomic():
                job.save(force_insert=True)
        except IntegrityError:
            taken = Job.objects.filter(number=job.number).exists()
            if not taken or attempt == TRIES - 1:
                raise
        else:
            return job
    raise AssertionError("unreachable")
