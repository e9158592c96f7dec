"""The strip of an estimate: every stage in its own pattern at the width of its middle, then the range.

Unlike the strip of work under way there are no hours used and no work reached: the patterns stand for what is to
be done.
"""

from collections.abc import Sequence
from functools import lru_cache

from django.utils.safestring import SafeString, mark_safe

from jobs.drawings.scene import Group, Item, Path, Scene, filled_box, line
from jobs.drawings.strip import FOUR, LANE, hours_step
from jobs.drawings.svg import inline_svg
from shop import figures

TOP = 5.0
HEIGHT = LANE + 2 * TOP
STRIPS_KEPT = 512

Span = tuple[str, str, float, float]  # slug, name, P50 and P80 of a stage, hours


def estimate_strip(
    stages: Sequence[Span],
    low: float,
    high: float,
    scale_hours: float,
    *,
    width: float = 350.0,
    grid: bool = True,
) -> Scene:
    """Return the strip of a panel, or of one stage, on a scale of ``scale_hours`` over ``width`` pixels.

    The whole range ``low`` to ``high`` is not the sum of the stages' ranges; the stages share its low end in
    proportion to their own.
    """
    px = width / scale_hours
    items: list[Item] = []
    if grid:
        step = hours_step(scale_hours, width)
        lines = [index * step * px + 1 for index in range(int(scale_hours // step) + 1)]
        items += [line("grid", (x, 0), (x, HEIGHT)) for x in lines]
    items.append(Group("stages", tuple(_cells(stages, low, px))))
    items.append(Group("range", _range(low * px + 1, high * px + 1)))
    said = ". ".join(f"{name}: {figures.hours_between(a, b)}" for _, name, a, b in stages if b > 0)
    return Scene(figures.hours_between(low, high), said, width + 2, HEIGHT, tuple(items))


@lru_cache(maxsize=STRIPS_KEPT)
def strip_svg(
    uid: str, stages: tuple[Span, ...], low: float, high: float, scale_hours: float, *,
    width: float = 350.0, grid: bool = True,
) -> SafeString:  # fmt: skip
    """The strip as it stands on a page under an id of its own; a change of one panel leaves the others' as drawn."""
    scene = estimate_strip(stages, low, high, scale_hours, width=width, grid=grid)
    return mark_safe(inline_svg(scene, uid))  # noqa: S308 - our own markup, words escaped


def _cells(stages: Sequence[Span], low: float, px: float) -> list[Item]:
    whole = sum(stage[2] for stage in stages)
    left, items = 1.0, []
    for slug, _, middle, _ in stages:
        wide = middle / whole * low * px if whole else 0.0
        if wide <= 0:
            continue
        box = filled_box("ground", left, TOP, wide, LANE)
        items += [box, filled_box(slug if slug in FOUR else "own", left, TOP, wide, LANE)]
        items.append(Path("outline", box.runs, closed=True))
        left += wide
    return items


def _range(low: float, high: float) -> tuple[Item, ...]:
    wide, top, bottom = max(high - low, 0.01), TOP + 3, TOP + LANE - 3
    return (
        filled_box("ground", low, top, wide, bottom - top),
        filled_box("range", low, top, wide, bottom - top),
        line("range-line", (low, top), (high, top)),
        line("range-line", (low, bottom), (high, bottom)),
        line("range-line", (low, TOP - 4), (low, TOP + LANE + 4)),
        line("range-line", (high, TOP), (high, TOP + LANE)),
    )
