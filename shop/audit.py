"""Keeping the trail: every action that changes something records who did it and what the old value was."""

from datetime import date, datetime
from decimal import Decimal

from django.db import models
from django.db.models import QuerySet

from shop.models import AuditEntry, Person

# Models whose rows are named by what was paid or is charged.
AMOUNT_IN_NAME = ("estimates.payment", "shop.labourrate")


def record(
    person: Person | None,
    what: str,
    thing: models.Model,
    *,
    changes: dict[str, list] | None = None,
    job_number: str = "",
    who: str = "",
    named: str = "",
) -> AuditEntry:
    """Add one entry. Call it inside the transaction of the change itself.

    ``changes`` maps a field to ``[old, new]``; ``who`` names somebody who has no account, such as a customer;
    ``named`` says what the thing is where that takes the shop's units.
    """
    return AuditEntry.objects.create(
        person=person,
        who=(who or str(person or "the shop's machine"))[:80],
        what=what,
        model=thing._meta.label_lower,
        object_id=str(thing.pk),
        thing=(named or str(thing))[:160],
        job_number=job_number,
        changes=changes or {},
    )


def trail_for(person: Person) -> QuerySet[AuditEntry]:
    """The entries that may be shown to a person by name: a shaper is not told what was paid or is charged.

    What an entry changed (``changes``) may hold any amount and is shown to owners only.
    """
    entries = AuditEntry.objects.all()
    return entries if person.is_owner else entries.exclude(model__in=AMOUNT_IN_NAME)


def snapshot(thing: models.Model, fields: list[str]) -> dict[str, object]:
    """The values of ``fields`` as the trail writes them: take one before a change and one after."""
    return {name: _plain(getattr(thing, name)) for name in fields}


def changed(before: dict[str, object], after: dict[str, object]) -> dict[str, list]:
    """What differs between two snapshots, as ``{field: [old, new]}``.

    >>> changed({"a": 1, "b": 2}, {"a": 1, "b": 3})
    {'b': [2, 3]}
    """
    return {name: [before.get(name), value] for name, value in after.items() if before.get(name) != value}


def _plain(value: object) -> object:
    match value:
        case None | bool() | int() | float() | str() | list() | dict():
            return value
        case Decimal():
            return f"{value.normalize():f}"  # 23 and 23.00 are one value
        case datetime() | date():
            return value.isoformat()
        case _:
            return str(value)
