"""The link of a customer's progress page by e-mail, once for a press."""

import uuid

from django.core.mail import EmailMessage
from django.utils import timezone

from estimates.mailing import MailRefused, handed_over, send_once
from estimates.models import ProgressSent
from jobs.models import Job, ProgressLink
from shop.audit import record
from shop.models import Person, Shop


def email_progress(
    link: ProgressLink, person: Person, shop: Shop, *, to: str, words: str, url: str,
    submission: uuid.UUID | None = None,
) -> ProgressSent:  # fmt: skip
    """Send the link, once for a press; raises :class:`MailRefused`."""
    if link.withdrawn_at or link.expires_at <= timezone.now():
        raise MailRefused("This page is withdrawn or has run out. Make a new link first.")
    sent = ProgressSent(link=link, to=to, person=person, submission=submission)
    did = f"{handed_over()} the progress page to {to}"[:80]
    return send_once(
        sent, lambda: _mail(link.job, shop, to, words, url),
        lambda: record(person, did, link.job, job_number=link.job.number),
    )  # fmt: skip


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
