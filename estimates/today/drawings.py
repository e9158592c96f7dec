"""Two drawings of Today: the days with what falls on them, and a sheet with its pieces laid out."""

import math
from collections.abc import Iterable, Sequence
from datetime import date
from functools import lru_cache

from estimates.work.dates import Expected
from estimates.work.in_work import deadlines
from estimates.work.standing import JobStanding
from jobs.cutting import CutSheet, Rectangle
from jobs.drawings.letters import Box
from jobs.drawings.place import fitted
from jobs.drawings.rule import DayMark, days_rule
from jobs.drawings.scene import Area, Item, Path, Run, Scene, bounds, filled_box, rectangle
from jobs.forming import ImpossibleShape
from jobs.forming.result import Arc, Straight
from jobs.models import Job, Panel
from jobs.panels import work_of
from jobs.sheets_needed import SheetsToOrder

RULE_DAYS = 21
SHEET_WIDTH = 110.0
SHEET_HEIGHT = 62.0
MARKS_SHOWN = 14  # more do not fit below a rule of three weeks; the words say the rest


def short_number(job: Job, today: date) -> str:
    """A job's number as it is said within its year: 014. Jobs of other years keep theirs."""
    return f"{job.count:03d}" if job.year == today.year else job.number


def rule_of_days(
    today: date, jobs: Sequence[JobStanding], expected: Iterable[Expected], orders: Iterable[SheetsToOrder],
    no_work: set[date],
) -> Scene:  # fmt: skip
    """Three weeks from today with the jobs' deadlines and the days sheets are needed by."""
    tight = {one.job.pk for one in expected if one.at_risk}
    marks = [
        DayMark(due, short_number(standing.job, today), _few(standing.job.title), standing.job.pk in tight)
        for due, standing in deadlines(tuple(jobs))
    ]
    marks += [
        DayMark(order.needed_by, f"{order.metal} {order.thickness_mm:g}", "sheet")
        for order in orders
        if order.needed_by
    ]
    on_it = [mark for mark in marks if 0 <= (mark.on - today).days < RULE_DAYS]
    shown = sorted(on_it, key=lambda mark: mark.on)[:MARKS_SHOWN]
    return _ruled(today, tuple(shown), frozenset(no_work))


@lru_cache(maxsize=16)
def _ruled(today: date, marks: tuple[DayMark, ...], no_work: frozenset[date]) -> Scene:
    """Hanging labels so that none touch takes time; the same days with the same marks hang the same."""
    return days_rule(today, RULE_DAYS, marks, no_work)


def overdue(today: date, jobs: Sequence[JobStanding]) -> list[Job]:
    """Jobs whose date lies before the rule begins: they cannot hang from it."""
    return [standing.job for due, standing in deadlines(tuple(jobs)) if due < today]


def _few(title: str) -> str:
    return title if len(title) <= 24 else title[:23].rsplit(" ", 1)[0] + "…"


def sheet_layout(sheet: CutSheet) -> Scene:
    """A sheet with its pieces where they are to be cut, and the largest drop hatched."""
    scale = min(SHEET_WIDTH / sheet.length_mm, SHEET_HEIGHT / sheet.width_mm)
    wide, high = sheet.length_mm * scale, sheet.width_mm * scale
    items: list[Item] = [filled_box("ground", 1, 1, wide, high)]
    if sheet.largest_drop:
        items.append(filled_box("drop", *_room(sheet.largest_drop, scale)))
    for blank, at in sheet.placed:
        items += _piece(blank.key, at, scale, turned=at.length_mm != blank.key.blank_length_mm)
    items.append(rectangle("outline", 1, 1, wide, high))
    names = ", ".join(str(blank.key) for blank, _ in sheet.placed)
    return Scene("Sheet with its pieces laid out", f"On it: {names}.", wide + 2, high + 2, tuple(items))


def _room(at: Rectangle, scale: float) -> tuple[float, float, float, float]:
    return at.x * scale + 1, at.y * scale + 1, at.length_mm * scale, at.width_mm * scale


def _piece(panel: Panel, at: Rectangle, scale: float, *, turned: bool) -> list[Item]:
    """The piece within its blank; a shape that can no longer be made is its blank alone."""
    left, top, wide, high = _room(at, scale)
    try:
        runs = tuple(work_of(panel).by_length.runs)
    except ImpossibleShape:
        return [rectangle("kraft-line", left, top, wide, high)]
    if turned:
        runs = tuple(_quarter_turn(run) for run in runs)
    place = fitted(
        bounds(runs), Box(left + 1, top + 1, left + wide - 1, top + high - 1), mirrored=panel.is_mirrored
    )
    drawn = place.runs(runs)
    return [Area("kraft", drawn), Path("kraft-line", drawn, closed=True)]


def _quarter_turn(run: Run) -> Run:
    def turn(point):
        return -point[1], point[0]

    if isinstance(run, Straight):
        return Straight(turn(run.start), turn(run.end))
    return Arc(turn(run.centre), run.radius_mm, run.start_rad + math.pi / 2, run.sweep_rad)
