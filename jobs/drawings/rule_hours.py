"""The rule at the bench: hours used, the range they may take, and what is over it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from jobs.drawings import letters
from jobs.drawings.ranges import over_box, range_box
from jobs.drawings.scene import Group, Item, Path, Scene, Text, filled_box
from jobs.drawings.stock import LEFT_PX, NUMBER_SIZE, face, ticks
from shop import figures

HOURS_FACE = 64.0
LANE_TOP, LANE_HIGH = 7.0, 15.0


def hours_rule(hours: float, low: float, high: float, used: float, *, width: float = 374.0) -> Scene:
    """Return the bench's rule: hours used in dye, the range hatched from ``low`` to ``high``.

    ``hours`` is what the rule is graduated to at least. Past ``high`` the hours are cross-hatched and the
    excess is written beside them.
    """
    if not (0 <= low <= high and used >= 0 and hours > 0):
        raise ValueError(
            f"A rule of {hours} h with a range {low} to {high} h and {used} h used cannot be drawn."
        )
    reach = max(hours, high, used) * 1.02
    scale = (width - LEFT_PX) / reach
    step = next((s for s in (0.5, 1, 2, 5, 10, 20, 50, 100, 200) if s * scale >= 36), 500)
    x = _HourScale(scale)
    over, bottom = used - high, LANE_TOP + LANE_HIGH
    over = over if over >= figures.LEAST_HOURS else 0.0
    said = f"{figures.hours(used)} of {figures.hours_between(low, high)}"
    return Scene(
        said + (f", {figures.hours(over)} h over" if over else ""),
        "Half of panels like this are done by the first mark, four in five by the second.",
        width, HOURS_FACE + 1,
        (
            *face(width, HOURS_FACE, runs_off=True),
            Group("face", (
                *range_box(x(low), x(high), LANE_TOP + 1, bottom - 1, tall=(LANE_TOP - 4, bottom + 4),
                            short=(LANE_TOP - 1, bottom + 1)),
                filled_box("used", LEFT_PX, LANE_TOP, max(x(min(used, high)) - LEFT_PX, 0.01), LANE_HIGH),
                *(_over_lane(x(high), x(used), over, width) if over else ()),
                *_hour_numbers(reach, step, x, (low, high)),
                _hour_ticks(reach, step, x),
            )),
        ),
    )  # fmt: skip


class _HourScale:
    """Where an hour stands on the rule."""

    def __init__(self, scale: float) -> None:
        self.scale = scale

    def __call__(self, hours: float) -> float:
        return LEFT_PX + hours * self.scale


def _over_lane(high: float, used: float, over: float, width: float) -> tuple[Item, ...]:
    """The excess on wax-wash, its figure on the face right of it or, at the rule's end, left of it."""
    text = f"+{figures.hours(over)} h"
    wide = letters.width(text, NUMBER_SIZE)
    fits = used + 5 + wide < width - 4
    at = (used + 5, LANE_TOP + 12) if fits else (high - 6, LANE_TOP + 12)
    return (
        *over_box(high, used, LANE_TOP, LANE_HIGH),
        Text(
            "steel-text" if fits else "on-dye-text",
            at,
            text,
            "start" if fits else "end",
            NUMBER_SIZE,
            bold=True,
        ),
    )


def _hour_numbers(reach: float, step: float, x: _HourScale, bold: tuple[float, float]) -> Iterator[Text]:
    for index in range(math.floor(reach / step) + 1):
        hour = index * step
        heavy = any(abs(hour - edge) < step / 20 for edge in bold)
        text = figures.hours(hour) + (" h" if index == 0 else "")
        if x(hour) + 4 + letters.width(text, 14) < x(reach):  # none is cut in two by the end
            yield Text("steel-text", (x(hour) + 3, 42), text, size=14, bold=heavy)


def _hour_ticks(reach: float, step: float, x: _HourScale) -> Path:
    parts = next((n for n in (10, 4, 2) if step * x.scale / n >= 4), 1)
    count = math.floor(reach / step * parts + 1e-9)
    middle = parts // 2
    return ticks(
        (
            (
                x(index * step / parts),
                18.0 if index % parts == 0 else 13.0 if middle and index % middle == 0 else 8.0,
            )
            for index in range(count + 1)
        ),
        HOURS_FACE,
    )
