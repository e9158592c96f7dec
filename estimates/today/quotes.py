"""The quotes that matter today, in one query: waiting, answered since yesterday, asked about, and those being worked."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from functools import lru_cache

from django.db.models import Case, Exists, F, OuterRef, Q, Subquery, Sum, TextField, Value, When
from django.utils import timezone

from estimates.models import Payment, Question, Quote
from estimates.pricing.money import Currency, round_money
from estimates.pricing.snapshot import UnreadableSnapshot, from_json
from jobs.models import Job

ANSWERS_SINCE = timedelta(days=1)
ENQUIRY_WAITS = 3  # days before an enquiry without a quote is spoken of
REMINDED_OF_PAYMENT = timedelta(days=183)
KEPT = 256
# All that Today says of a quote, its job, its customer and its answer; what a quote was frozen with is long.
READ = (
    "job", "revision", "state", "valid_until", "deposit_percent", "total", "sent_at",
    "job__number", "job__title", "job__state", "job__customer__name",
    "answer__kind", "answer__at", "answer__total",
)  # fmt: skip
OF_THE_DESK = "number", "title", "state", "created_at", "unpaid", "customer__name"
SENT, ACCEPTED, IN_WORK = Quote.State.SENT, Quote.State.ACCEPTED, Job.State.IN_WORK


@dataclass(frozen=True, slots=True)
class Waiting:
    """A sent quote without an answer: how long it has been out, and what it may come to."""

    quote: Quote
    days: int
    low: Decimal | None
    high: Decimal | None


def live_quotes(today: date) -> list[Quote]:
    """Quotes with ``asked_at``, ``asked_by``, ``received`` (money in for the job), ``alike`` and ``held_price``.

    ``held_price`` is the frozen price of those that wait; the rest of what they were frozen with stays in the book.
    """
    open_questions = Question.objects.filter(quote=OuterRef("pk"), replied_at=None).order_by("at")
    yesterday = datetime.combine(today - ANSWERS_SINCE, time(), timezone.get_current_timezone())
    wanted = Q(state=SENT) | Q(state=ACCEPTED, job__state=IN_WORK) | Q(answer__at__gte=yesterday)
    quotes = Quote.objects.filter(wanted | Q(Exists(open_questions))).exclude(state=Quote.State.DRAFT)
    return list(
        quotes.select_related("job__customer", "answer")
        .only(*READ)
        .annotate(
            asked_at=Subquery(open_questions.values("at")[:1]),
            asked_by=Subquery(open_questions.values("name")[:1]),
            received=Subquery(_money_in()),
            alike=F("frozen__model__correlation"),
            # As text: only the few that are shown are read.
            held_price=Case(
                When(state=SENT, then=F("frozen__priced")), default=Value(None), output_field=TextField()
            ),
        )
        .order_by("sent_at", "pk")
    )


def _money_in():
    """What has come in for a quote's job, less what was paid back."""
    signed = Case(When(kind=Payment.Kind.REFUND, then=-F("amount")), default=F("amount"))
    payments = Payment.objects.filter(job=OuterRef("job")).order_by().values("job")
    return payments.annotate(sum=Sum(signed)).values("sum")


def jobs_on_the_desk(today: date) -> list[Job]:
    """Jobs that wait for the owner, longest first: enquiries without a quote, and closed ones not paid for in full.

    After half a year the reminder of a payment has done what it can.
    """
    morning = datetime.combine(today, time(), timezone.get_current_timezone())
    asked = Q(state=Job.State.ENQUIRY, created_at__lte=timezone.now() - timedelta(days=ENQUIRY_WAITS))
    closed = Q(state=Job.State.CLOSED, closed_at__gte=morning - REMINDED_OF_PAYMENT, unpaid__gt=0)
    jobs = Job.objects.filter(asked | closed).select_related("customer")
    return list(jobs.only(*OF_THE_DESK).order_by("created_at"))


def correlation_by_job(quotes: list[Quote]) -> dict[int, float]:
    """What ``estimates.work.standing.correlations`` reads, from quotes that are at hand."""
    return {
        quote.job_id: float(quote.alike)
        for quote in quotes
        if quote.state == ACCEPTED and quote.alike is not None
    }


def waiting_quotes(quotes: list[Quote], today: date, shown: int, *, with_prices: bool) -> list[Waiting]:
    """Quotes without an answer, longest out first; prices are only for those who may see them."""
    return [
        _waiting(quote, today, with_prices)
        for quote in [quote for quote in quotes if quote.state == SENT][:shown]
    ]


def _waiting(quote: Quote, today: date, with_prices: bool) -> Waiting:
    days = (today - timezone.localtime(quote.sent_at).date()).days
    low, high = _range(quote.held_price, quote.total) if with_prices else (None, None)
    return Waiting(quote, days, low, high)


def _range(held_price: str, total: Decimal) -> tuple[Decimal, Decimal]:
    """The price at the middle of the hours and at their high end; a snapshot that cannot be read has one price."""
    try:
        return _ends(held_price)
    except UnreadableSnapshot:
        return total, total


@lru_cache(maxsize=KEPT)
def _ends(text: str) -> tuple[Decimal, Decimal]:
    priced = from_json(text)
    return priced.low.gross, priced.high.gross


def deposits_due(quotes: list[Quote], currency: Currency) -> dict[int, tuple[Quote, Decimal]]:
    """What is still to come of the deposits asked for at acceptance, by job; the quote is one of the job's."""
    asked: dict[int, Decimal] = {}
    first: dict[int, Quote] = {}
    for quote in quotes:
        if quote.state == ACCEPTED and quote.job.state == IN_WORK:
            first.setdefault(quote.job_id, quote)
            share = round_money(quote.answer.total * quote.deposit_percent / 100, currency)
            asked[quote.job_id] = asked.get(quote.job_id, Decimal(0)) + share
    due = {job: (first[job], amount - (first[job].received or Decimal(0))) for job, amount in asked.items()}
    return {job: (quote, amount) for job, (quote, amount) in due.items() if amount > 0}
