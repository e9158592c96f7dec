"""What a customer can do on their page, and what the owner writes down for them: ask, decline, and who may answer.

Accepting is in :mod:`estimates.acceptance`.
"""

import uuid
from decimal import Decimal

from django.db import IntegrityError, transaction
from django.utils import timezone

from estimates.models import Answer, Question, Quote
from estimates.pricing.money import Unpriceable
from estimates.quoting.figures import read_price
from jobs.models import Job
from shop.audit import record
from shop.figures import day
from shop.models import Person

# A link may be passed on: beyond this many questions without a reply the shop is better called.
MOST_OPEN_QUESTIONS = 10


class AnswerRefused(Exception):
    """The quote cannot be answered like that; the text says why, in words for whoever answers."""


class AlreadyAnswered(AnswerRefused):
    """Somebody else's answer was first."""


def offer_of(token: str) -> Quote | None:
    """The quote a customer's link leads to; drafts have no page. One look-up by the unique token."""
    sent = Quote.objects.exclude(state=Quote.State.DRAFT)
    return sent.select_related("job__customer", "answer").filter(token=token).first()


def why_not_open(quote: Quote, *, by_shop: bool = False) -> str:
    """Why a quote takes no answer, in words; empty where it takes one.

    The shop may still write down an answer that came by telephone after the last day: honouring it is theirs.
    """
    if quote.state == Quote.State.SENT:
        if quote.has_expired and not by_shop:
            return f"This quote was valid until {day(quote.valid_until, timezone.localdate())}. Ask for a new one."
        return ""
    if quote.state in {Quote.State.ACCEPTED, Quote.State.DECLINED}:
        answer = Answer.objects.filter(quote=quote).first()
        who = f" by {answer.name} on {day(answer.at, timezone.localdate())}" if answer else ""
        return f"This quote was {quote.get_state_display().lower()} already{who}. A quote takes one answer."
    if quote.state == Quote.State.REPLACED:
        return "A newer quote has taken the place of this one."
    return "This quote was withdrawn. Ask for a new one."


def held_for_answer(quote: Quote, person: Person | None) -> Quote:
    """The quote with its job, both held until the answer is written; refused where it takes none any more."""
    Job.objects.select_for_update().get(pk=quote.job_id)
    held = Quote.objects.select_for_update(of=("self",)).select_related("job__customer").get(pk=quote.pk)
    if reason := why_not_open(held, by_shop=person is not None):
        answered = held.state in {Quote.State.ACCEPTED, Quote.State.DECLINED}
        raise AlreadyAnswered(reason) if answered else AnswerRefused(reason)
    return held


def keep_answer(
    quote: Quote, kind: str, *, name: str, options: list[str], note: str, person: Person | None
) -> Answer:
    """Write the one answer; the database refuses a second, whoever was told what a moment ago."""
    try:
        total: Decimal = read_price(quote.frozen, options).total.gross
    except Unpriceable as error:
        raise AnswerRefused(str(error)) from error
    answer = Answer(
        quote=quote,
        kind=kind,
        name=name,
        note=note,
        options_taken=sorted(options),
        total=total,
        person=person,
    )
    try:
        with transaction.atomic():
            answer.save(force_insert=True)
    except IntegrityError as error:
        raise AlreadyAnswered(
            "Somebody answered this quote at the same moment. Their answer stands."
        ) from error
    quote.state = kind
    quote.save(update_fields=["state"])
    return answer


def by(name: str, person: Person | None) -> str:
    """Who the trail names: the customer, and who of the shop wrote it down."""
    return f"{name}, written down by {person}" if person else name


@transaction.atomic
def decline(quote: Quote, *, name: str, note: str = "", person: Person | None = None) -> Answer:
    """Write down a no. Where nothing else is open on it, the job is declined too."""
    quote = held_for_answer(quote, person)
    answer = keep_answer(quote, Answer.Kind.DECLINED, name=name, options=[], note=note, person=person)
    job = quote.job
    still_open = job.quotes.filter(state__in=[Quote.State.DRAFT, Quote.State.SENT]).exists()
    if job.state in {Job.State.ENQUIRY, Job.State.QUOTED} and not still_open:
        job.state = Job.State.DECLINED
        job.save(update_fields=["state"])
    record(person, "declined", quote, job_number=job.number, who=by(name, person))
    return answer


@transaction.atomic
def ask(quote: Quote, *, text: str, name: str = "", submission: uuid.UUID | None = None) -> Question:
    """Keep a question of the customer's; the same press twice keeps it once.

    One may ask about a quote that takes no answer any more: that is how a new one begins.
    """
    if submission and (earlier := Question.objects.filter(submission=submission).first()):
        return earlier
    if quote.questions.filter(replied_at=None).count() >= MOST_OPEN_QUESTIONS:
        raise AnswerRefused(f"{MOST_OPEN_QUESTIONS} questions wait for a reply already. Please call us.")
    try:
        with transaction.atomic():
            question = Question.objects.create(quote=quote, text=text, name=name, submission=submission)
    except IntegrityError:
        return Question.objects.get(submission=submission)
    record(
        None, "asked about", quote, job_number=quote.job.number, who=name or quote.frozen["customer"]["name"]
    )
    return question


@transaction.atomic
def reply_to(question: Question, person: Person, text: str) -> Question:
    """Answer a question; the reply stands under it on the customer's page. A later reply takes its place."""
    question = Question.objects.select_for_update().get(pk=question.pk)
    old, question.reply, question.replied_at = question.reply, text, timezone.now()
    question.save(update_fields=["reply", "replied_at"])
    quote = question.quote
    record(person, "replied on", quote, changes={"reply": [old or None, text]}, job_number=quote.job.number)
    return question
