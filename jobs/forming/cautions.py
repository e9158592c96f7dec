"""Warnings: what can be made but goes wrong if nobody minds it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from jobs.forming.passes import the_line
from jobs.forming.placing import MOST_DRAWN
from jobs.forming.result import Caution, Pass
from jobs.forming.sheet import Marking, Sheet

# Below this ratio of inside radius to thickness nobody vouches for the factor of DIN 6935: common practice, no source.
SHARPEST_FOR_DIN = 0.65
# Half again is where gathered metal would rather fold over than thicken on: a shop's judgement, no source.
FOLDS_OVER_AT = 1.5
# A gather this much larger than what a whole pass asks for is too coarse for it: our own judgement.
TOO_COARSE = 1.5


MOST_DIGITS = 6  # after the point: a strain nearer to its limit than that is told from it by no one


def percent(share: float, digits: int = 1) -> str:
    """Write a strain as the pages do, whatever its sign, to so many digits after the point.

    >>> percent(-0.1743), percent(0.09), percent(0.09004, 2)
    ('17.4 %', '9 %', '9 %')
    """
    written = f"{abs(share) * 100:.{digits}f}"
    return written.rstrip("0").rstrip(".") + " %"


def told_apart(share: float, limit: float) -> tuple[str, str]:
    """Write a strain and the limit it is past, with as many digits as tell them apart.

    >>> told_apart(0.0904, 0.09), told_apart(-0.09004, 0.09), told_apart(0.174, 0.09)
    (('9.04 %', '9 %'), ('9.004 %', '9 %'), ('17.4 %', '9 %'))
    """
    for digits in range(1, MOST_DIGITS + 1):
        written = percent(share, digits), percent(limit, digits)
        if written[0] != written[1]:
            break
    return written


def kept(*warnings: Caution | None) -> tuple[Caution, ...]:
    """Return the warnings that apply."""
    return tuple(warning for warning in warnings if warning is not None)


def strain(largest: float, sheet: Sheet) -> Caution | None:
    """Warn where a strain, either way, is past the metal's elongation."""
    if sheet.elongation is None or abs(largest) <= sheet.elongation * (1 + 1e-12):
        return None
    how = "stretches" if largest > 0 else "is gathered"
    advice = (
        "Anneal between passes, use a softer metal or a larger radius, or weld in a piece."
        if largest > 0
        else "Take it in more passes and anneal between them, or cut out wedges and weld."
    )
    strained, limit = told_apart(largest, sheet.elongation)
    return Caution(
        "strain",
        f"The metal {how} by {strained}, past its elongation of {limit}.",
        advice,
    )


def bend(inside_radius_mm: float, sheet: Sheet) -> Caution | None:
    """Warn where a bend is tighter than the metal's least radius, or its outside stretches too far.

    Strain of the outside = t / (2 r + t), where the metal's least radius is not known.

    Source: the outer face over the middle of the sheet, (r + t) / (r + t/2) - 1.
    """
    least_t = sheet.min_bend_radius_t
    if least_t is not None and inside_radius_mm < least_t * sheet.thickness_mm * (1 - 1e-12):
        return Caution(
            "bend",
            "An inside bend radius of {radius} is tighter than the least this metal takes, {least}.",
            "Use a larger radius, a softer temper, or anneal along the bend.",
            {"radius": inside_radius_mm, "least": least_t * sheet.thickness_mm},
        )
    outside_strain = sheet.thickness_mm / (2 * inside_radius_mm + sheet.thickness_mm)
    if least_t is None and sheet.elongation is not None and outside_strain > sheet.elongation * (1 + 1e-12):
        strained, limit = told_apart(outside_strain, sheet.elongation)
        return Caution(
            "bend",
            f"The outside of a {{radius}} bend stretches by {strained}, past the metal's elongation of {limit}.",
            "Try the bend on an offcut first, or use a larger radius.",
            {"radius": inside_radius_mm},
        )
    return None


def trim(gap_mm: float, marking: Marking) -> Caution | None:
    """Warn where the trim margin does not cover the gap between the two flats."""
    if gap_mm <= marking.trim_mm:
        return None
    return Caution(
        "trim",
        "The flats by length and by area lie {gap} apart at the edge, and the trim is only {trim}.",
        "Allow a trim of at least {least}, or make a trial piece first.",
        {"gap": gap_mm, "trim": marking.trim_mm, "least": gap_mm},
    )


def crowded(passes: Sequence[Pass], marking: Marking) -> Caution | None:
    """Warn where a line takes more gathers than fit in one round."""
    busiest = max(passes, key=lambda each: each.rounds, default=None)
    if busiest is None or busiest.rounds < 2:
        return None
    many = _named(passes)[1]
    return Caution(
        "crowded",
        f"{the_line(busiest.line).capitalize()} takes {busiest.gathers} {many}, more than fit {{die}} apart: "
        f"{busiest.rounds} rounds.",
        "Work the line flat between rounds and anneal if it hardens, or mark more lines.",
        {"die": marking.die_width_mm},
    )


def narrow(reach_mm: float, marking: Marking) -> Caution | None:
    """Warn where the metal between the innermost line and the edge is narrower than the die."""
    if reach_mm <= 0 or reach_mm >= marking.die_width_mm:
        return None
    return Caution(
        "narrow",
        "From the innermost line to the edge is {reach}, narrower than the die's {die}.",
        "Use a narrower die, or leave more trim to work on and cut it off afterwards.",
        {"reach": reach_mm, "die": marking.die_width_mm},
    )


def coarse(passes: Sequence[Pass], marking: Marking) -> Caution | None:
    """Warn where a single gather takes more than half again what a whole pass asks for."""
    if not any(0 < abs(each.take_up_mm) * TOO_COARSE < marking.gather_mm for each in passes):
        return None
    one, many, verb = _named(passes)
    return Caution(
        "coarse",
        f"One full {one} {verb} {{gather}}, more than some passes ask for in all.",
        f"Make lighter {many} there, or mark fewer lines.",
        {"gather": marking.gather_mm},
    )


def undrawn(passes: Sequence[Pass], times: int) -> Caution | None:
    """Warn where the gathers are too many to be drawn one by one."""
    total = sum(each.gathers for each in passes) * times
    if total <= MOST_DRAWN:
        return None
    one, many, _ = _named(passes)
    return Caution(
        "undrawn",
        f"{total} {many} are too many to draw one by one; the passes give their number and spacing.",
        f"Check the size of one {one}, or make the shape from more than one piece.",
    )


def _named(passes: Sequence[Pass]) -> tuple[str, str, str]:
    """Return what the passes are made of, one and many, and what one does to the edge's length."""
    if any(each.take_up_mm < 0 for each in passes):
        return "stretch", "stretches", "gains"
    return "gather", "gathers", "takes"


def sharp_for_din(inside_radius_mm: float, sheet: Sheet) -> Caution | None:
    """Warn where DIN 6935's factor is used for a bend sharper than it is vouched for."""
    if inside_radius_mm >= SHARPEST_FOR_DIN * sheet.thickness_mm:
        return None
    return Caution(
        "sharp",
        "DIN 6935 is not vouched for at a bend as sharp as {radius} in {thickness} sheet.",
        "Bend a test strip and give the shop's own k.",
        {"radius": inside_radius_mm, "thickness": sheet.thickness_mm},
    )


def swells(ratio: float) -> Caution | None:
    """Warn where gathering thickens the metal so far that it will rather fold over than shrink."""
    if ratio < FOLDS_OVER_AT or not math.isfinite(ratio):
        return None
    return Caution(
        "swells",
        f"Gathered all the way, the metal would end {ratio:.2f} times as thick as it began.",
        "Cut out wedges and weld, or make the panel from more than one piece.",
    )
