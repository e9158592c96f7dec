"""What stands around the strips: the hours scale above them, the bar of a week, the samples of the key."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobs.drawings import roles
from jobs.drawings.primitives import Anchor
from jobs.drawings.ranges import over_box, range_box
from jobs.drawings.scene import Item, Path, Scene, Text, filled_box, line
from jobs.drawings.strip import BAR, SIZE, WIDTH, hours_step
from jobs.forming.result import Straight
from shop import figures


def hours_axis(scale_hours: float, *, width: float = WIDTH) -> Scene:
    """Return the scale above the strips of a page: numbers as close as there is room, four ticks between them."""
    px = width / scale_hours
    step = int(hours_step(scale_hours, width))
    ticks = Path("tick", tuple(_axis_ticks(scale_hours, px, step)))
    numbers = []
    for hour in range(0, int(scale_hours) + 1, step):
        last = hour + step > scale_hours
        text = f"{figures.figure(hour)} h" if last else figures.figure(hour)
        x = hour * px + 1
        at: tuple[Anchor, float] = ("start", x) if hour == 0 else ("end", x + 2) if last else ("middle", x)
        numbers.append(Text("axis-text", (at[1], 12), text, at[0], SIZE))
    return Scene(
        "Hours", f"Scale from 0 to {figures.figure(scale_hours)} hours.", width + 2, 27, (ticks, *numbers)
    )


def _axis_ticks(scale_hours: float, px: float, step: int) -> Iterator[Straight]:
    for hour in range(0, int(scale_hours) + 1, max(step // 5, 1)):
        x = hour * px + 1
        yield Straight((x, 26), (x, 26 - (9 if hour % step == 0 else 5)))


def hours_bar(parts: Sequence[float], full_hours: float, *, width: float = 190.0) -> Scene:
    """Return one person's hours of the week: a bar with a gap between its parts over a scale to ``full_hours``."""
    total = sum(parts)
    if full_hours <= 0 or any(part < 0 for part in parts):
        raise ValueError("Hours of a week cannot be negative, and a week has hours.")
    scale = max(full_hours, total)
    px = width / scale
    bars, left = [], 1.0
    for part in parts:
        if part:
            bars.append(filled_box("used", left, 1, max(part * px - 1, 0.5), BAR))
        left += part * px
    every = 5 if scale <= 60 else 10
    ticks = tuple(
        Straight((hour * px + 1, 13), (hour * px + 1, 13 + (8 if hour % (2 * every) == 0 else 5)))
        for hour in range(0, int(scale) + 1, max(every // 5, 1))
    )
    return Scene(
        f"{figures.hours(total)} of {figures.hours(full_hours)} h", "Hours worked this week.", width + 2, 22,
        (*bars, line("tick", (1, 13), (width + 1, 13)), Path("tick", ticks)),
    )  # fmt: skip


def key_swatch(role: str, *, width: float = 30.0, height: float = 18.0) -> Scene:
    """Return a sample of a pattern for the key: a stage's slug, ``range``, ``used`` or ``over``."""
    items: tuple[Item, ...]
    if role == "range":
        items = range_box(2, width - 2, 3, height - 3, tall=(0, height), short=(2, height - 2))
    elif role == "used":
        items = (filled_box("used", 1, (height - BAR) / 2, width - 2, BAR),)
    elif role == "over":
        items = over_box(1, width - 1, (height - BAR) / 2, BAR)
    else:
        known = role if role in roles.PATTERNS else "own"
        box = filled_box("ground", 1, 1, width - 2, height - 2)
        items = (box, filled_box(known, 1, 1, width - 2, height - 2), Path("outline", box.runs, closed=True))
    return Scene(f"Sample of {role}", "", width, height, items)
