"""Keeping the shop's standing data: one way to save a row with its trail."""

from collections.abc import Iterable

from django.db import models, transaction

from shop.audit import changed, record, snapshot
from shop.models import Person


@transaction.atomic
def keep(
    thing: models.Model, person: Person, fields: Iterable[str], what: str, named: str = ""
) -> models.Model:
    """Save a row, new or changed, and record it as ``what`` (a metal, a sheet) with the old and new values."""
    fields = list(fields)
    before = snapshot(type(thing)._default_manager.get(pk=thing.pk), fields) if thing.pk else {}
    thing.save()
    changes = changed(before, snapshot(thing, fields)) if before else {}
    if not before or changes:
        record(person, f"{'changed' if before else 'added'} {what}", thing, changes=changes, named=named)
    return thing
