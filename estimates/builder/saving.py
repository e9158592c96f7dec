"""Saving what was built: the panel, its pair, and its place on the draft of the job's quote."""

from datetime import datetime

from django.db import IntegrityError, transaction

from estimates.builder.page import BuilderPage
from estimates.builder.reckoning import Standing
from estimates.drafts import QuoteRefused, choose_panels, new_draft
from estimates.models import Quote
from jobs.changes import PanelRefused, add_panel, change_panel
from jobs.forming import ImpossibleShape
from jobs.models import Panel
from shop.models import Person

__all__ = ["REFUSALS", "PanelRefused", "quote_that_holds", "said_of", "save_built", "unread_by_the_quote"]

# What may come of a press that cannot be kept; each says in words what to do, but for the last.
REFUSALS = (PanelRefused, QuoteRefused, ImpossibleShape, IntegrityError)


def said_of(refusal: Exception, standing: Standing) -> str:
    """A refusal in words, lengths in the shop's units."""
    if isinstance(refusal, ImpossibleShape):
        return refusal.say(standing.write)
    if isinstance(refusal, IntegrityError):
        return "Somebody saved this job at the same moment. Save again."
    return str(refusal)


@transaction.atomic
def save_built(page: BuilderPage, person: Person) -> list[Panel]:
    """Save a page that is valid: a new panel and the owner's draft with it, or a changed one.

    Raises what ``jobs.changes`` raises; nothing is saved then.
    """
    panel, pair = page.form.built, page.form.makes_pair
    if panel.pk:
        return change_panel(panel, person, seen=datetime.fromisoformat(page.press.seen), pair=pair)
    panel.code = page.press.code
    made = add_panel(panel, person, pair=pair)
    if person.is_owner:
        _put_on_the_draft(made, person, page)
    return made


def _put_on_the_draft(made: list[Panel], person: Person, page: BuilderPage) -> None:
    """A first panel opens the job's first draft; a later one joins the draft that is open."""
    job = made[0].job
    draft = quote_that_holds(made[0])
    if draft is None and not job.quotes.exists():
        draft = new_draft(job, person, page.standing.shop)
    if draft and (missing := set(made) - set(draft.panels.all())):
        choose_panels(draft, person, [*draft.panels.all(), *missing])


def quote_that_holds(panel: Panel) -> Quote | None:
    """The draft of the panel's job, where there is one."""
    return panel.job.quotes.filter(state=Quote.State.DRAFT).first()


def unread_by_the_quote(panel: Panel) -> str:
    """What saving does not change, in words: a quote that went out stays as it was agreed."""
    gone_out = panel.quotes.filter(state__in=[Quote.State.ACCEPTED, Quote.State.SENT]).select_related("job")
    sent = gone_out.order_by("state").first()
    if sent is None:
        return ""
    number = sent.number
    if sent.state == Quote.State.ACCEPTED:
        return (
            f"The customer has accepted quote {number} for this panel as it was. Its price and its budgeted hours stay "
            "as agreed: what changes here needs a further quote."
        )
    return f"Quote {number} is with the customer and shows this panel as it was. What changes here needs a new revision."
