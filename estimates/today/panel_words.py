"""Panels in work in words: which stage, which pass, who is on it, what it waits for."""

from dataclasses import dataclass
from datetime import date

from django.utils.safestring import SafeString

from estimates.work.in_work import InWork, Passes
from estimates.work.standing import PanelStanding
from jobs.drawings.scene import Scene
from jobs.models import Panel, TimeEntry
from jobs.pieces import piece_of
from shop.gauges import sold_as
from shop.models import StageKind


@dataclass(frozen=True, slots=True)
class PanelRow:
    """One panel on Today: its piece, its words, its strip, its hours and its date."""

    standing: PanelStanding
    piece: SafeString
    stage_words: str
    more_words: str
    strip: Scene
    sentence: str
    due: date | None
    late: bool

    @property
    def panel(self) -> Panel:
        return self.standing.panel


def panel_row(
    standing: PanelStanding, work: InWork, scale_hours: float, waiting: set[int], today: date, units: str
) -> PanelRow:
    """Put a panel's row together; ``waiting`` holds the panels whose metal neither rack nor order covers."""
    panel = standing.panel
    people = work.on_it(panel)
    waits = panel.pk in waiting
    due = panel.job.deadline
    return PanelRow(
        standing=standing,
        piece=piece_of(panel, ghost=waits, picked=bool(people)),
        stage_words=stage_words(standing, work.passes.get(panel.pk, Passes()), waits),
        more_words=_at_work(people, work.doubted(panel)) if people else _plain(panel, work, units),
        strip=standing.strip(scale_hours),
        sentence=standing.sentence(),
        due=due,
        late=bool(due and due < today),
    )  # fmt: skip


def stage_words(standing: PanelStanding, passes: Passes, waits_for_sheet: bool) -> str:
    """Where a panel stands: Gathering, pass 5 of 8."""
    now = standing.now
    if now is None:
        return "Every stage is done"
    if waits_for_sheet and not any(stage.used or stage.progress for stage in standing.stages):
        return "Waiting for sheet"
    name = now.stage.kind.name
    begun = now.used or now.progress
    count = standing.panel.pass_count
    if begun and now.stage.kind.driver == StageKind.Driver.MOVED_DM2 and count:
        return f"{name}, pass {min(passes.done + 1, count)} of {count}"
    if begun:
        return f"{name}, {float(now.progress):.0%} done" if now.progress else name
    before = [stage.stage.kind.name for stage in standing.stages if stage.is_done]
    return f"{before[-1]} done, next {name.lower()}" if before else f"Next: {name.lower()}"


def _at_work(people: list[str], doubted: list[TimeEntry]) -> str:
    """Who is on it, and whose clock counts there though it may be forgotten."""
    forgotten = sorted(str(entry.person) for entry in doubted)
    there = [name for name in people if name not in forgotten]
    said = [f"{' and '.join(there)} {'is' if len(there) == 1 else 'are'} on it"] if there else []
    return " · ".join([*said, *(f"{name}’s clock may be forgotten" for name in forgotten)])


def _plain(panel: Panel, work: InWork, units: str) -> str:
    metal = f"{panel.metal} {sold_as(panel.thickness_mm, panel.metal.family, units)}"
    if panel.mirrors_id:
        first = next((one.panel for one in work.panels if one.panel.pk == panel.mirrors_id), None)
        if first:
            return f"mirror of {first.mark} · {metal}"
    return f"{metal} · {panel.job.customer}"
