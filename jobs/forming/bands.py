"""Passes for a section that is still curving when it meets the edge: equal bands, each worked along its middle.

The polygon of lines from start to stop that serves a flange would put its last line on the edge itself, where
nothing can be taken up; bands put every line where there is metal between it and the edge.
"""

from __future__ import annotations

import math
from collections.abc import Callable

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

    Each band turns the section by the same angle. The height to read is that of the polygon turned so far,
    scaled so that the last one is the height ordered.

    Source: our own way of sharing out; the wedges are geometry and add up to the whole curvature.
    """
    middles = band_middles(developed_mm, count)
    turn_rad = angle_rad / count
    heights = [
        _polygon_height(middles, developed_mm, turn_rad, done, inwards) for done in range(1, count + 1)
    ]
    order = range(count - 1, -1, -1) if inwards else range(count)
    return [
        Station(
            line=f"{word} {number}",
            from_start_mm=middles[band],
            from_edge_mm=developed_mm - middles[band],
            line_length_mm=line_length_mm(middles[band]),
            wedge_rad=wedge_rad(band * turn_rad, (band + 1) * turn_rad),
            section_angle_rad=number * turn_rad,
            height_mm=height_mm * heights[number - 1] / heights[-1],
        )
        for number, band in enumerate(order, start=1)
    ]


def _polygon_height(
    middles: tuple[float, ...], developed_mm: float, turn_rad: float, done: int, inwards: bool
) -> float:
    hinges = middles[len(middles) - done :] if inwards else middles[:done]
    ends = (*hinges[1:], developed_mm)
    return math.fsum(
        (end - hinge) * math.sin(number * turn_rad)
        for number, (hinge, end) in enumerate(zip(hinges, ends, strict=True), start=1)
    )
