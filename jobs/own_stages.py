"""The stages of the shop's own that a panel goes through, once it is at the bench.

Until a quote is accepted, the choice is a list on the panel and nothing more. From then on the panel has its stages,
and they follow the choice: one that is taken in gets a stage, and one that is left out loses it, unless something was
done there. What was agreed with the customer does not change with it.
"""

from collections.abc import Collection, Mapping
from decimal import Decimal

from django.db.models import Exists, OuterRef, Q

from jobs.models import Panel, Photo, Stage, StageNote, TimeCorrection, TimeEntry
from shop.models import StageKind

NOTHING = Decimal(0)


def put_at_the_bench(wanted: Mapping[Panel, Collection[str]]) -> list[Stage]:
    """Give each panel a stage for each of these slugs that it lacks, in three queries.

    The hours are the owner's own range for it, nought where there is none yet: nobody has agreed to them.
    """
    slugs = {slug for each in wanted.values() for slug in each}
    if not slugs:
        return []
    kinds = StageKind.objects.filter(slug__in=slugs, in_use=True, driver=StageKind.Driver.FIXED)
    standing = set(Stage.objects.filter(panel__in=wanted, kind__in=kinds).values_list("panel", "kind"))
    return Stage.objects.bulk_create(
        Stage(
            panel=panel, kind=kind,
            budget_low_hours=kind.fixed_low_hours or NOTHING, budget_high_hours=kind.fixed_high_hours or NOTHING,
        )
        for kind in kinds
        for panel, each in wanted.items()
        if kind.slug in each and (panel.pk, kind.pk) not in standing
    )  # fmt: skip


def why_stages_stay(panel: Panel, slugs: Collection[str]) -> str:
    """What was done at these stages of a panel or of the hand that mirrors it, in a sentence; nothing where they may go.

    One query.
    """
    of_stage = {"stage": OuterRef("pk")}
    corrected = TimeCorrection.objects.filter(old_stage=OuterRef("pk"))
    signs = [Exists(model.objects.filter(**of_stage)) for model in (TimeEntry, StageNote, Photo)]
    worked = Q(progress__gt=0) | Q(started_at__isnull=False) | Q(done_at__isnull=False) | Q(Exists(corrected))
    for sign in signs:
        worked |= Q(sign)
    found = _of_both_hands(panel, slugs).filter(worked).select_related("kind", "panel__job").first()
    if found is None:
        return ""
    return (
        f"{found.kind.name} of {found.panel.mark} has work in the book, so it cannot be left out. Tick it again, or take "
        "what is booked there to another stage first."
    )


def take_off_the_bench(panel: Panel, slugs: Collection[str]) -> None:
    """Take these stages off a panel and the hand that mirrors it. Nothing may rest on them (:func:`why_stages_stay`)."""
    _of_both_hands(panel, slugs).delete()


def _of_both_hands(panel: Panel, slugs: Collection[str]):
    stages = Stage.objects.filter(kind__slug__in=slugs, kind__driver=StageKind.Driver.FIXED)
    return stages.filter(Q(panel=panel) | Q(panel__mirrors=panel))
