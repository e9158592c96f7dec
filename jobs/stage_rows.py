"""The stages of panels with their hours, and the strips drawn from them."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from jobs.drawings.scene import Scene
from jobs.drawings.strip import StageHours, hours_scale, stage_strip
from jobs.models import Panel, Stage
from jobs.parts import PanelRange
from jobs.standing_of_stage import hours_by_stage
from shop.figures import hours_over

NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class StageRow:
    """A stage with its hours so far."""

    stage: Stage
    hours: Decimal

    @property
    def over(self) -> Decimal:
        """Hours past the high end of the range; nothing where the stage has no range."""
        return hours_over(self.hours, self.stage.budget_high_hours)

    @property
    def percent(self) -> int:
        return int(self.stage.progress * 100)

    def drawn(self) -> StageHours:
        """The stage as a strip draws it."""
        stage = self.stage
        low, high = float(stage.budget_low_hours), float(stage.budget_high_hours)
        return StageHours(
            stage.kind.slug, stage.kind.name, low, high, float(self.hours), float(stage.progress)
        )


def stage_rows(panels: Sequence[Panel]) -> dict[int, tuple[StageRow, ...]]:
    """The stages of each panel in their order, by the panel's primary key, in three queries."""
    by_pk = {panel.pk: panel for panel in panels}
    found: dict[int, list[StageRow]] = {pk: [] for pk in by_pk}
    stages = Stage.objects.filter(panel__in=by_pk).select_related("kind").order_by("kind__position")
    spent = hours_by_stage(by_pk)
    for stage in stages:
        stage.panel = by_pk[stage.panel_id]
        found[stage.panel_id].append(StageRow(stage, spent.get(stage.pk, NOTHING)))
    return {pk: tuple(rows) for pk, rows in found.items()}


def hours_in(rows: Sequence[StageRow]) -> Decimal:
    return sum((row.hours for row in rows), NOTHING)


def shared_scale(panels: Sequence[tuple[Sequence[StageRow], PanelRange | None]]) -> float:
    """The scale that the strips of a page share."""
    return hours_scale(*(max(span.high, float(hours_in(rows))) for rows, span in panels if span))


def strip_of(
    rows: Sequence[StageRow], span: PanelRange | None, scale_hours: float, width: float
) -> Scene | None:
    """The strip of a panel; nothing where the range of the whole panel is not known."""
    if span is None:
        return None
    return stage_strip([row.drawn() for row in rows], span.low, span.high, scale_hours, width=width)
