"""Putting a need aside for today, and taking it back. It is a person's own view, so the trail does not keep it."""

import re
from datetime import date

from django.db import transaction

from estimates.models.aside import PutAside
from shop.models import Person

KEY = re.compile(r"[a-z]{2,20}:[0-9]{1,19}")


class NoSuchNeed(Exception):
    """The text is not the name of a need."""


@transaction.atomic
def put_aside(person: Person, key: str, on: date, *, back: bool = False) -> None:
    """Put a need aside for a day, or take it back. Twice is once; what was put aside on earlier days is forgotten."""
    if not KEY.fullmatch(key):
        raise NoSuchNeed("That is not the name of anything that needs you.")
    PutAside.objects.filter(person=person, on__lt=on).delete()
    if back:
        PutAside.objects.filter(person=person, on=on, key=key).delete()
    else:
        PutAside.objects.get_or_create(person=person, on=on, key=key)


def keys_put_aside(person: Person, on: date) -> set[str]:
    return set(PutAside.objects.filter(person=person, on=on).values_list("key", flat=True))
