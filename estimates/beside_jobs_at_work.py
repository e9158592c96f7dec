"""What control adds to the jobs' pages: the customer's page of a job."""

from django.utils import timezone

from estimates.models import ProgressSent
from estimates.progress.link import standing_link
from jobs.models import Job
from jobs.parts import Part, add_part
from shop.models import Person


@add_part
def customers_page_of_job(job: Job, person: Person) -> Part | None:
    """The link to the customer's page, once there is work to show."""
    if job.accepted_at is None:
        return None
    link = standing_link(job)
    has_run_out = bool(link and link.expires_at <= timezone.now())
    context = {
        "job": job, "link": link, "has_run_out": has_run_out, "may_mail": person.is_owner,
        "sent": ProgressSent.objects.filter(link=link).first() if link else None,
    }  # fmt: skip
    return Part("estimates/_job_progress_link.html", context)
