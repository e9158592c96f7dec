"""The link of a customer's progress page by e-mail, once for a press."""

import logging
import uuid
from smtplib import SMTPException

from django.core.mail import EmailMessage
from django.db import IntegrityError, transaction
from django.utils import timezone

from estimates.models import ProgressSent
from jobs.models import Job, ProgressLink
from shop.audit import record
from shop.models import Person, Shop

log = logging.getLogger(__name__)


class MailRefused(Exception):
    """Nothing was sent; the text says why."""


def email_progress(
    link: ProgressLink, person: Person, shop: Shop, *, to: str, words: str, url: str,
    submission: uuid.UUID | None = None,
) -> ProgressSent:  # fmt: skip
    """Send the link. The row that remembers the press is written first and taken away again where the mail server
    refuses, so that a second press at the same moment sends nothing and a later one may try again."""
    if link.withdrawn_at or link.expires_at <= timezone.now():
        raise MailRefused("This page is withdrawn or has run out. Make a new link first.")
    if submission and (earlier := ProgressSent.objects.filter(submission=submission).first()):
        return earlier
    try:
        with transaction.atomic():
            sent = ProgressSent.objects.create(link=link, to=to, person=person, submission=submission)
            record(person, f"sent the progress page to {to}"[:80], link.job, job_number=link.job.number)
    except IntegrityError:
        return ProgressSent.objects.get(submission=submission)
    try:
        _mail(link.job, shop, to, words, url)
    except (OSError, SMTPException) as error:
        log.warning("The mail server refused the progress page of %s: %s", link.job.number, error)
        sent.delete()
        raise MailRefused(
            "The mail server did not take it. Nothing was sent; try again, or copy the link into a message of your own."
        ) from error
    return sent


def _mail(job: Job, shop: Shop, to: str, words: str, url: str) -> None:
    subject = " ".join(f"{shop.name}: how “{job.title}” is coming on".split())
    EmailMessage(
        subject=subject,
        body=f"{words.strip()}\n\n{url}\n",
        to=[to],
        reply_to=[shop.email] if shop.email else None,
    ).send()


def usual_progress_words(job: Job, shop: Shop) -> str:
    """What the e-mail says unless somebody writes something else."""
    ways = [way for way in (shop.email and "answer this e-mail", shop.phone and f"call {shop.phone}") if way]
    asking = f" If you would like to know more, {' or '.join(ways)}." if ways else ""
    return (
        f"Dear {job.customer.name},\n\nthe page below shows how “{job.title}” is coming on: the stage it is in, when we "
        "expect to finish it, and photos. It needs no password: whoever has its address can see it, so please keep it "
        f"to yourself.{asking}\n\n{shop.name}"
    )
