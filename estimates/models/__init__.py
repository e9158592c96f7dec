"""Quotes, what the customer answered, what was paid, and the panels the shop learned from."""

from estimates.models.answers import Answer, LinkSent, Question
from estimates.models.aside import PutAside
from estimates.models.going_out import CalendarLink, ProgressSent, StatementSent
from estimates.models.history import PastPanel
from estimates.models.payments import Payment
from estimates.models.quotes import FrozenQuote, LineOverride, Quote, QuoteLine

__all__ = [
    "Answer",
    "CalendarLink",
    "FrozenQuote",
    "LineOverride",
    "LinkSent",
    "PastPanel",
    "Payment",
    "ProgressSent",
    "PutAside",
    "Question",
    "Quote",
    "QuoteLine",
    "StatementSent",
]
