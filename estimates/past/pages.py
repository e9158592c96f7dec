"""What the pages of past panels show: the list with its record, and one panel among its like."""

from dataclasses import dataclass
from datetime import timedelta

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet

from estimates import hours
from estimates.hours.calibration import TOTAL
from estimates.models import PastPanel
from estimates.outcome import Outcome, came_out
from estimates.past.over_time import over_time_plot
from estimates.past.record import StageRecord, by_stage, record_of_shop, trials_by_panel
from jobs.drawings.plot import PastPoint, ThisOne, past_panels_plot
from jobs.drawings.scene import Scene
from shop.driver_units import driver_unit
from shop.models import Shop, StageKind

ROWS_A_PAGE = 30
PLOT_STAGE = "gathering"
LATELY = timedelta(days=365)
MOVES_SHOWN = 5


@dataclass(frozen=True, slots=True)
class PastRow:
    """One past panel in the list: its hours at the stage shown, and what was said of it beforehand."""

    past: PastPanel
    hours: float | None
    trial: hours.Trial | None

    @property
    def outcome(self) -> Outcome | None:
        """How it came out against what those before it said; nothing where they said nothing."""
        if self.trial is None:
            return None
        return came_out(self.trial.actual_hours, self.trial.estimated.p50, self.trial.estimated.p80)


@dataclass(frozen=True, slots=True)
class RateMove:
    """A past panel that changed the rate of a stage, for work like itself."""

    past: PastPanel
    move: hours.Move


@dataclass(frozen=True, slots=True)
class PastPage:
    """The list of past panels with the shop's record."""

    page: Page
    rows: tuple[PastRow, ...]
    metals: tuple[str, ...]
    metal: str
    stage: str
    record: tuple[StageRecord, ...]
    moved: tuple[RateMove, ...]
    left_out: tuple[PastPanel, ...]
    over_time: Scene | None
    plot: Scene | None
    count: int


@dataclass(frozen=True, slots=True)
class StageLine:
    """One stage of a past panel: what it asked for, what it took, what was said of it."""

    stage: str
    driver: str
    amount: float
    hours: float | None
    trial: hours.Trial | None
    budget: dict | None

    @property
    def outcome(self) -> Outcome | None:
        """How it came out against what those before it said, or, of a panel left out, against its budget."""
        if not self.hours:
            return None
        if self.trial:
            return came_out(self.hours, self.trial.estimated.p50, self.trial.estimated.p80)
        if self.budget:
            return came_out(self.hours, self.budget["low"], self.budget["high"])
        return None if self.amount else came_out(self.hours, 0, 0)


@dataclass(frozen=True, slots=True)
class OnePast:
    past: PastPanel
    lines: tuple[StageLine, ...]
    total: hours.Trial | None
    stage: str
    plot: Scene | None
    own: tuple[tuple[str, float], ...] = ()


def past_page(shop: Shop, *, metal: str = "", stage: str = "", page: object = 1) -> PastPage:
    """Past panels, newest first, of one metal or all; figures of one stage or of the whole panel."""
    stage = stage if stage in hours.STAGES else ""
    metals = tuple(PastPanel.objects.order_by("metal").values_list("metal", flat=True).distinct())
    metal = metal if metal in metals else ""
    record = record_of_shop(shop)
    trials = trials_by_panel(record)
    rows = _of_metal(metal)
    shown = Paginator(rows.select_related("panel__job"), ROWS_A_PAGE).get_page(page)
    told = [
        trial for trial in record.trials if trial.stage == (stage or TOTAL) and metal in ("", trial.metal)
    ]
    return PastPage(
        page=shown,
        rows=tuple(
            PastRow(row, stage_hours(row, stage), trials.get((str(row.pk), stage or TOTAL))) for row in shown
        ),
        metals=metals, metal=metal, stage=stage, record=tuple(by_stage(record)),
        moved=_moved(record, stage, metal),
        left_out=tuple(PastPanel.objects.exclude(left_out_reason="").select_related("left_out_by")),
        over_time=over_time_plot(told) if told else None,
        plot=_plot(shop, stage or PLOT_STAGE, metal), count=shown.paginator.count,
    )  # fmt: skip


def _moved(record: hours.Calibration, stage: str, metal: str) -> tuple[RateMove, ...]:
    """What changed the rates most in the last year of work; the first panels of a book outweigh it for ever."""
    if not record.moves:
        return ()
    since = max(move.finished_on for move in record.moves) - LATELY
    moves = record.greatest_moves(MOVES_SHOWN, stage=stage, metal=metal, since=since)
    panels = PastPanel.objects.in_bulk([int(move.panel) for move in moves])
    return tuple(RateMove(panels[int(move.panel)], move) for move in moves)


def one_past(past: PastPanel, shop: Shop, stage: str = "") -> OnePast:
    """One past panel: each stage against what was said of it, and the panel among its like."""
    trials = trials_by_panel(record_of_shop(shop))
    key = str(past.pk)
    lines = tuple(
        StageLine(
            name, driver.name, getattr(past, driver.name), getattr(past, f"{name}_hours"),
            trials.get((key, name)), past.estimated.get(name),
        )
        for name, driver in hours.DRIVERS.items()
    )  # fmt: skip
    known = [line.stage for line in lines if line.hours]
    stage = stage if stage in hours.STAGES else next(iter(known), PLOT_STAGE)
    plot = _plot(shop, stage, "", past, trials.get((key, stage)))
    return OnePast(past, lines, trials.get((key, TOTAL)), stage, plot, _own_hours(past))


def _own_hours(past: PastPanel) -> tuple[tuple[str, float], ...]:
    """Hours on stages of the shop's own, by the stages' names."""
    if not past.own_hours:
        return ()
    kinds = StageKind.objects.filter(slug__in=past.own_hours)
    return tuple((kind.name, past.own_hours[kind.slug]) for kind in kinds)


def stage_hours(row: PastPanel, stage: str) -> float | None:
    """Hours of a stage, or of the whole panel where every stage with something to do has its hours."""
    if stage:
        return getattr(row, f"{stage}_hours")
    each = [
        getattr(row, f"{name}_hours")
        for name, driver in hours.DRIVERS.items()
        if getattr(row, driver.name) > 0
    ]
    return sum(each) if each and None not in each else None


def _of_metal(metal: str) -> QuerySet[PastPanel]:
    return PastPanel.objects.filter(metal=metal) if metal else PastPanel.objects.all()


def _plot(
    shop: Shop, stage: str, metal: str, this: PastPanel | None = None, trial: hours.Trial | None = None
) -> Scene | None:
    """Hours of a stage against what it was asked, with one panel's estimate beforehand among them."""
    driver = hours.DRIVERS[stage]
    unit = driver_unit(driver.name, shop.units)
    columns = driver.name, f"{stage}_hours", "name", "left_out_reason", "hand_order"
    points = [
        PastPoint(unit.shown(amount), spent or 0.0, name, bool(reason), hand == 2)
        for amount, spent, name, reason, hand in _of_metal(metal).values_list(*columns)
    ]
    amount = getattr(this, driver.name) if this else 0.0
    mine = None
    if trial and amount > 0:
        mine = ThisOne(unit.shown(amount), trial.estimated.p50, trial.estimated.p80, "as estimated")
    if mine is None and not any(point.driver > 0 and point.hours > 0 for point in points):
        return None
    return past_panels_plot(points, mine, driver=driver.meaning, unit=unit.name)
