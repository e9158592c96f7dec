"""The steel that a rule is cut from: a square zero end, a rounded end with a hang hole, a bright upper edge."""

from __future__ import annotations

import math
from collections.abc import Iterable

from jobs.drawings.scene import Area, Circle, Group, Item, Path, filled_box
from jobs.forming.result import Arc, Run, Straight

FACE = 39.0
"""Height of the face, pixels."""
LEFT_PX = 9.0
"""From the square end to the zero line."""
RIGHT_PX = 42.0
"""From the last graduation to the rounded end, where the hang hole is."""
NUMBER_SIZE = 12.0
LONG_TICK, MIDDLE_TICK, SHORT_TICK = 12.0, 8.0, 5.0


def face(width: float, high: float = FACE, *, runs_off: bool = False) -> tuple[Item, ...]:
    """Return the blank rule, ``width`` by ``high``; one that runs off the page has no rounded end."""
    line = 0.6
    radius = 0.0 if runs_off else min(high / 2, 22.0) - line
    runs = _outline(width if runs_off else width - line, high - line, radius, line)
    straight = max(width - radius, 1.0)
    return (
        Area("steel-face", runs),
        Group("steel-high", (filled_box("steel-face", 1.2, 1.2, straight - 1.2, 2.2),)),
        Group("steel-low", (filled_box("steel-face", 1.2, high - 4.0, straight - 1.2, 3.0),)),
        Path("steel-line", runs[:-1] if runs_off else runs, closed=not runs_off),
        *(() if runs_off else _hang_hole(width - high / 2, high / 2)),
    )


def _outline(right: float, bottom: float, radius: float, line: float) -> tuple[Run, ...]:
    if not radius:
        return (
            Straight((right, line), (line, line)),
            Straight((line, line), (line, bottom)),
            Straight((line, bottom), (right, bottom)),
            Straight((right, bottom), (right, line)),
        )
    quarter = math.pi / 2
    return (
        Straight((line, line), (right - radius, line)),
        Arc((right - radius, line + radius), radius, -quarter, quarter),
        Straight((right, line + radius), (right, bottom - radius)),
        Arc((right - radius, bottom - radius), radius, 0.0, quarter),
        Straight((right - radius, bottom), (line, bottom)),
        Straight((line, bottom), (line, line)),
    )


def _hang_hole(x: float, y: float) -> tuple[Item, ...]:
    return (Group("hang-hole", (Circle("steel-line", (x, y), 5.0, filled=True),)),)


def ticks(places: Iterable[tuple[float, float]], bottom: float = FACE) -> Path:
    """Return graduations that stand on an edge: where each is, and how long."""
    return Path("steel-tick", tuple(Straight((x, bottom), (x, bottom - length)) for x, length in places))
