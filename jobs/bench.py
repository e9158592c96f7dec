"""All that the bench page shows of one stage, gathered in a constant number of queries."""

from dataclasses import dataclass, field
from decimal import Decimal

from django.utils import timezone

from jobs.bench_marks import MinuteTick, minute_ticks, stage_marks
from jobs.clock import undoable
from jobs.drawings.piece import small_piece
from jobs.drawings.rule import hours_rule
from jobs.drawings.scene import Scene
from jobs.drawings.section import section
from jobs.forgotten import is_forgotten, may_be_forgotten
from jobs.forming import ImpossibleShape
from jobs.models import Panel, Photo, Reading, Stage, StageNote, TimeEntry
from jobs.notes import notes_at, other_hand_of
from jobs.panels import work_of
from jobs.passes import PassRow, rows_of
from jobs.progress import goes_by_passes
from jobs.rack import blank_size
from jobs.reading_log import ReadingRow, rows_said
from jobs.readings import CHECK_HEIGHT, Check, Standing, next_check, standing_of
from jobs.standing_of_stage import hours_by_stage
from jobs.time_entries import ClockRefused, refuse_where_shut, running_entry, with_names
from shop.figures import hours_over
from shop.lengths import format_blank, format_length
from shop.models import Person, Shop, StageKind

PHOTOS_SHOWN = 4
READINGS_SHOWN = 12
RULE_WIDTH = 374.0
CHECK_WIDTH = 354.0


@dataclass(frozen=True, slots=True)
class Sibling:
    """A stage of the same panel, for the links and the strip."""

    stage: Stage
    used: Decimal
    here: bool


@dataclass(frozen=True, slots=True)
class ClockPlate:
    """What the clock shows: running here, running elsewhere, or stopped."""

    running: TimeEntry | None = None
    here: bool = False
    forgotten: bool = False
    last: TimeEntry | None = None
    can_undo: bool = False
    others: tuple[TimeEntry, ...] = ()
    ticks: tuple[MinuteTick, ...] = ()


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing to work to, with its head and a few words."""

    head: str
    words: str
    drawing: Scene


@dataclass(slots=True)
class Bench:
    """One stage at the bench."""

    stage: Stage
    panel: Panel
    siblings: list[Sibling]
    used: Decimal
    clock: ClockPlate
    shut: str = ""
    rule: Scene | None = None
    strip: Scene | None = None
    by_passes: bool = False
    passes: list[PassRow] = field(default_factory=list)
    next_pass: PassRow | None = None
    check: Check | None = None
    standing: Standing | None = None
    notes: list[StageNote] = field(default_factory=list)
    other: Panel | None = None
    other_stage: Stage | None = None
    photos: list[Photo] = field(default_factory=list)
    readings_said: list[ReadingRow] = field(default_factory=list)
    picture: Picture | None = None

    @property
    def counts_in_doubt(self) -> bool:
        """Whether hours of a clock that may be forgotten are among those used."""
        here = (self.clock.running,) if self.clock.here else ()
        return any(may_be_forgotten(entry) for entry in (*here, *self.clock.others))

    @property
    def done_percent(self) -> int:
        return round(self.stage.progress * 100)

    @property
    def over_hours(self) -> Decimal:
        """Hours past the high end of the range; nought where there is no range."""
        return hours_over(self.used, self.stage.budget_high_hours)


def stage_with_names(code: str) -> Stage | None:
    """A stage by its code, with panel, job, metal and kind."""
    rows = Stage.objects.select_related("kind", "panel__job", "panel__metal", "panel__mirrors__job")
    return rows.filter(code=code).first()


def bench_of(stage: Stage, person: Person, shop: Shop, kind: str = "", value: str = "") -> Bench:
    """Gather the bench of a stage for a person.

    ``kind`` picks what the next check measures, ``value`` is what stands in its field so far.
    """
    panel = stage.panel
    spent = hours_by_stage([panel])
    siblings = [
        Sibling(one, spent.get(one.pk, Decimal(0)), one.pk == stage.pk)
        for one in Stage.objects.filter(panel=panel).select_related("kind")
    ]
    bench = Bench(
        stage, panel, siblings, spent.get(stage.pk, Decimal(0)), _plate(stage, person), _why_shut(stage)
    )
    bench.rule, bench.strip = _hours_rule(stage, bench.used), stage_marks(siblings)
    bench.by_passes = goes_by_passes(stage)
    bench.other = other_hand_of(panel)
    if bench.other:
        bench.other_stage = Stage.objects.filter(panel=bench.other, kind=stage.kind_id).first()
    bench.notes = notes_at(stage, bench.other)
    bench.photos = list(
        Photo.objects.filter(panel=panel, stage=stage).select_related("taken_by")[:PHOTOS_SHOWN]
    )
    _measure(bench, person, shop, kind, value)
    return bench


def _measure(bench: Bench, person: Person, shop: Shop, kind: str, value: str) -> None:
    """Passes, what to check next, and what the readings so far say."""
    readings = list(Reading.objects.filter(panel=bench.panel).select_related("person"))
    standing = bench.standing = standing_of(bench.panel, readings, shop)
    if standing is not None:
        bench.readings_said = rows_said(readings, shop, person)[:READINGS_SHOWN]
        if bench.by_passes:
            bench.passes = rows_of(bench.panel, standing.passes)
            bench.next_pass = next((row for row in bench.passes if not row.done), None)
    if bench.stage.done_at:
        return
    if standing is None or bench.stage.kind.driver == StageKind.Driver.LAYOUT_M:
        bench.picture = _picture(bench, standing, shop)
        return
    number = bench.next_pass.number if bench.next_pass else None
    bench.check = next_check(bench.panel, standing, number, shop, kind, value)


def _picture(bench: Bench, standing: Standing | None, shop: Shop) -> Picture | None:
    """What to work to where nothing is measured by passes: the blank to cut, or the finished section."""
    panel, room = bench.panel, {"width": CHECK_WIDTH, "height": CHECK_HEIGHT}
    try:
        work = standing.work if standing else work_of(panel)
    except ImpossibleShape:
        return None
    if bench.stage.kind.driver == StageKind.Driver.LAYOUT_M:
        piece = small_piece(work, mirrored=panel.is_mirrored, name="The blank", **room)
        blank = blank_size(panel)
        return Picture(
            "Mark and cut", f"blank {format_blank(blank.length_mm, blank.width_mm, shop.units)}", piece
        )
    drawn = section(
        work, write_length=lambda mm: format_length(mm, shop.units), mirrored=panel.is_mirrored, **room
    )
    return Picture("Work to this", "finished section", drawn)


def _plate(stage: Stage, person: Person) -> ClockPlate:
    running = running_entry(person)
    mine = TimeEntry.objects.filter(stage=stage, person=person, source=TimeEntry.Source.CLOCK)
    last = None if running else with_names(mine).first()
    others = with_names(TimeEntry.objects.filter(stage=stage, ended_at=None)).exclude(person=person)
    here = bool(running and running.stage_id == stage.pk)
    return ClockPlate(
        running=running,
        here=here,
        forgotten=bool(running and is_forgotten(running)),
        last=last,
        can_undo=undoable(last, person),
        others=tuple(others),
        ticks=minute_ticks(timezone.now() - running.started_at if here else None),
    )


def _why_shut(stage: Stage) -> str:
    try:
        refuse_where_shut(stage)
    except ClockRefused as refusal:
        return str(refusal)
    return ""


def _hours_rule(stage: Stage, used: Decimal) -> Scene | None:
    """The rule with the stage's range; nothing while there is no range to show."""
    low, high = float(stage.budget_low_hours), float(stage.budget_high_hours)
    if not high:
        return None
    return hours_rule(max(high * 1.15, 1.0), low, high, float(used), width=RULE_WIDTH)
