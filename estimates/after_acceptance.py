"""What a customer is told once they have accepted: the deposit, the day, and where to see the work."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils import timezone

from estimates.models import Quote
from estimates.payments import job_statement
from jobs.models import Job, ProgressLink


@dataclass(frozen=True, slots=True)
class NextSteps:
    """``deposit_open`` is what is still to come of the deposits of the job, in the shop's currency.

    A job that is closed asks for no deposit any more, whether it has come in (``deposit_came``) or not.
    """

    deposit_open: Decimal
    deposit_came: bool
    promised_on: date | None
    is_closed: bool
    progress_address: str


def next_steps(quote: Quote) -> NextSteps:
    """What happens next on the job of an accepted quote, in three queries."""
    job = quote.job
    links = ProgressLink.objects.filter(job=job, withdrawn_at=None, expires_at__gt=timezone.now())
    link = links.first()
    closed, account = job.state == Job.State.CLOSED, job_statement(job)
    return NextSteps(
        deposit_open=Decimal(0) if closed else account.deposit_open,
        deposit_came=not account.deposit_open,
        promised_on=job.promised_on,
        is_closed=closed,
        progress_address=link.get_absolute_url() if link else "",
    )
