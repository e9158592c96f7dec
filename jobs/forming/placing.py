"""Where each gather is drawn on the flat sheet."""

from __future__ import annotations

from collections.abc import Iterator

from jobs.forming.outline import polar
from jobs.forming.result import Gather, Pass, Point

# More than this on one panel is a blot, not a drawing; the passes still count them.
MOST_DRAWN = 600


def are_drawn(passes: tuple[Pass, ...], times: int = 1) -> bool:
    """Return whether the gathers are few enough to be drawn one by one."""
    return sum(each.gathers for each in passes) * times <= MOST_DRAWN


def on_sector(
    passes: tuple[Pass, ...],
    start_radius_mm: float,
    edge_radius_mm: float,
    first_rad: float,
    turn_rad: float,
    centre: Point = (0.0, 0.0),
    already: int = 0,
) -> Iterator[Gather]:
    """Yield gathers on a ring sector: apex on the pass's line, open towards the edge, evenly spread."""
    outward = 1.0 if edge_radius_mm >= start_radius_mm else -1.0
    for each in passes:
        if not each.gathers:
            continue
        apex_mm = start_radius_mm + outward * each.from_start_mm
        half_rad = abs(each.take_up_mm) / each.gathers / edge_radius_mm / 2
        for index in range(each.gathers):
            middle_rad = first_rad + turn_rad * (index + 0.5) / each.gathers
            yield Gather(
                number=already * each.gathers + index + 1,
                pass_number=each.number,
                apex=polar(apex_mm, middle_rad, centre),
                left=polar(edge_radius_mm, middle_rad + half_rad, centre),
                right=polar(edge_radius_mm, middle_rad - half_rad, centre),
            )


def on_strip(
    passes: tuple[Pass, ...], length_mm: float, edge_y_mm: float, side: int, already: int = 0
) -> Iterator[Gather]:
    """Yield gathers along a straight edge at ``edge_y_mm``: above the strip for side 1, below for -1."""
    for each in passes:
        if not each.gathers:
            continue
        half_mm = abs(each.take_up_mm) / each.gathers / 2
        for index in range(each.gathers):
            x = length_mm * ((index + 0.5) / each.gathers - 0.5)
            yield Gather(
                number=already * each.gathers + index + 1,
                pass_number=each.number,
                apex=(x, edge_y_mm - side * each.from_edge_mm),
                left=(x - half_mm, edge_y_mm),
                right=(x + half_mm, edge_y_mm),
            )
