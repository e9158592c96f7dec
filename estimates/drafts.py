"""Drafts of quotes: making one, changing it, and making a new revision of a sent one.

Every change names the version of the draft it was made from. Where somebody else has changed the draft since, it
is refused with what they did.
"""

import uuid
from collections.abc import Collection
from decimal import Decimal

from django.db import IntegrityError, transaction
from django.db.models import Max
from django.utils import timezone

from estimates.models import LineOverride, Quote, QuoteLine
from estimates.quoting.figures import QuoteFigures, quote_figures
from jobs.models import Job, Panel
from shop.audit import changed, record, snapshot
from shop.models import AuditEntry, Person, Shop

TEXTS = ["intro", "terms", "valid_until", "deposit_percent"]
MOST_LINES = 60  # a quote of more rows than this is two quotes


class QuoteRefused(Exception):
    """The quote cannot be changed like that; the text says why and what to do. ``field`` is the one to mend."""

    def __init__(self, text: str, field: str | None = None):
        self.field = field
        super().__init__(text)


def new_draft(job: Job, person: Person, shop: Shop, submission: uuid.UUID | None = None) -> Quote:
    """Make the next draft of a job's quote, with every panel that is not yet agreed on another.

    A job has one draft at a time: where there is one already it is given back, as it is for a second press.
    """
    if draft := job.quotes.filter(state=Quote.State.DRAFT).first():
        return draft
    try:
        return _new_draft(job, person, shop, submission)
    except IntegrityError:
        if draft := job.quotes.filter(state=Quote.State.DRAFT).first():
            return draft
        raise


@transaction.atomic
def _new_draft(job: Job, person: Person, shop: Shop, submission: uuid.UUID | None) -> Quote:
    job = Job.objects.select_for_update().get(pk=job.pk)
    if job.state == Job.State.CLOSED:
        raise QuoteRefused(f"Job {job.number} is closed. Take in a new enquiry for further work.")
    agreed = job.quotes.filter(state=Quote.State.ACCEPTED)
    quote = Quote.objects.create(
        job=job, revision=next_revision(job), is_further=agreed.exists(), terms=shop.terms,
        confidence=shop.confidence, deposit_percent=shop.deposit_percent, submission=submission,
    )  # fmt: skip
    quote.panels.set(job.panels.exclude(quotes__in=agreed))
    record(person, "made a draft of", quote, job_number=job.number)
    return quote


def next_revision(job: Job) -> int:
    return (job.quotes.aggregate(last=Max("revision"))["last"] or 0) + 1


@transaction.atomic
def make_revision(quote: Quote, person: Person) -> Quote:
    """Copy a sent, declined or withdrawn quote into a draft: panels, lines, the owner's figures, text."""
    job = Job.objects.select_for_update().get(pk=quote.job_id)
    if draft := job.quotes.filter(state=Quote.State.DRAFT).first():
        raise QuoteRefused(f"There is a draft already, {draft}. Finish or discard that one first.")
    if quote.state == Quote.State.ACCEPTED:
        raise QuoteRefused(f"{quote} is accepted. Make a further quote for what has come up since.")
    copied = {name: getattr(quote, name) for name in ("intro", "terms", "confidence", "deposit_percent")}
    revision = Quote.objects.create(
        job=job, revision=next_revision(job), is_further=quote.is_further, revises=quote, **copied
    )
    revision.panels.set(quote.panels.all())
    _copy_lines(quote, revision)
    record(person, "made a new revision of", quote, job_number=job.number)
    return revision


def _copy_lines(old: Quote, new: Quote) -> None:
    """Copy lines and overrides; an override of a line the owner added follows it to the copy's key."""
    keys = {}
    for line in old.lines.all():
        old_key = f"line-{line.pk}"
        line.pk, line.quote, line._state.adding = None, new, True
        line.save()
        keys[old_key] = f"line-{line.pk}"
    for override in old.overrides.all():
        override.line = keys.get(override.line, override.line)
        override.pk, override.quote, override._state.adding = None, new, True
        override.save()


@transaction.atomic
def discard_draft(quote: Quote, person: Person) -> None:
    """Throw a draft away; its number may be given again, since nobody outside has seen it."""
    quote = locked_draft(quote)
    record(person, "discarded", quote, job_number=quote.job.number)
    quote.delete()


def locked_draft(quote: Quote, version: int | None = None) -> Quote:
    """The draft, held for this transaction; refused where it is no draft any more or has changed since."""
    held = (
        Quote.objects.select_for_update(of=("self",))
        .select_related("job__customer")
        .filter(pk=quote.pk)
        .first()
    )
    if held is None:
        raise QuoteRefused("This draft was discarded in the meantime.")
    if held.state != Quote.State.DRAFT:
        raise QuoteRefused(
            f"{held} is {held.get_state_display().lower()} and does not change. Make a new revision."
        )
    if version is not None and version != held.version:
        raise QuoteRefused(_what_changed(held))
    return held


def _what_changed(quote: Quote) -> str:
    last = AuditEntry.objects.filter(model=quote._meta.label_lower, object_id=str(quote.pk)).first()
    did = ""
    if last:
        named = f" “{last.changes['line'][1]}”" if "line" in last.changes else ""
        did = f": {last.who} {last.what}{named} at {timezone.localtime(last.at):%H:%M}"
    return f"The draft was changed while you had it open{did}. Look at it as it is now, then press again."


def touch(quote: Quote, *fields: str) -> None:
    """Save these fields and the next version."""
    quote.version += 1
    quote.save(update_fields=["version", *fields])


@transaction.atomic
def change_texts(quote: Quote, person: Person, values: dict) -> Quote:
    """Change what is offered, terms, validity and deposit."""
    quote = locked_draft(quote)
    before = snapshot(quote, TEXTS)
    for name in TEXTS:
        setattr(quote, name, values[name])
    touch(quote, *TEXTS)
    if changes := changed(before, snapshot(quote, TEXTS)):
        record(person, "changed the text of", quote, changes=changes, job_number=quote.job.number)
    return quote


@transaction.atomic
def price_at(quote: Quote, person: Person, confidence: Decimal, version: int | None = None) -> Quote:
    """Price the hours at another confidence: the middle (0.50) or the high end the shop prices at."""
    quote = locked_draft(quote, version)
    old, quote.confidence = quote.confidence, confidence
    touch(quote, "confidence")
    record(
        person, "priced at another confidence", quote,
        changes={"confidence": [str(old), str(confidence)]}, job_number=quote.job.number,
    )  # fmt: skip
    return quote


@transaction.atomic
def choose_panels(
    quote: Quote, person: Person, panels: Collection[Panel], version: int | None = None
) -> Quote:
    """Say which of the job's panels are on the quote."""
    quote = locked_draft(quote, version)
    before = sorted(str(panel) for panel in quote.panels.select_related("job"))
    if any(panel.job_id != quote.job_id for panel in panels):
        raise QuoteRefused("That panel is of another job.")
    quote.panels.set(panels)
    touch(quote)
    changes = {"panels": [before, sorted(str(panel) for panel in panels)]}
    record(person, "chose the panels of", quote, changes=changes, job_number=quote.job.number)
    return quote


@transaction.atomic
def override_line(
    quote: Quote, person: Person, shop: Shop, line: str, *, reason: str, version: int | None = None,
    low_hours: Decimal | None = None, high_hours: Decimal | None = None, amount: Decimal | None = None,
) -> QuoteFigures:  # fmt: skip
    """Put the owner's own hours (low and high) or price in place of a worked-out figure, and keep why.

    Returns the draft worked out with it.
    """
    quote = locked_draft(quote, version)
    new = {"low_hours": low_hours, "high_hours": high_hours, "amount": amount}
    old = quote.overrides.filter(line=line).first()
    override, _ = LineOverride.objects.update_or_create(
        quote=quote, line=line, defaults={**new, "reason": reason, "person": person}
    )
    touch(quote)
    figures = quote_figures(quote, shop)
    name = line_names(figures).get(line)
    if name is None:
        raise QuoteRefused("That line is not on the quote any more. Look at it as it is now.")
    _refuse_unpriceable(figures)
    _record_figure(quote, person, "changed the figure of", name, _said(old), _said(override), reason)
    return figures


@transaction.atomic
def undo_override(quote: Quote, person: Person, shop: Shop, line: str, version: int | None = None) -> None:
    """Take the owner's figure back: the worked-out one counts again. Undoing twice does no harm."""
    quote = locked_draft(quote, version)
    override = quote.overrides.filter(line=line).first()
    if override is None:
        return
    name, said = line_names(quote_figures(quote, shop)).get(line, line), _said(override)
    override.delete()
    touch(quote)
    _record_figure(quote, person, "took back the figure of", name, said, None, "")


def line_names(figures: QuoteFigures) -> dict[str, str]:
    """Every line that can be overridden, by its key, as a person calls it."""
    names = {
        line.key: f"{line.part.strip()}, {line.name}"
        for line in figures.priced.lines
        if line.kind != "discount"
    }
    for panel in figures.panels:
        names |= {stage.key: f"{panel.part}, {stage.kind.name.lower()}" for stage in panel.stages}
    return names


def _refuse_unpriceable(figures: QuoteFigures) -> None:
    """Refuse, and so take back, a change after which the quote has no price."""
    for problem in figures.problems:
        if problem.unpriceable:
            raise QuoteRefused(problem.text, "amount")


@transaction.atomic
def add_line(
    quote: Quote, person: Person, shop: Shop, line: QuoteLine, version: int | None = None
) -> QuoteLine:
    """Add bought-in work, something else, or a discount with its reason. ``line`` is unsaved, without a place."""
    quote = locked_draft(quote, version)
    if quote.lines.count() >= MOST_LINES:
        raise QuoteRefused(f"A quote holds {MOST_LINES} lines of your own. Put some together.")
    line.quote = quote
    line.position = (quote.lines.aggregate(last=Max("position"))["last"] or 0) + 1
    line.save(force_insert=True)
    touch(quote)
    _refuse_unpriceable(quote_figures(quote, shop))
    record(
        person, f"added {line.get_kind_display().lower()} to", quote, job_number=quote.job.number,
        changes={"line": [None, line.label], "amount": [None, _amount_said(line)], "reason": [None, line.reason]},
    )  # fmt: skip
    return line


@transaction.atomic
def remove_line(quote: Quote, person: Person, pk: int, version: int | None = None) -> None:
    """Take an added line off again."""
    quote = locked_draft(quote, version)
    line = quote.lines.filter(pk=pk).first()
    if line is None:
        return
    quote.overrides.filter(line=f"line-{pk}").delete()
    changes = {"line": [line.label, None], "amount": [_amount_said(line), None]}
    line.delete()
    touch(quote)
    record(person, "took a line off", quote, changes=changes, job_number=quote.job.number)


def _record_figure(quote, person, what, name, old, new, reason) -> None:
    changes = {"line": [None, name], "figure": [old, new], "reason": [None, reason]}
    record(person, what, quote, changes=changes, job_number=quote.job.number)


def _said(override: LineOverride | None) -> str | None:
    if override is None:
        return None
    if override.amount is not None:
        return f"{override.amount.normalize():f}"
    return f"{override.low_hours.normalize():f} to {override.high_hours.normalize():f} h"


def _amount_said(line: QuoteLine) -> str:
    return f"{line.percent.normalize():f} %" if line.percent is not None else f"{line.amount.normalize():f}"
