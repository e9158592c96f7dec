"""What estimates add to the jobs' pages: its quotes, what they wait for, the hours of whole panels, why a panel stays.

Jobs do not know estimates; ``jobs.parts`` is where this room registers what it has to say.
"""

from collections.abc import Sequence

from django.urls import reverse
from django.utils import timezone

from estimates.models import Quote
from estimates.payments import job_statement
from estimates.pricing.money import format_money
from estimates.quoting.figures import currency_of
from estimates.work.standing import correlations, standings
from jobs.models import Job, Panel, Stage
from jobs.parts import NextAction, PanelRange, Part, add_keeper, add_part, add_ranges
from shop.figures import counted, day
from shop.models import Person, Shop


@add_part
def quotes_of_job(job: Job, person: Person) -> Part:
    """The quotes of a job, last first, and what the job waits for while it is being quoted."""
    quotes = list(job.quotes.select_related("answer").order_by("-revision"))
    for quote in quotes:
        quote.job = job
    context = {"job": job, "quotes": quotes, "may_quote": person.is_owner}
    return Part(
        "estimates/_job_quotes.html", context, _waits_for(job, quotes, person) or _open_balance(job, person)
    )


@add_keeper
def sent_quotes_keep_a_panel(panel: Panel) -> str:
    """A quote that has gone out describes the panel; it cannot be unsaid."""
    sent = panel.quotes.exclude(state=Quote.State.DRAFT).select_related("job").first()
    return f"Quote {sent.number}, which was sent, describes it." if sent else ""


@add_ranges
def ranges_of_panels(panels: Sequence[Panel]) -> dict[int, PanelRange]:
    """What each panel as a whole was estimated at, its stages running over together as its quote reckoned."""
    stages = Stage.objects.filter(panel__in=panels).select_related("kind").order_by("kind__position")
    alike = correlations({panel.job_id for panel in panels})
    standing = standings(panels, stages, {}, alike)
    return {each.panel.pk: PanelRange(each.estimated.p50, each.estimated.p80) for each in standing}


def _waits_for(job: Job, quotes: list[Quote], person: Person) -> NextAction | None:
    if job.state not in {Job.State.ENQUIRY, Job.State.QUOTED}:
        return None
    for quote in quotes:
        to_it = (quote.get_absolute_url(), "To the quote") if person.is_owner else ()
        if quote.state == Quote.State.DRAFT and person.is_owner:
            return NextAction(f"Finish quote {quote.number} and send it.", *to_it)
        if quote.state == Quote.State.SENT:
            return NextAction(_waiting(quote), *to_it)
    if not person.is_owner:
        return NextAction("It waits for the owner to quote it.")
    return NextAction("Quote it.", reverse("job", args=[job.number]) + "#quotes", "To its quotes")


def _open_balance(job: Job, person: Person) -> NextAction | None:
    """A closed job that has not been paid for is not forgotten."""
    if job.state != Job.State.CLOSED or not person.is_owner:
        return None
    balance = job_statement(job).balance
    if balance <= 0:
        return None
    said = format_money(balance, currency_of(Shop.standing()), decimals=True)
    return NextAction(
        f"It is closed, and {said} is still to be paid.", reverse("payments", args=[job.number]), "Payments"
    )


def _waiting(quote: Quote) -> str:
    if quote.has_expired:
        return f"Quote {quote.number} held until {day(quote.valid_until)} and was not answered. Ask again."
    waited = (timezone.localdate() - timezone.localtime(quote.sent_at).date()).days
    since = f"{counted(waited, 'day')} ago" if waited else "today"
    return f"The customer has quote {quote.number}, sent {since}. Wait for the answer, or ask."
