"""Presses that arrive late: a phone without signal keeps them and sends them with the time they were made."""

from datetime import datetime, timedelta

from django.utils import timezone

KEPT_FOR = timedelta(hours=24)
# A phone's clock may be a little ahead of the shop's; such a press counts as made now.
AHEAD = timedelta(minutes=2)


class PressRefused(Exception):
    """The time of a press cannot be taken; the text says why and what to do instead."""


def pressed_at(text: str, kept_for: timedelta = KEPT_FOR) -> datetime | None:
    """Read when something was pressed, from a page's ``pressed_at``; nothing where it was pressed just now.

    Only the last 24 hours are taken, or what ``kept_for`` allows, and never a time to come, so that a phone with a
    wrong clock cannot rewrite the week.
    """
    if not text:
        return None
    try:
        moment = datetime.fromisoformat(text.strip()[:40])
    except ValueError as error:
        raise PressRefused("The time of this press cannot be read. Enter it by hand.") from error
    now = timezone.now()
    if timezone.is_naive(moment):
        raise PressRefused("The time of this press has no time zone. Enter it by hand.")
    if moment > now + AHEAD:
        raise PressRefused(
            "This press says it was made in the future. Set the phone's clock, then enter it by hand."
        )
    if moment < now - kept_for:
        age = "a day" if kept_for == KEPT_FOR else f"{kept_for.days} days"
        raise PressRefused(f"This press is more than {age} old. Enter it by hand, with its day.")
    return min(moment, now)
