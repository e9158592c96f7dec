"""Who may set a new book up: whoever can read what its machine prints."""

import hmac

from django.conf import settings
from django.utils.crypto import salted_hmac


def set_up_code() -> str:
    """The code that ``manage.py prepare`` prints while a book on a public address has no shop yet."""
    return salted_hmac("gatherbook.set-up", settings.SECRET_KEY).hexdigest()[:10]


def needs_code() -> bool:
    """A book on loopback can only be reached from its own machine; any other asks for the code."""
    return settings.PRODUCTION


def is_set_up_code(text: str) -> bool:
    return hmac.compare_digest(text.strip().lower(), set_up_code())
