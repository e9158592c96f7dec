"""Quotes, what the customer answered, what was paid, and the panels the shop learned from."""

from estimates.models.history import PastPanel
from estimates.models.payments import Payment
from estimates.models.quotes import Answer, LineOverride, Question, Quote, QuoteLine

__all__ = ["Answer", "LineOverride", "PastPanel", "Payment", "Question", "Quote", "QuoteLine"]
