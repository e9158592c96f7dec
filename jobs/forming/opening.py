"""Whether a flange has room inside its curve, and what would fit where it has none."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from jobs.forming.arcs import versine
from jobs.forming.errors import LONGEST_MM, SHORTEST_MM, ImpossibleShape

if TYPE_CHECKING:
    from jobs.forming.flange import Flange

HALVINGS = 60  # from 100 m down to what a double cannot tell apart


def refuse_closed(shape: Flange, thickness_mm: float, radius_words: str) -> None:
    """Raise ``ImpossibleShape`` where the edge reaches the middle of its curve, or finds too little metal there.

    The refusal names the most depth that this curve has room for, and the least plan radius for this depth, mm;
    ``radius_words`` is what that radius is called where it is typed.
    """
    if _has_room(shape):
        return
    if _reaches_the_middle(shape):
        why = "closes over the middle of" if shape.sign > 0 else "is deeper than the opening inside"
        why = f"The flange {why} its curve"
    else:
        why = "The flange holds more metal than the opening it is stretched from"
    lengths_mm = {"developed": shape.developed_mm, "start": shape.start_radius_mm}
    fits, room_mm = _what_fits(shape, thickness_mm, radius_words)
    raise ImpossibleShape(
        "depth_mm",
        f"{why}: {{developed}} from start line to edge, where the start line's radius is {{start}}. {fits}",
        **lengths_mm,
        **room_mm,
    )


def _reaches_the_middle(shape: Flange) -> bool:
    return shape.edge_radius_mm < SHORTEST_MM or shape.flat_edge_radius_mm < SHORTEST_MM


def _has_room(shape: Flange) -> bool:
    if _reaches_the_middle(shape):
        return False
    return shape.sign > 0 or shape.start_radius_mm**2 > 2 * shape.finished_area_per_rad_mm2


def _what_fits(shape: Flange, thickness_mm: float, radius_words: str) -> tuple[str, dict[str, float]]:
    """Return in words what would fit, and its lengths: the depth first, where any depth does."""
    half_mm = shape.sign * thickness_mm / 2
    room_mm, words = {}, f"Make the {radius_words} at least {{least}}, or the bend smaller."
    if _has_room(replace(shape, straight_mm=0.0)):
        longest_mm = _border(lambda mm: _has_room(replace(shape, straight_mm=mm)), 0.0, shape.straight_mm)
        in_bend_mm = thickness_mm / 2 + shape.bend_radius_mm * versine(shape.bend_angle_rad)
        room_mm["most"] = in_bend_mm + longest_mm * math.sin(shape.bend_angle_rad)
        words = f"Make it at most {{most}} deep, or the {radius_words} at least {{least}}."
    middle_mm = _border(
        lambda mm: _has_room(replace(shape, middle_radius_mm=mm)), 2 * LONGEST_MM, shape.middle_radius_mm
    )
    return words, room_mm | {"least": middle_mm + half_mm}


def _border(fits: Callable[[float], bool], good: float, bad: float) -> float:
    """Return the last value on the way from a good one to a bad one that still fits."""
    for _ in range(HALVINGS):
        middle = (good + bad) / 2
        good, bad = (middle, bad) if fits(middle) else (good, middle)
    return good
