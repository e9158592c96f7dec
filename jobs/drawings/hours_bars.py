"""Hours of each stage as a bar in the stage's own pattern up to the middle, then hatched up to the high end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jobs.drawings import letters
from jobs.drawings.axes import linear_ticks, plain
from jobs.drawings.ranges import range_box
from jobs.drawings.scene import Item, Path, Scene, Text, filled_box, line
from jobs.drawings.strip import FOUR
from jobs.forming.result import Straight
from shop import figures

ROW, BAR, TOP = 27.0, 15.0, 4.0
DROP = letters.MIDDLE * 12


@dataclass(frozen=True, slots=True)
class StageBar:
    """One stage: its slug and name, its middle and its high end in hours."""

    slug: str
    name: str
    low_hours: float
    high_hours: float


def hours_bars(stages: Sequence[StageBar], *, width: float = 322.0) -> Scene:
    """Draw one bar a stage on a shared scale, name before it and range after it."""
    said = [figures.hours_between(stage.low_hours, stage.high_hours) for stage in stages]
    left = max((letters.width(stage.name.lower(), 12) for stage in stages), default=0.0) + 12
    right = width - max((letters.width(text, 12) for text in said), default=0.0) - 14
    ticks = _ticks(max([stage.high_hours for stage in stages] + [0.5]), right - left)
    px = (right - left) / ticks[-1]
    items: list[Item] = []
    for index, (stage, text) in enumerate(zip(stages, said, strict=True)):
        items += _row(stage, text, left, px, TOP + index * ROW, width)
    bottom = TOP + len(stages) * ROW + 4
    items += _scale(ticks, left, px, bottom)
    words = " ".join(f"{stage.name}: {text}." for stage, text in zip(stages, said, strict=True))
    return Scene("Hours of each stage", words, width, bottom + 26, tuple(items))


def _ticks(longest: float, room: float) -> list[float]:
    """Round hours from nought, as many as have room for their figures."""
    for most in (5, 4, 3):
        ticks = linear_ticks(0.0, longest, most)
        widest = letters.width(plain(ticks[-1]), 12)
        if widest + 8 <= room / (len(ticks) - 1):
            return ticks
    return linear_ticks(0.0, longest, 2)


def _row(stage: StageBar, said: str, left: float, px: float, top: float, width: float) -> list[Item]:
    low, high = left + stage.low_hours * px, left + stage.high_hours * px
    middle = top + BAR / 2 + DROP
    made: list[Item] = [
        Text("label", (0, middle), stage.name.lower()),
        Text("label", (width, middle), said, "end", bold=True),
    ]
    if stage.high_hours <= 0:
        return [*made, line("tick", (left, top), (left, top + BAR))]
    done = filled_box(stage.slug if stage.slug in FOUR else "own", left, top, low - left, BAR)
    return [
        *made,
        filled_box("ground", left, top, low - left, BAR),
        done,
        Path("outline", done.runs, closed=True),
        *range_box(low, high, top + 2, top + BAR - 2, tall=(top - 4, top + BAR + 4), short=(top, top + BAR)),
    ]


def _scale(ticks: Sequence[float], left: float, px: float, top: float) -> list[Item]:
    step = (ticks[1] - ticks[0]) / 5
    count = round(ticks[-1] / step)
    marks = tuple(
        Straight(
            (left + index * step * px, top), (left + index * step * px, top + (8 if index % 5 == 0 else 4))
        )
        for index in range(count + 1)
    )
    made: list[Item] = [Path("tick", marks)]
    for tick in ticks:
        x, text = left + tick * px, plain(tick)
        made.append(Text("axis-text", (x, top + 22), text, "middle"))
        if tick == ticks[-1]:
            made.append(Text("axis-text", (x + letters.width(text, 12) / 2 + 4, top + 22), "h"))
    return made
