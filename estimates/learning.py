"""What the shop's past panels teach: the bridge between stored panels and the hours model."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from functools import lru_cache

from django.db.models import Count, Max

from estimates import hours
from estimates.models import PastPanel
from jobs.models import Panel
from shop.models import Shop, StageKind

MODELS_KEPT = 4  # today's, and those of a few other days that a page of past estimates may ask for


def shop_model(shop: Shop, on: date, kinds: list[StageKind] | None = None) -> hours.Model:
    """The hours model as the shop knows it on a day: first rates outweighed by its past panels.

    Learning is kept until a rate or a past panel changes; asking again costs two small queries.
    """
    rates = first_rates(shop, stage_kinds() if kinds is None else kinds)
    taught = PastPanel.objects.aggregate(count=Count("pk"), last=Max("changed_at"))
    return _learned(rates, taught["count"], taught["last"], on, shop.history_half_life_days)


@lru_cache(maxsize=MODELS_KEPT)
def _learned(rates, _count, _last_change, on, half_life_days):
    return hours.learn(past_panels(), rates, on=on, half_life_days=half_life_days)


def stage_kinds() -> list[StageKind]:
    """The stages in use, in order."""
    return list(StageKind.objects.filter(in_use=True))


def own_stages(kinds: Iterable[StageKind]) -> list[StageKind]:
    """Those of the stages that are the shop's own: a panel has them or not."""
    return [kind for kind in kinds if kind.driver == StageKind.Driver.FIXED]


def first_rates(shop: Shop, kinds: list[StageKind]) -> tuple[hours.FirstRate, ...]:
    """The shop's stored first rates for the four stages that have a driver."""
    stored = {kind.slug: kind for kind in kinds}
    return tuple(
        replace(
            assumed,
            hours_per_unit=stored[assumed.stage].hours_per_unit,
            spread=stored[assumed.stage].spread,
            rate_spread=stored[assumed.stage].rate_spread,
            second_hand_factor=float(shop.second_hand_factor),
        )
        if assumed.stage in stored
        else assumed
        for assumed in hours.FIRST_RATES
    )


def past_panels() -> list[hours.PastPanel]:
    """Every past panel as the model reads it, oldest first."""
    return [as_past_panel(row) for row in PastPanel.objects.order_by("finished_on", "pk")]


def as_past_panel(row: PastPanel) -> hours.PastPanel:
    """One stored past panel as the model reads it; ``str(row.pk)`` stands for its name, which may repeat."""
    return hours.PastPanel(
        panel=str(row.pk),
        finished_on=row.finished_on,
        drivers=hours.Drivers(
            layout_m=row.layout_m,
            moved_dm2=row.moved_dm2,
            worked_dm2=row.worked_dm2,
            finished_dm2=row.finished_dm2,
            metal=row.metal,
            method=row.method,
            finish=row.finish,
            hand_order=row.hand_order,
        ),
        layout_hours=row.layout_hours or None,  # no hours at all means that nobody wrote them down
        gathering_hours=row.gathering_hours or None,
        blending_hours=row.blending_hours or None,
        smoothing_hours=row.smoothing_hours or None,
        left_out_reason=row.left_out_reason,
        own_hours=tuple(sorted(row.own_hours.items())),
    )


def drivers_of(panel: Panel) -> hours.Drivers:
    """What a panel asks of each stage. Metals are told apart by family: alloys share a rate."""
    return hours.Drivers(
        layout_m=panel.layout_m,
        moved_dm2=panel.moved_dm2,
        worked_dm2=panel.worked_dm2,
        finished_dm2=panel.finished_dm2,
        metal=panel.metal.family,
        method=panel.method,
        finish=panel.finish,
        hand_order=panel.hand_order,
    )


def said_hours(kind: StageKind) -> tuple[float, float] | None:
    """The range the owner gave a stage of the shop's own; nothing where none is given yet."""
    low, high = kind.fixed_low_hours, kind.fixed_high_hours
    return None if low is None or high is None else (float(low), float(high))


def hours_of(panel: Panel, model: hours.Model, kinds: list[StageKind]) -> hours.PanelHours:
    """The hours of a panel, stage by stage, its stages of the shop's own among them."""
    own = [
        model.own_stage(kind.slug, said_hours(kind))
        for kind in own_stages(kinds)
        if kind.slug in panel.own_stages
    ]
    return model.estimate(drivers_of(panel), own_stages=own)
