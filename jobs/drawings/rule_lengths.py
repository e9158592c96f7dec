"""Rules that measure: millimetres or inches over a drawing, and a true check rule for paper."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from jobs.drawings import letters
from jobs.drawings.primitives import INCH_MM, PX_MM
from jobs.drawings.scene import Group, Path, Scene, Text, line
from jobs.drawings.stock import (
    FACE,
    LEFT_PX,
    LONG_TICK,
    MIDDLE_TICK,
    NUMBER_SIZE,
    RIGHT_PX,
    SHORT_TICK,
    face,
    ticks,
)
from jobs.forming.result import Straight
from shop import figures

MM_STEPS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0)
INCH_STEPS = (1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 36.0, 60.0, 120.0, 240.0)


def millimetre_rule(
    length_mm: float,
    px_per_mm: float,
    *,
    zero_px: float = LEFT_PX,
    units: Literal["mm", "in"] = "mm",
    width: float | None = None,
) -> Scene:
    """Return a rule at the scale of the drawing under it, its zero ``zero_px`` from its left end.

    ``length_mm`` is what it must at least measure; with a ``width`` it is graduated to its end. Numbers are as
    close as they stand apart, in millimetres or inches.
    """
    if length_mm <= 0 or px_per_mm <= 0:
        raise ValueError("A rule needs a length and a scale above nought.")
    wide = width or zero_px + length_mm * px_per_mm + RIGHT_PX
    unit_px = px_per_mm * (INCH_MM if units == "in" else 1.0)
    reach = (wide - RIGHT_PX - zero_px) / unit_px
    step = _step(INCH_STEPS if units == "in" else MM_STEPS, unit_px, reach)
    parts = _parts(step, unit_px, units)
    count = math.floor(reach / step * parts + 1e-9)
    graduations = ticks(
        (zero_px + index * step / parts * unit_px, _tick(index, parts)) for index in range(count + 1)
    )
    numbers = [
        Text("steel-text", (zero_px + index * step * unit_px + 4, 18.5), _length_number(index, step, units), size=12)
        for index in range(count // parts + 1)
    ]  # fmt: skip
    if numbers and numbers[-1].box().right > wide - RIGHT_PX + 8:
        numbers.pop()
    said = (
        f"{figures.figure(length_mm)} mm" if units == "mm" else f"{figures.figure(length_mm / INCH_MM, 1)} in"
    )
    return Scene(
        f"Rule in {'millimetres' if units == 'mm' else 'inches'}",
        f"Graduated at the scale of the drawing below, over {said}.",
        wide, FACE + 1, (*face(wide), Group("face", (graduations, *numbers))),
    )  # fmt: skip


def _step(steps: Sequence[float], unit_px: float, reach: float) -> float:
    """The closest numbering whose longest number still stands apart from the next tick."""
    for step in steps:
        widest = letters.width(figures.figure(max(reach, step)), NUMBER_SIZE)
        if step * unit_px >= widest + 12:
            return step
    return steps[-1]


def _parts(step: float, unit_px: float, units: str) -> int:
    """Into how many parts the numbered step is divided: the finest whose ticks stand 4 px apart."""
    wanted: tuple[int, ...] = (10, 5, 2)
    if units == "in":
        wanted = (16, 8, 4, 2) if step == 1 else (int(step), 2) if step <= 12 else (int(step // 12), 2)
    return next((parts for parts in wanted if parts > 0 and step * unit_px / parts >= 4), 1)


def _tick(index: int, parts: int) -> float:
    """How long a graduation is: the numbered ones longest, those halfway between where there are such next."""
    if index % parts == 0:
        return LONG_TICK
    return MIDDLE_TICK if parts % 2 == 0 and index % (parts // 2) == 0 else SHORT_TICK


def _length_number(index: int, step: float, units: str) -> str:
    number = figures.figure(index * step)
    return f"{number} {units}" if index == 0 else number


def check_rule(length_mm: float, units: Literal["mm", "in"] = "mm") -> Scene:
    """Return a bare rule of a true length for paper, in millimetres, to check that it was printed full size.

    The long end ticks are exactly ``length_mm`` apart, centre to centre, half a millimetre inside the scene.
    """
    if not 20 <= length_mm <= 1000:
        raise ValueError(f"A check rule of {length_mm} mm does not fit; use 20 to 1000 mm.")
    unit = 1.0 if units == "mm" else INCH_MM / 16
    count = math.floor(length_mm / unit + 1e-9)
    every = (10, 5) if units == "mm" else (16, 8)
    ticks = tuple(
        Straight((0.5 + index * unit, 6.5), (0.5 + index * unit, 6.5 - _check_tick(index, every)))
        for index in range(count + 1)
    )
    numbers = tuple(
        Text("label", (0.5 + index * unit + 0.9, 3.4), str(index if units == "mm" else index // 16), size=3.2)
        for index in range(0, count, every[0])
    )
    ends = (
        line("tick", (0.5, 0.5), (0.5, 6.5)),
        line("tick", (0.5 + length_mm, 0.5), (0.5 + length_mm, 6.5)),
    )
    base = line("tick", (0.5, 6.5), (0.5 + length_mm, 6.5))
    said = f"{figures.figure(length_mm)} mm" if units == "mm" else f"{figures.figure(length_mm / INCH_MM)} in"
    return Scene(
        "Check rule", f"This rule must measure {said}. If not, print at full size.",
        length_mm + 1, 7.0, (base, Path("tick", ticks), *ends, *numbers), PX_MM,
    )  # fmt: skip


def _check_tick(index: int, every: tuple[int, int]) -> float:
    return 3.0 if index % every[0] == 0 else 2.2 if index % every[1] == 0 else 1.4
