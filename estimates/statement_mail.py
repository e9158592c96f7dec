"""A job's statement by e-mail, once for a press: the same PDF that is printed."""

import io
import uuid

from django.core.mail import EmailMessage

from estimates.mailing import MailRefused, handed_over, send_once
from estimates.models import StatementSent
from estimates.paper.document import write
from estimates.paper.facts.imprint import imprint_of
from estimates.paper.facts.statement import statement_letter
from estimates.paper.statement import StatementPaper
from estimates.payments import job_statement
from estimates.pricing.money import ZERO, format_money
from estimates.pricing.statement import Statement
from estimates.quoting.figures import currency_of
from jobs.models import Job
from shop.audit import record
from shop.models import Person, Shop

ATTACH_IT = "attach the statement to a message of your own"


def email_statement(
    job: Job, person: Person, shop: Shop, *, to: str, words: str, submission: uuid.UUID | None = None
) -> StatementSent:
    """Send the statement as it stands; raises :class:`MailRefused` where there is nothing to state, or no server."""
    account = job_statement(job)
    if not account.agreed and not account.payments:
        raise MailRefused("Nothing is agreed and nothing has come in: there is nothing to state yet.")
    sent = StatementSent(job=job, to=to, to_pay=account.balance, person=person, submission=submission)
    did = f"{handed_over()} the statement to {to}"[:80]
    return send_once(
        sent, lambda: _mail(job, shop, to, words), lambda: record(person, did, job, job_number=job.number),
        instead=ATTACH_IT,
    )  # fmt: skip


def statement_pdf(job: Job, shop: Shop) -> bytes:
    """The statement as a PDF file."""
    file, imprint = io.BytesIO(), imprint_of(shop)
    paper = StatementPaper(imprint, statement_letter(job, shop))
    write([paper], file, title=paper.title, imprint=imprint)
    return file.getvalue()


def _mail(job: Job, shop: Shop, to: str, words: str) -> None:
    message = EmailMessage(
        subject=" ".join(f"{shop.name}: statement for {job.number}, {job.title}".split()),
        body=f"{words.strip()}\n", to=[to], reply_to=[shop.email] if shop.email else None,
    )  # fmt: skip
    message.attach(f"statement-{job.number}.pdf", statement_pdf(job, shop), "application/pdf")
    message.send()


def usual_statement_words(job: Job, shop: Shop) -> str:
    """What the e-mail says unless the owner writes something else."""
    statement = f"with this comes the statement for “{job.title}”. {_stands(job, shop)}"
    return f"Dear {job.customer.name},\n\n{statement}\n\n{shop.name}"


def _stands(job: Job, shop: Shop) -> str:
    account: Statement = job_statement(job)
    amount = format_money(abs(account.balance), currency_of(shop), decimals=True)
    if account.balance > ZERO:
        so_far = "so far " if account.bills is not None and job.state != Job.State.CLOSED else ""
        return f"There is {amount} to pay {so_far}on it."
    if account.balance < ZERO:
        return f"{amount} stands to your credit."
    return "Nothing is open on it. Thank you."
