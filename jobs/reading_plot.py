"""Readings drawn against the plan over the passes."""

import math
from collections.abc import Sequence

from jobs.drawings.axes import INCH_STEPS_MM
from jobs.drawings.plot import PassValue, readings_plot
from jobs.drawings.scene import Scene
from jobs.forming import Work
from jobs.forming import readings as forming
from jobs.forming.result import Pass
from jobs.models import Reading
from jobs.reading_words import label_of, written
from shop.models import Shop

# What the bench calls a kind of reading, and what forming calls it.
FORMING_KIND: dict[str, forming.Kind] = {
    Reading.Kind.EDGE_LENGTH: "edge",
    Reading.Kind.SECTION_ANGLE: "angle",
    Reading.Kind.CROWN_HEIGHT: "height",
    Reading.Kind.THICKNESS: "thickness",
}
PLOT_WIDTH = 356.0
DEGREES = tuple(math.radians(degrees) for degrees in (0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 45, 90))
MILS_MM = tuple(0.0254 * mils for mils in (1, 2, 5, 10, 20, 50, 100, 200))


def plot_of(
    work: Work, passes: Sequence[Pass], answer: forming.Replan | None, readings: Sequence[Reading], shop: Shop
) -> Scene | None:
    """What was read against the plan: the edge, and what is to come of it, where a tape read it; else the latest kind.

    ``passes`` are the plan as it stands after the readings. Nothing before the first reading that the shape has.
    """
    known = [one for one in readings if _has(work, one)]
    if not known:
        return None
    taped = any(one.kind == Reading.Kind.EDGE_LENGTH for one in known)
    kind = Reading.Kind.EDGE_LENGTH if taped else max(known, key=lambda one: (one.at, one.pk)).kind
    plan = [
        PassValue(number, forming.target_of(work, number, FORMING_KIND[kind]))
        for number in range(len(work.passes) + 1)
    ]
    return readings_plot(
        plan, [PassValue(one.pass_number, one.value) for one in known if one.kind == kind],
        coming=_coming(passes, answer) if taped and answer else (),
        write_value=lambda value: written(kind, value, shop), steps=_steps(kind, shop), name=label_of(kind),
        width=PLOT_WIDTH,
    )  # fmt: skip


def _has(work: Work, reading: Reading) -> bool:
    """Whether the shape, which may have been changed since, has such a pass and such a reading."""
    return reading.pass_number <= len(work.passes) and FORMING_KIND[reading.kind] in forming.readings_for(
        work
    )


def _coming(passes: Sequence[Pass], answer: forming.Replan) -> list[PassValue]:
    """The edge from where it stands over the passes to come."""
    rest = [PassValue(one.number, one.edge_length_mm) for one in passes if one.number > answer.done_pass]
    return [PassValue(answer.done_pass, answer.edge_length_mm), *rest] if rest else []


def _steps(kind: str, shop: Shop) -> Sequence[float]:
    """What is round between the ticks of an axis: degrees, inches and their fractions, mils; tens of millimetres."""
    if kind == Reading.Kind.SECTION_ANGLE:
        return DEGREES
    if shop.units != "in":
        return ()
    return MILS_MM if kind == Reading.Kind.THICKNESS else INCH_STEPS_MM
