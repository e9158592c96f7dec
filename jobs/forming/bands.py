"""Passes for a section that is still curving when it meets the edge: equal bands, each worked along its middle.

The polygon of lines from start to stop that serves a flange would put its last line on the edge itself, where
nothing can be taken up; bands put every line where there is metal between it and the edge.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import accumulate

from jobs.forming.passes import Station


def band_middles(developed_mm: float, count: int) -> tuple[float, ...]:
    """Return the middles of equal bands, from where the curve begins to the edge, mm.

    >>> band_middles(60.0, 3)
    (10.0, 30.0, 50.0)
    """
    return tuple(developed_mm * (index + 0.5) / count for index in range(count))


def band_stations(
    *,
    word: str,
    developed_mm: float,
    angle_rad: float,
    height_mm: float,
    count: int,
    wedge_rad: Callable[[float, float], float],
    line_length_mm: Callable[[float], float],
    inwards: bool,
    angle_of: Callable[[float], float] | None = None,
) -> list[Station]:
    """Return one station for each band, from the edge inwards or from the middle outwards.

    Parameters
    ----------
    word
        What such a line is called, ``line`` or ``ring``; 1 is worked first.
    developed_mm, angle_rad, height_mm
        Length along the section, angle it turns through, and height it rises.
    wedge_rad
        Total curvature between two section angles.
    line_length_mm
        Length of the line at a distance from where the curve begins, on the flat.
    angle_of
        The section angle that so much total curvature stands the edge at, where it alone settles that.

    Each band of the finished section turns by the same angle. A strip stands so much steeper after each pass: it
    rolls up meanwhile, so that wedges and angle leave room for each other. A dome is closed all round from the
    first pass on and stands as its wedges have it, worked in either direction. The height to read is that of the
    polygon whose hinges are the lines worked so far, scaled so that the last one is the height ordered.

    Source: Gauss-Bonnet for wedges and ``angle_of``; the sharing out is our own way.
    """
    middles = band_middles(developed_mm, count)
    turn_rad = angle_rad / count
    wedges = [wedge_rad(band * turn_rad, (band + 1) * turn_rad) for band in range(count)]
    order = range(count - 1, -1, -1) if inwards else range(count)
    stands = [
        standing_rad(wedges[count - done :] if inwards else wedges[:done], turn_rad, angle_of)
        for done in range(1, count + 1)
    ]
    heights = [
        polygon_height_mm(middles[count - done :] if inwards else middles[:done], developed_mm, angles)
        for done, angles in enumerate(stands, start=1)
    ]
    return [
        Station(
            line=f"{word} {number}",
            from_start_mm=middles[band],
            from_edge_mm=developed_mm - middles[band],
            line_length_mm=line_length_mm(middles[band]),
            wedge_rad=wedges[band],
            section_angle_rad=stands[number - 1][-1],
            height_mm=height_mm * heights[number - 1] / heights[-1],
        )
        for number, band in enumerate(order, start=1)
    ]


def standing_rad(
    wedges_rad: Sequence[float], turn_rad: float, angle_of: Callable[[float], float] | None
) -> list[float]:
    """Return the angle of the section beyond each line worked, from the inmost outwards, by the wedges they close."""
    if angle_of is None:
        return [turn_rad * count for count in range(1, len(wedges_rad) + 1)]
    return [angle_of(closed_rad) for closed_rad in accumulate(wedges_rad)]


def polygon_height_mm(hinges: Sequence[float], developed_mm: float, angles_rad: Sequence[float]) -> float:
    """Return how high a section stands that is straight but for its hinges, mm, each piece at the angle beyond one.

    >>> round(polygon_height_mm([10.0, 30.0], 50.0, [math.pi / 6, math.pi / 2]), 9)
    30.0
    """
    ends = (*hinges[1:], developed_mm)
    return math.fsum(
        (end - hinge) * math.sin(angle) for hinge, end, angle in zip(hinges, ends, angles_rad, strict=True)
    )
