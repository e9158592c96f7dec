"""What tests of quotes begin with: a draft for the cast's one panel, a sent quote, and posts that carry its version."""

from decimal import Decimal

from estimates.drafts import add_line, new_draft
from estimates.models import Quote, QuoteLine
from estimates.sending import send_quote


def bought_in(label: str = "Plating", amount: str = "100", **more) -> QuoteLine:
    return QuoteLine(kind=QuoteLine.Kind.BOUGHT_IN, label=label, amount=Decimal(amount), **more)


def discount(amount: str = "0", percent: str | None = None, reason: str = "Came back") -> QuoteLine:
    return QuoteLine(
        kind=QuoteLine.Kind.DISCOUNT, label="Discount", amount=Decimal(amount),
        percent=Decimal(percent) if percent else None, reason=reason,
    )  # fmt: skip


def sent_quote(job, owner, shop, *lines: QuoteLine) -> Quote:
    """A quote of the job's panels and these lines, sent."""
    draft = new_draft(job, owner, shop)
    for line in lines:
        add_line(draft, owner, shop, line)
    return send_quote(draft, owner, shop)


def address(quote: Quote, rest: str = "") -> str:
    return f"/jobs/{quote.job.number}/quotes/{quote.revision}/{rest}"


def version(quote: Quote) -> int:
    return Quote.objects.values_list("version", flat=True).get(pk=quote.pk)
