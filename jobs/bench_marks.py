"""Small marks of the bench page: where work has got among the stages, and the minutes of the running clock."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from jobs.drawings.scene import Area, Group, Item, Path, Scene, filled_box, polyline
from jobs.drawings.strip import FOUR
from shop.figures import hours

WIDTH, LANE, TOP = 240.0, 17.0, 8.0
LEAST_CELL = 18.0


@dataclass(frozen=True, slots=True)
class MinuteTick:
    """A minute on the clock's plate: every fifth is longer; ``gone`` ones are filled."""

    minute: int
    x: float
    high: int
    gone: bool


def minute_ticks(passed: timedelta | None) -> tuple[MinuteTick, ...]:
    """The sixty minutes of the hour that runs; none gone where no clock does."""
    gone = int(passed.total_seconds() // 60) % 60 if passed is not None else -1
    return tuple(
        MinuteTick(
            minute,
            1.5 + minute * 5.0,
            16 if minute % 15 == 0 else 12 if minute % 5 == 0 else 9,
            minute <= gone,
        )
        for minute in range(60)
    )


def stage_marks(siblings: Sequence) -> Scene:
    """The stages side by side, as wide as their hours, each in its pattern as far as its work has got."""
    shares = _shares([float(one.stage.budget_low_hours) for one in siblings])
    items: list[Item] = []
    left, reached_at = 0.75, None
    for one, share in zip(siblings, shares, strict=True):
        width = share * (WIDTH - 1.5)
        reached = float(one.stage.progress) * width
        if reached:
            role = one.stage.kind.slug if one.stage.kind.slug in FOUR else "own"
            items.append(filled_box(role, left, TOP, reached, LANE))
            reached_at = left + reached
        items.append(Path("outline", polyline(_box(left, width)), closed=True))
        left += width
    if reached_at is not None:
        triangle = ((reached_at - 5, 1.0), (reached_at + 5, 1.0), (reached_at, TOP - 0.5))
        items.append(Area("reached", polyline((*triangle, triangle[0]))))
    return Scene(
        "Stages of this panel", _in_words(siblings), WIDTH, TOP + LANE + 1, (Group("stages", tuple(items)),)
    )


def _shares(low_hours: list[float]) -> list[float]:
    """Widths as shares of one, none too narrow to see."""
    total = sum(low_hours)
    wide = [max(low / total * WIDTH, LEAST_CELL) if total else 1.0 for low in low_hours]
    return [one / sum(wide) for one in wide]


def _box(left: float, width: float):
    right, bottom = left + width, TOP + LANE
    return (left, TOP), (right, TOP), (right, bottom), (left, bottom), (left, TOP)


def _in_words(siblings: Sequence) -> str:
    return ", ".join(
        f"{one.stage.kind.name.lower()} {float(one.stage.progress):.0%}, {hours(one.used)} h"
        for one in siblings
    )
