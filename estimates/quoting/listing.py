"""The list of quotes: waiting, drafts, answered."""

from dataclasses import dataclass

from django.db.models import Count, QuerySet

from estimates.models import Quote

State = Quote.State
VIEWS = {
    "waiting": ("Waiting", (State.SENT,), ("sent_at", "pk")),
    "drafts": ("Drafts", (State.DRAFT,), ("-created_at", "-pk")),
    "answered": ("Answered", (State.ACCEPTED, State.DECLINED), ("-answer__at", "-pk")),
    "past": ("Withdrawn and replaced", (State.WITHDRAWN, State.REPLACED), ("-sent_at", "-pk")),
}


@dataclass(frozen=True, slots=True)
class View:
    """One of the words above the list, with how many quotes stand behind it."""

    value: str
    words: str
    count: int


def known_view(value: str) -> str:
    """The view an address names, or those waiting."""
    return value if value in VIEWS else "waiting"


def views_with_counts() -> list[View]:
    """Every view with its count, in one query."""
    counts = dict(Quote.objects.order_by().values_list("state").annotate(Count("pk")))
    return [
        View(value, words, sum(counts.get(state, 0) for state in states))
        for value, (words, states, _) in VIEWS.items()
    ]


def listed(view: str) -> QuerySet[Quote]:
    """The quotes of a view, those that have waited longest first; what they were made from is left in the book."""
    _, states, order = VIEWS[view]
    quotes = Quote.objects.filter(state__in=states).order_by(*order)
    return quotes.select_related("job__customer", "answer").defer("frozen", "intro", "terms")
