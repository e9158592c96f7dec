"""E-mail to a customer: handed over once for a press, and only said to be sent where it was."""

import logging
from collections.abc import Callable
from smtplib import SMTPException
from typing import TypeVar

from django.db import IntegrityError, models, transaction

from shop.outside import mail_goes_out

log = logging.getLogger(__name__)
Sent = TypeVar("Sent", bound=models.Model)
COPY_THE_LINK = "copy the link into a message of your own"


class MailRefused(Exception):
    """Nothing was sent; the text says why."""


def send_once(
    sent: Sent, hand_over: Callable[[], None], note: Callable[[], None], *, instead: str = COPY_THE_LINK
) -> Sent:
    """Hand a message over, once for a press, and ``note`` it in the trail; return the row that remembers the press.

    The row (not saved yet) is written first and taken away again where the mail server refuses, so that a second press
    at the same moment sends nothing and a later one may try again. ``instead`` says what else can be done then. Raises
    :class:`MailRefused`.
    """
    try:
        with transaction.atomic():
            sent.save(force_insert=True)
    except IntegrityError:
        return type(sent)._default_manager.get(submission=sent.submission)
    try:
        hand_over()
    except (OSError, SMTPException) as error:
        log.warning("The mail server refused %s: %s", sent, error)
        sent.delete()
        raise MailRefused(
            f"The mail server did not take it. Nothing was sent; try again, or {instead}."
        ) from error
    note()
    return sent


def handed_over() -> str:
    """What was done with a message, for the trail: written where no mail server is set, sent where one is."""
    return "sent" if mail_goes_out() else "wrote an e-mail with"
