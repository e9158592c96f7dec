"""The stage strip: where a panel stands in hours, in one line that survives a black and white print.

Upper lane: the stages at the width of their middle estimate, each in its own pattern as far as its work has
got, then the range between the tall tick (half of panels are done by it) and the shorter tick (four in five).
Lower lane: hours used. Every strip carries its own sentence as text alternative, and the page writes the same
beside it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jobs.drawings import letters
from jobs.drawings.ranges import NARROWEST, over_box, range_box
from jobs.drawings.scene import Area, Group, Item, Path, Scene, Text, filled_box, line, polyline
from shop import figures

WIDTH = 350.0
TOP = 9.0
LANE = 16.0
BAR_TOP = TOP + LANE + 4
BAR = 8.0
HEIGHT = BAR_TOP + BAR + 5
SIZE = 12.0
SECOND_LINE = 15.0
FOUR = ("layout", "gathering", "blending", "smoothing")


@dataclass(frozen=True, slots=True)
class StageHours:
    """One stage: its slug, its name, its range of hours, hours used, and how far its work has got (0 to 1)."""

    slug: str
    name: str
    low_hours: float
    high_hours: float
    used_hours: float = 0.0
    reached: float = 0.0

    @property
    def role(self) -> str:
        """The pattern: one of the four, or the plain one of the shop's own stages."""
        return self.slug if self.slug in FOUR else "own"

    @property
    def over_hours(self) -> float:
        """Hours past the high end of the stage's own range."""
        return max(0.0, self.used_hours - self.high_hours)


def hours_scale(*longest: float) -> float:
    """Return the scale that all strips of a page share: two or five hours, or the next ten above the longest.

    >>> hours_scale(51, 58.7, 20), hours_scale(60.0), hours_scale(3.2), hours_scale()
    (60.0, 60.0, 5.0, 2.0)
    """
    most = max((*longest, 0.0))
    return next((few for few in (2.0, 5.0) if most <= few), -(-most // 10) * 10)


def hours_step(scale_hours: float, width: float = WIDTH) -> float:
    """Return how many hours apart the lines and numbers of a scale stand: ten where there is room; one on a short one.

    >>> hours_step(60), hours_step(400), hours_step(5)
    (10.0, 100.0, 1.0)
    """
    if scale_hours < 10:
        return 1.0
    return next(
        (step for step in (10.0, 20.0, 50.0, 100.0, 200.0) if step * width / scale_hours >= 52), 500.0
    )


def sentence(stages: Sequence[StageHours], low_hours: float, high_hours: float) -> str:
    """Say what the strip shows: hours used of the range, and what is over.

    >>> sentence([StageHours("layout", "Layout", 2, 3, 2.1)], 32, 38)
    '2.1 of 32\\u201338\\xa0h'
    """
    used = sum(stage.used_hours for stage in stages)
    said = f"{figures.hours(used)} of {figures.hours_between(low_hours, high_hours)}"
    over = [f"{s.name.lower()} {figures.hours(s.over_hours)} h over" for s in stages if _counts(s.over_hours)]
    return ", ".join((said, *over))


def stage_strip(
    stages: Sequence[StageHours],
    low_hours: float,
    high_hours: float,
    scale_hours: float,
    *,
    width: float = WIDTH,
    grid: bool = True,
) -> Scene:
    """Return the strip of one panel on a scale of ``scale_hours`` over ``width`` pixels.

    ``low_hours`` and ``high_hours`` are the panel's own range, which is not the sum of its stages' ranges; the
    stages share the low end in proportion to their own low ends. Raises ``ValueError`` for figures that are no
    range, and for a scale that does not hold them.
    """
    _check(stages, low_hours, high_hours, scale_hours)
    px = width / scale_hours
    cells = _cells(stages, low_hours, px)
    label = _Label.of(stages, px, width)
    return Scene(
        title=sentence(stages, low_hours, high_hours),
        description=_in_words(stages),
        width=width + 2,
        height=HEIGHT + (SECOND_LINE if label.second_line else 0),
        items=(
            *(_grid(scale_hours, px) if grid else ()),
            Group("stages", tuple(item for cell in cells for item in cell.drawn())),
            Group("range", _range(low_hours * px + 1, high_hours * px + 1)),
            Group("hours", tuple(_used(stages, px))),
            *_reached_mark(cells),
            *label.drawn(),
        ),
    )


def _check(stages: Sequence[StageHours], low: float, high: float, scale: float) -> None:
    if not 0 <= low <= high:
        raise ValueError(f"{low} to {high} h is not a range of hours.")
    if any(stage.used_hours < 0 or not 0 <= stage.reached <= 1 for stage in stages):
        raise ValueError("Hours used cannot be negative, and work reached lies between 0 and 1.")
    longest = max(high, sum(stage.used_hours for stage in stages))
    if scale < longest:
        raise ValueError(f"A scale of {scale} h does not hold {longest:.1f} h; use at least that.")


def _counts(over: float) -> bool:
    return over >= figures.LEAST_HOURS


@dataclass(frozen=True, slots=True)
class _Cell:
    """One stage in the upper lane."""

    stage: StageHours
    left: float
    wide: float

    @property
    def reached_x(self) -> float:
        return self.left + self.wide * self.stage.reached

    def drawn(self) -> Iterator[Item]:
        box = filled_box("ground", self.left, TOP, self.wide, LANE)
        yield box
        if self.stage.reached > 0:
            yield filled_box(self.stage.role, self.left, TOP, self.wide * self.stage.reached, LANE)
        yield Path("outline", box.runs, closed=True)


def _cells(stages: Sequence[StageHours], low_hours: float, px: float) -> list[_Cell]:
    total = sum(stage.low_hours for stage in stages)
    share = low_hours / total if total else 0.0
    cells, left = [], 1.0
    for stage in stages:
        wide = stage.low_hours * share * px
        if wide > 0:
            cells.append(_Cell(stage, left, wide))
        left += wide
    return cells


def _grid(scale_hours: float, px: float) -> Iterator[Path]:
    step = hours_step(scale_hours, scale_hours * px)
    for index in range(int(scale_hours // step) + 1):
        yield line("grid", (index * step * px + 1, 0), (index * step * px + 1, HEIGHT))


def _range(low: float, high: float) -> tuple[Item, ...]:
    top, bottom = TOP + 3, TOP + LANE - 3
    box = range_box(low, high, top, bottom, tall=(TOP - 4, TOP + LANE + 3), short=(TOP, TOP + LANE))
    return (filled_box("ground", low, top, max(high - low, NARROWEST), bottom - top), *box)


def _used(stages: Sequence[StageHours], px: float) -> Iterator[Item]:
    """The bar of hours, stage by stage with a gap of a pixel; what is over its range is cross-hatched."""
    left = 1.0
    for stage in stages:
        within = (stage.used_hours - (stage.over_hours if _counts(stage.over_hours) else 0.0)) * px
        if within > 0:
            yield filled_box("used", left, BAR_TOP, max(within - 1, 0.5), BAR)
        if _counts(stage.over_hours):
            right = left + stage.used_hours * px
            yield from over_box(left + within, max(right - 1, left + within + 1), BAR_TOP, BAR)
        left += stage.used_hours * px


def _reached_mark(cells: Sequence[_Cell]) -> tuple[Item, ...]:
    """The triangle stands where work has got, between the first stroke and the last."""
    begun = [cell.reached_x for cell in cells if cell.stage.reached > 0]
    if not begun or all(cell.stage.reached == 1 for cell in cells):
        return ()
    x = begun[-1]
    return (Area("reached", polyline(((x - 5, TOP - 8), (x + 5, TOP - 8), (x, TOP - 0.5)), closed=True)),)


@dataclass(frozen=True, slots=True)
class _Label:
    """The figure beside the bar of hours; where it does not fit at the bar's end it takes a line of its own."""

    text: str
    role: str
    x: float
    anchor_end: bool = False

    @property
    def second_line(self) -> bool:
        return self.anchor_end

    @classmethod
    def of(cls, stages: Sequence[StageHours], px: float, width: float) -> _Label:
        used = sum(stage.used_hours for stage in stages)
        over = [stage for stage in stages if _counts(stage.over_hours)]
        role = "over-text" if over else "label" if used else "note"
        text = figures.hours(used) if used else "no hours yet"
        if len(over) == 1:
            text = f"{over[0].name.lower()} +{figures.hours(over[0].over_hours)} h"
        elif over:
            text = f"{len(over)} stages +{figures.hours(sum(stage.over_hours for stage in over))} h"
        x = used * px + 6
        if x + letters.width(text, SIZE) > width + 2:
            return cls(text, role, width, anchor_end=True)
        return cls(text, role, x)

    def drawn(self) -> tuple[Item, ...]:
        y = BAR_TOP + BAR + (SECOND_LINE if self.second_line else 0.5)
        text = Text(
            self.role,
            (self.x, y),
            self.text,
            "end" if self.anchor_end else "start",
            SIZE,
            self.role != "note",
        )
        if self.role != "note":
            return (text,)
        return (line("tick", (1, BAR_TOP - 2), (1, BAR_TOP + BAR + 1)), text)


def _in_words(stages: Sequence[StageHours]) -> str:
    said = []
    for stage in stages:
        state = (
            "done" if stage.reached == 1 else f"{stage.reached:.0%} done" if stage.reached else "not begun"
        )
        ranged = figures.hours_between(stage.low_hours, stage.high_hours)
        said.append(f"{stage.name}: {state}, {figures.hours(stage.used_hours)} of {ranged}.")
    return " ".join(said)
