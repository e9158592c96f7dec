"""Money for a job: what was agreed, what was asked for at acceptance, what came in, what went back."""

import uuid

from django.db import IntegrityError, transaction
from django.db.models import Sum
from django.utils import timezone

from estimates.models import Payment, Quote
from estimates.pricing.money import ZERO, format_money
from estimates.pricing.statement import Agreed, Statement, statement
from estimates.pricing.statement import Payment as Received
from estimates.quoting.figures import currency_of, read_price
from estimates.time_and_material import bills_of
from jobs.models import Job
from shop.audit import record
from shop.models import Person, Shop

MUCH = 2  # a payment of more than this many times what is open is asked about


class PaymentRefused(Exception):
    """The payment cannot be right; the text says what fits. ``field`` is the one to mend."""

    def __init__(self, text: str, field: str | None = None):
        self.field = field
        super().__init__(text)


class MuchMoney(PaymentRefused):
    """The payment is far more than is open. It may be meant: the same amount sent again, ``sure``, is taken."""


def job_statement(job: Job, *, without: int | None = None) -> Statement:
    """The account of a job: accepted quotes with the options taken, deposits asked, payments, balance.

    Two queries; by time and material two or three more for the hours and the metal.
    """
    quotes = accepted_quotes(job)
    agreed = [
        Agreed(quote.number, quote.answer.total, read_price(quote.frozen, quote.answer.options_taken).deposit)
        for quote in quotes
    ]
    received = [as_received(payment) for payment in job.payments.all() if payment.pk != without]
    return statement(agreed, received, bills_of(job, quotes) if job.time_and_material else None)


def keep_unpaid(job: Job) -> None:
    """Keep on a job, once it is closed, what has still to be paid for it."""
    job.unpaid = job_statement(job).balance if job.state == Job.State.CLOSED else None
    Job.objects.filter(pk=job.pk).update(unpaid=job.unpaid)


def accepted_quotes(job: Job) -> list[Quote]:
    quotes = job.quotes.filter(state=Quote.State.ACCEPTED).select_related("answer").order_by("revision")
    for quote in quotes:
        quote.job = job
    return list(quotes)


def as_received(payment: Payment) -> Received:
    """A stored payment as the statement reads it: a refund is money that went back."""
    amount = -payment.amount if payment.kind == Payment.Kind.REFUND else payment.amount
    return Received(payment.received_on, amount, payment.note)


@transaction.atomic
def keep_payment(
    job: Job, payment: Payment, person: Person, shop: Shop, submission: uuid.UUID | None = None, *, sure: bool = False
) -> Payment:  # fmt: skip
    """Write down money received or paid back; the same press twice writes it once.

    More than twice what is open is asked about first (:class:`MuchMoney`), unless the owner is ``sure``.
    """
    job = Job.objects.select_for_update().get(pk=job.pk)
    if submission and (earlier := Payment.objects.filter(submission=submission).first()):
        return earlier
    if payment.received_on > timezone.localdate():
        raise PaymentRefused("That day is to come. Write the day the money came.", "received_on")
    account = job_statement(job)
    if payment.kind == Payment.Kind.REFUND and payment.amount > account.received:
        said = format_money(account.received, currency_of(shop))
        raise PaymentRefused(f"Only {said} has come in; no more than that can go back.", "amount")
    if payment.kind != Payment.Kind.REFUND and not sure:
        _ask_about_much(job, account, payment, shop)
    payment.job, payment.person, payment.submission = job, person, submission
    try:
        with transaction.atomic():
            payment.save(force_insert=True)
    except IntegrityError:
        return Payment.objects.get(submission=submission)
    keep_unpaid(job)
    what = f"wrote down a {payment.get_kind_display().lower()}"
    record(person, what, payment, job_number=job.number, named=_named(payment, shop))
    return payment


def _named(payment: Payment, shop: Shop) -> str:
    amount = format_money(payment.amount, currency_of(shop), decimals=True)
    return f"{payment.get_kind_display()} {amount}"


def _ask_about_much(job: Job, account: Statement, payment: Payment, shop: Shop) -> None:
    """Ask where a payment is more than twice what is open, or than the quotes that wait where nothing is agreed.

    By time and material what was quoted is open too, before the work is done. A job without any price has nothing to
    hold a payment against.
    """
    if account.agreed:
        still_open = max(account.balance, account.price - account.received if account.bills else ZERO, ZERO)
    else:
        waiting = job.quotes.filter(state=Quote.State.SENT).aggregate(sum=Sum("total"))["sum"]
        if waiting is None:
            return
        still_open = waiting
    if payment.amount <= MUCH * still_open:
        return
    currency = currency_of(shop)
    said, amount = (format_money(each, currency, decimals=True) for each in (still_open, payment.amount))
    stands = f"Only {said} is open on this job" if still_open else "Nothing is open on this job any more"
    raise MuchMoney(f"{stands}. Is {amount} right? Then write it down again; otherwise mend it.", "amount")


@transaction.atomic
def strike_payment(job: Job, pk: int, person: Person, shop: Shop, reason: str) -> None:
    """Take out a payment that was never made or was written down twice; the trail keeps it and why."""
    job = Job.objects.select_for_update().get(pk=job.pk)
    payment = job.payments.filter(pk=pk).first()
    if payment is None:
        return
    if not reason.strip():
        raise PaymentRefused("Say why this payment is taken out.", "reason")
    if job_statement(job, without=pk).received < 0:
        raise PaymentRefused("More would have gone back than came in. Take the refund out first.")
    changes = {"amount": [str(payment.amount), None], "reason": [None, reason]}
    named = _named(payment, shop)
    record(person, "took out a payment", payment, job_number=job.number, changes=changes, named=named)
    payment.delete()
    keep_unpaid(job)
