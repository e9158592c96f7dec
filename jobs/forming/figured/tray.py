"""The tray, explained."""

from __future__ import annotations

from functools import partial

from jobs.forming.arcs import QUARTER
from jobs.forming.figured.flange import (
    flange_pass,
    outside_face,
    radius_steps,
    section_chapter,
    thickness_step,
)
from jobs.forming.figured.passes import pass_chapters
from jobs.forming.figured.sheet import between_flats, edge_steps, moved, sheet_chapter
from jobs.forming.figured.words import CUT_OUT, chapter, deg, num, rad, step
from jobs.forming.flange import Flange
from jobs.forming.result import Chapter, Step, Work
from jobs.forming.tray import Tray

ENDS, SIDES = ("front", "back"), ("left", "right")


def tray_chapters(tray: Tray, work: Work) -> tuple[Chapter, ...]:
    """Return section, flat, metal, sheet and passes of a tray."""
    shape = tray.flange(work.sheet)
    return (
        section_chapter(shape, work.sheet, curved=bool(tray.corners)),
        _flat(tray, shape, work),
        _metal(tray, shape, work),
        sheet_chapter(work, "whole flat, length", "whole flat, width"),
        *pass_chapters(work, partial(flange_pass, shape, QUARTER), outside_face(shape, QUARTER, work.sheet)),
    )


def _flat(tray: Tray, shape: Flange, work: Work) -> Chapter:
    inset_mm = tray.plan_view(shape, work.sheet).inset_mm
    corner_mm, by_area_mm = shape.flat_edge_radius_mm, shape.flat_edge_radius_by_area_mm
    corners = (
        *radius_steps(shape),
        between_flats(abs(corner_mm - by_area_mm), f"|{num(corner_mm)} − {num(by_area_mm)}|", "|F − F_A|"),
    )
    return chapter(
        "The flat",
        step(
            "From the outside in to the start line",
            "e = t/2 + ρ sin φ",
            f"{num(work.sheet.thickness_mm)} / 2 + {num(shape.bend_radius_mm)} × sin {deg(tray.bend_angle_rad)}",
            inset_mm,
        ),
        _whole(tray, "Whole flat, length", tray.length_mm, ENDS, inset_mm, shape.developed_mm),
        _whole(tray, "Whole flat, width", tray.width_mm, SIDES, inset_mm, shape.developed_mm),
        *(corners if tray.corners else ()),
    )


def _flanges(tray: Tray, ends: tuple[str, str]) -> int:
    return sum(end in tray.sides.split() for end in ends)


def _whole(
    tray: Tray, name: str, over_mm: float, ends: tuple[str, str], inset_mm: float, developed_mm: float
) -> Step:
    """Return a side of the flat: what is inside the start lines, and each flange beside it."""
    flanges = _flanges(tray, ends)
    count = {0: "no flange at either end", 1: "a flange at one end", 2: "a flange at both ends"}[flanges]
    times, letters = ("", "") if flanges < 2 else (f"{flanges} × ", f"{flanges} ")
    grown = f" − {times}{num(inset_mm)} + {times}{num(developed_mm)}"
    return step(
        name,
        "outside" + (f" − {letters}e + {letters}s_e" if flanges else ""),
        num(over_mm) + (grown if flanges else ""),
        over_mm + flanges * (developed_mm - inset_mm),
        words=f"There is {count}.",
    )


def _flat_area(tray: Tray, shape: Flange, work: Work) -> Step:
    grows_mm = shape.developed_mm - tray.plan_view(shape, work.sheet).inset_mm
    length = num(tray.length_mm + _flanges(tray, ENDS) * grows_mm)
    width = num(tray.width_mm + _flanges(tray, SIDES) * grows_mm)
    rounded = f" − {tray.corners} × (1 − π / 4) × {num(shape.flat_edge_radius_mm)}²" if tray.corners else ""
    return step(
        "Flat area, lengths kept" if tray.corners else "Area, flat and finished",
        "length · width" + (" − n (1 − π/4) F²" if tray.corners else ""),
        f"{length} × {width}{rounded}",
        work.flat_area_by_length_mm2,
        "mm2",
        words="The whole flat, less what its rounded corners lack."
        if tray.corners
        else "Its flanges are straight bends: no metal is moved.",
    )


def _metal(tray: Tray, shape: Flange, work: Work) -> Chapter:
    flat = _flat_area(tray, shape, work)
    if not tray.corners:
        return chapter("The metal", flat)
    return chapter(
        "The metal",
        flat,
        moved(
            work,
            "n · 90° (s_e²/2 − A_r)",
            f"{tray.corners} × {rad(QUARTER)} × ({num(shape.developed_mm)}² / 2 − {num(shape.reach_area_mm2)})",
        ),
        step(
            "Finished area",
            "flat area, lengths kept − metal moved",
            f"{num(work.flat_area_by_length_mm2)} − {num(work.moved_area_mm2)}",
            work.finished_area_mm2,
            "mm2",
        ),
        *_corner_edge(shape, work),
        step(
            "Gather angle, all corners",
            "n · 90° (1 − cos φ)",
            f"{tray.corners} × 90° × (1 − cos {deg(tray.bend_angle_rad)})",
            work.gather_angle_rad,
            "rad",
            words=CUT_OUT,
            source="gauss",
        ),
    )


def _corner_edge(shape: Flange, work: Work) -> tuple[Step, ...]:
    edge, quarter = work.edges[0], rad(QUARTER)
    flat, finished = num(shape.flat_edge_radius_mm), num(shape.edge_radius_mm)
    return (
        step(
            "Edge of a corner, flat",
            "90° · F",
            f"{quarter} × {flat}",
            edge.flat_length_mm,
        ),
        step(
            "Edge of a corner, finished",
            "90° · R",
            f"{quarter} × {finished}",
            edge.finished_length_mm,
        ),
        *edge_steps(work, edge, thickness_step(shape, work, "Thickness at a corner's edge")),
    )
