"""What has gone into stages and panels so far: hours and metal, in a constant number of queries."""

from collections.abc import Iterable
from decimal import Decimal

from django.db.models import Sum
from django.utils import timezone

from jobs.models import MaterialUse, Panel, TimeEntry
from jobs.time_entries import hours_between

NOTHING = Decimal("0")


def hours_by_stage(panels: Iterable[Panel]) -> dict[int, Decimal]:
    """Hours on each stage of some panels by the stage's primary key, running clocks counted up to now.

    ``panels`` is a query of panels or a list of them. Stages without hours are left out: read with
    ``.get(pk, 0)``. Two queries: the sums in the database, and the few clocks that run.
    """
    entries = TimeEntry.objects.filter(stage__panel__in=panels).order_by()
    booked = entries.exclude(hours=None).values("stage").annotate(sum=Sum("hours"))
    spent = {row["stage"]: row["sum"] for row in booked}
    now = timezone.now()
    for stage_id, started_at in entries.filter(ended_at=None).values_list("stage", "started_at"):
        spent[stage_id] = spent.get(stage_id, NOTHING) + max(hours_between(started_at, now), NOTHING)
    return spent


def metal_cost(panels: Iterable[Panel]) -> dict[int, Decimal]:
    """What the metal cut for each panel cost, by the panel's primary key; panels without any are left out."""
    used = MaterialUse.objects.filter(panel__in=panels).order_by().values("panel").annotate(sum=Sum("cost"))
    return {row["panel"]: row["sum"] for row in used}
