"""Ring sectors: the flat of a flange on a curved edge, and the same with trim all round."""

from __future__ import annotations

import math

from jobs.forming.arcs import QUARTER
from jobs.forming.outline import circle, polar
from jobs.forming.result import Arc, Outline, Point, Run, Straight

ORIGIN: Point = (0.0, 0.0)


def first_angle(turn_rad: float) -> float:
    """Return where a sector that stands astride the y axis begins, radians."""
    return QUARTER - turn_rad / 2


def sector(inner_mm: float, outer_mm: float, turn_rad: float) -> Outline:
    """Return a ring sector round the origin, astride the y axis; a full ring is slit along its seam, a full
    disc is not.

    >>> from jobs.forming.outline import area
    >>> round(area(sector(3, 5, math.tau)) / math.pi, 9)
    16.0
    """
    if inner_mm == 0 and turn_rad >= math.tau * (1 - 1e-12):
        return circle(outer_mm)
    first, last = first_angle(turn_rad), QUARTER + turn_rad / 2
    runs: tuple[Run, ...] = (
        Straight(polar(inner_mm, first), polar(outer_mm, first)),
        Arc(ORIGIN, outer_mm, first, turn_rad),
        Straight(polar(outer_mm, last), polar(inner_mm, last)),
    )
    return Outline((*runs, Arc(ORIGIN, inner_mm, last, -turn_rad)) if inner_mm > 0 else runs)


def trimmed_sector(inner_mm: float, outer_mm: float, turn_rad: float, trim_mm: float) -> Outline:
    """Return a ring sector with trim all round, its corners rounded by the trim.

    Where trim fills the inner curve, the inside is closed by a straight cut (up to 180 degrees) or by a notch
    (beyond); where it fills the whole opening, a ring or a disc is left, dented where the opening was.
    """
    if trim_mm == 0:
        return sector(inner_mm, outer_mm, turn_rad)
    first, last = first_angle(turn_rad), QUARTER + turn_rad / 2
    if turn_rad <= math.pi:
        fill = _inner_curve if inner_mm > trim_mm else _straight_cut
        inside = fill(inner_mm, first, last, trim_mm)
    else:
        opening = math.tan(math.pi - turn_rad / 2)
        if outer_mm * opening < trim_mm:
            return _shut_ring(inner_mm - trim_mm, outer_mm, turn_rad, trim_mm)
        is_filled = inner_mm <= trim_mm or inner_mm * opening < trim_mm
        inside = () if is_filled else _inner_curve(inner_mm, first, last, trim_mm)
        if is_filled:
            # Both ends, trimmed, meet in the opening at the foot of a notch.
            inner_mm = trim_mm / opening
    return Outline(
        (
            Straight(_beside(inner_mm, first, -trim_mm), _beside(outer_mm, first, -trim_mm)),
            Arc(polar(outer_mm, first), trim_mm, first - QUARTER, QUARTER),
            Arc(ORIGIN, outer_mm + trim_mm, first, turn_rad),
            Arc(polar(outer_mm, last), trim_mm, last, QUARTER),
            Straight(_beside(outer_mm, last, trim_mm), _beside(inner_mm, last, trim_mm)),
            *inside,
        )
    )


def _shut_ring(hole_mm: float, outer_mm: float, turn_rad: float, trim_mm: float) -> Outline:
    """Return the ring left where the trim of both ends meets beyond the edge, slit through the dent to its hole."""
    if turn_rad >= math.tau * (1 - 1e-12):
        return sector(max(0.0, hole_mm), outer_mm + trim_mm, math.tau)
    first, last = first_angle(turn_rad), QUARTER + turn_rad / 2
    aside_mm, y = polar(outer_mm, first)
    # The round corners of the trim cross on the axis, a little inside the trimmed edge.
    lean = math.acos(aside_mm / trim_mm)
    dent: Point = (0.0, y - trim_mm * math.sin(lean))
    rim = (
        Arc(polar(outer_mm, first), trim_mm, lean - math.pi, first + math.pi - lean),
        Arc(ORIGIN, outer_mm + trim_mm, first, turn_rad),
        Arc(polar(outer_mm, last), trim_mm, last, first + math.pi - lean),
    )
    if hole_mm <= 0:
        return Outline(rim)
    seam: Point = (0.0, -hole_mm)
    return Outline(
        (Straight(seam, dent), *rim, Straight(dent, seam), Arc(ORIGIN, hole_mm, -QUARTER, -math.tau))
    )


def _beside(radius_mm: float, angle_rad: float, aside_mm: float) -> Point:
    """Return the point on a radial line, moved aside by a distance (positive: counter-clockwise)."""
    return polar(aside_mm, angle_rad + QUARTER, polar(radius_mm, angle_rad))


def _inner_curve(inner_mm: float, first: float, last: float, trim_mm: float) -> tuple[Run, ...]:
    return (
        Arc(polar(inner_mm, last), trim_mm, last + QUARTER, QUARTER),
        Arc(ORIGIN, inner_mm - trim_mm, last, first - last),
        Arc(polar(inner_mm, first), trim_mm, first + math.pi, QUARTER),
    )


def _straight_cut(inner_mm: float, first: float, last: float, trim_mm: float) -> tuple[Run, ...]:
    left, right = polar(inner_mm, last), polar(inner_mm, first)
    lean = QUARTER - (last - first) / 2
    if inner_mm == 0:
        return (Arc(left, trim_mm, last + QUARTER, 2 * lean),)
    return (
        Arc(left, trim_mm, last + QUARTER, lean),
        Straight((left[0], left[1] - trim_mm), (right[0], right[1] - trim_mm)),
        Arc(right, trim_mm, 3 * QUARTER, lean),
    )
