"""Sending a quote: freezing it with all it was made from, and letting the customer have its link."""

import json
import uuid
from datetime import timedelta
from decimal import Decimal

from django.core.mail import EmailMessage
from django.db import transaction
from django.utils import timezone

from estimates.drafts import QuoteRefused, change_texts, locked_draft
from estimates.mailing import MailRefused, handed_over, send_once
from estimates.models import LinkSent, Quote
from estimates.pricing.money import format_money
from estimates.quoting.figures import QuoteFigures, quote_figures
from estimates.quoting.freezing import written_down
from jobs.models import Job
from shop.audit import record
from shop.figures import day
from shop.models import Person, Shop


@transaction.atomic
def send_quote(
    quote: Quote, person: Person, shop: Shop, *, version: int | None = None, seen_total: Decimal | None = None,
    texts: dict | None = None,
) -> Quote:  # fmt: skip
    """Freeze a draft with rates, geometry, hours, text and every line, and make it the one that can be answered.

    ``seen_total`` is the price the owner had before their eyes: where rates, sheets or panels have changed it since,
    nothing is sent. ``texts`` are the words as they were typed beside the button; they go out with it. Older sent
    revisions of the same quote are replaced.
    """
    job = Job.objects.select_for_update().get(pk=quote.job_id)
    quote = locked_draft(quote, version)
    if texts:
        quote = change_texts(quote, person, texts)
    today = timezone.localdate()
    figures = quote_figures(quote, shop, today)
    _refuse_unready(quote, job, figures, seen_total)
    quote.valid_until = quote.valid_until or today + timedelta(days=shop.quote_valid_days)
    quote.made_on, quote.sent_at, quote.sent_by = today, timezone.now(), person
    quote.frozen = json.loads(json.dumps(written_down(quote, figures, shop, today), allow_nan=False))
    quote.total = figures.priced.total.gross
    quote.state = Quote.State.SENT
    quote.version += 1
    quote.save()
    _replace_older(quote, person)
    if job.state in {Job.State.ENQUIRY, Job.State.DECLINED}:
        job.state = Job.State.QUOTED
        job.save(update_fields=["state"])
    record(person, "sent", quote, changes={"total": [None, str(quote.total)]}, job_number=job.number)
    return quote


def _refuse_unready(quote: Quote, job: Job, figures: QuoteFigures, seen_total: Decimal | None) -> None:
    if job.state == Job.State.CLOSED:
        raise QuoteRefused(f"Job {job.number} is closed: nothing can be offered on it.")
    if not figures.priced.lines:
        raise QuoteRefused("There is nothing on this quote yet. Add a panel or a line first.")
    if figures.blocked:
        raise QuoteRefused(figures.blocked)
    if quote.valid_until and quote.valid_until < timezone.localdate():
        raise QuoteRefused(f"It is valid until {day(quote.valid_until)}, which is past. Write a later day.")
    total = figures.priced.total.gross
    if seen_total is not None and seen_total != total:
        currency = figures.priced.inputs.terms.currency
        raise QuoteRefused(
            f"The price is {format_money(total, currency)} now, not {format_money(seen_total, currency)} as on the "
            "page you had open: a rate, a sheet or a panel has changed. Look at it, then send."
        )


def _replace_older(quote: Quote, person: Person) -> None:
    """A first quote replaces every open one before it; a further one only those it is a revision of."""
    older = quote.job.quotes.select_for_update().filter(state=Quote.State.SENT).exclude(pk=quote.pk)
    older = older.filter(pk__in=_lineage(quote)) if quote.is_further else older.filter(is_further=False)
    for each in older:
        each.state = Quote.State.REPLACED
        each.save(update_fields=["state"])
        record(person, f"replaced by {quote.letter}", each, job_number=quote.job.number)


def _lineage(quote: Quote) -> list[int]:
    """The quotes that this one revises, however far back."""
    revises = dict(quote.job.quotes.values_list("pk", "revises"))
    found: list[int] = []
    at = quote.revises_id
    while at is not None and at not in found:
        found.append(at)
        at = revises.get(at)
    return found


@transaction.atomic
def withdraw_quote(quote: Quote, person: Person) -> Quote:
    """Take a sent quote back: its link says so and takes no answer. Withdrawing twice does no harm."""
    Job.objects.select_for_update().get(pk=quote.job_id)
    quote = Quote.objects.select_for_update().get(pk=quote.pk)
    if quote.state == Quote.State.WITHDRAWN:
        return quote
    if quote.state != Quote.State.SENT:
        raise QuoteRefused(f"{quote} is {quote.get_state_display().lower()} and cannot be withdrawn.")
    quote.state = Quote.State.WITHDRAWN
    quote.save(update_fields=["state"])
    record(person, "withdrew", quote, job_number=quote.job.number)
    return quote


def email_link(
    quote: Quote, person: Person, *, to: str, words: str, url: str, submission: uuid.UUID | None = None
) -> LinkSent:
    """Send the customer the link of a sent quote by e-mail, once for a press; raises :class:`QuoteRefused`."""
    if quote.state != Quote.State.SENT:
        raise QuoteRefused(
            f"{quote} is {quote.get_state_display().lower()}: there is nothing to answer on its link."
        )
    sent = LinkSent(quote=quote, to=to, person=person, submission=submission)
    did = f"{handed_over()} the link to {to}"[:80]
    try:
        return send_once(
            sent,
            lambda: _mail(quote, to, words, url),
            lambda: record(person, did, quote, job_number=quote.job.number),
        )
    except MailRefused as refusal:
        raise QuoteRefused(str(refusal)) from refusal


def _mail(quote: Quote, to: str, words: str, url: str) -> None:
    shop = quote.frozen["shop"]
    subject = " ".join(f"{shop['name']}: quote {quote.number}, {quote.frozen['job']['title']}".split())
    EmailMessage(
        subject=subject, body=f"{words.strip()}\n\n{url}\n", to=[to],
        reply_to=[shop["email"]] if shop["email"] else None,
    ).send()  # fmt: skip


def usual_words(quote: Quote, *, again: bool) -> str:
    """What the e-mail says unless the owner writes something else."""
    frozen = quote.frozen
    began = "We have not heard from you yet about" if again else "Here is"
    until = day(quote.valid_until, timezone.localdate())
    return (
        f"Dear {frozen['customer']['name']},\n\n{began} our quote for “{frozen['job']['title']}”. You can read it, ask "
        f"about it and answer it on the page below. It is valid until {until}.\n\n{frozen['shop']['name']}"
    )
