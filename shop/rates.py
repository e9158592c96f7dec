"""Stages and what an hour of each is charged at on a given day."""

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal

from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.text import slugify

from shop.audit import record
from shop.keeping import keep
from shop.models import LabourRate, Person, StageKind


def rates_on(on: date) -> dict[int, LabourRate]:
    """The rate of every stage that had one on a day, by the stage kind's key, in one query."""
    rates = LabourRate.objects.filter(holds_from__lte=on).order_by("stage_kind_id", "holds_from")
    return {rate.stage_kind_id: rate for rate in rates}


@transaction.atomic
def set_rate(kinds: Iterable[StageKind], per_hour: Decimal, holds_from: date, person: Person) -> None:
    """Let a rate hold from a day on. A rate of the same stage and day is replaced; sent quotes keep theirs."""
    for kind in kinds:
        old = LabourRate.objects.filter(stage_kind=kind, holds_from=holds_from).first()
        rate, _ = LabourRate.objects.update_or_create(
            stage_kind=kind, holds_from=holds_from, defaults={"per_hour": per_hour}
        )
        record(
            person, "set rate", rate,
            changes={"per_hour": [str(old.per_hour) if old else None, str(per_hour)]},
        )  # fmt: skip


@transaction.atomic
def keep_stage(kind: StageKind, typed: Mapping[str, object], person: Person) -> StageKind:
    """Keep a stage as it was typed. A new one goes last, and is charged at ``per_hour`` from today."""
    new = kind.pk is None
    if new:
        kind.position = (StageKind.objects.aggregate(last=Max("position"))["last"] or 0) + 1
        kind.slug = f"{slugify(kind.name)[:30] or 'stage'}-{kind.position}"
    keep(kind, person, typed.keys() & {field.name for field in kind._meta.fields}, "stage")
    if new:
        set_rate([kind], typed["per_hour"], timezone.localdate(), person)
    return kind
