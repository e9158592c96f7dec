"""The tray, explained."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from jobs.forming.arcs import QUARTER
from jobs.forming.figured.flange import flange_pass, radius_steps, section_chapter, thickness_step
from jobs.forming.figured.passes import pass_chapters
from jobs.forming.figured.sheet import between_flats, edge_steps, moved, sheet_chapter
from jobs.forming.figured.words import chapter, deg, num, rad, step
from jobs.forming.flange import Flange
from jobs.forming.result import Chapter, Step, Work

if TYPE_CHECKING:
    from jobs.forming.tray import Tray

ENDS, SIDES = ("front", "back"), ("left", "right")


def tray_chapters(tray: Tray, work: Work) -> tuple[Chapter, ...]:
    """Return section, flat, metal, sheet and passes of a tray."""
    shape = tray.flange(work.sheet)
    return (
        section_chapter(shape, work.sheet),
        _flat(tray, shape, work),
        _metal(tray, shape, work),
        sheet_chapter(work),
        *pass_chapters(work, partial(flange_pass, shape, QUARTER)),
    )


def _flat(tray: Tray, shape: Flange, work: Work) -> Chapter:
    inset_mm = tray.plan(shape, work.sheet).inset_mm
    corner_mm, by_area_mm = shape.flat_edge_radius_mm, shape.flat_edge_radius_by_area_mm
    corners = (
        *radius_steps(shape),
        between_flats(abs(corner_mm - by_area_mm), f"|{num(corner_mm)} − {num(by_area_mm)}|", "|F − F_A|"),
    )
    return chapter(
        "The flat",
        step(
            "From the outside in to the start line",
            "e = t/2 + R_mid − R₀",
            f"{num(work.sheet.thickness_mm)} / 2 + {num(shape.middle_radius_mm)} − {num(shape.start_radius_mm)}",
            inset_mm,
        ),
        _over(tray, work, "Whole flat, length", tray.length_mm, ENDS, inset_mm),
        _over(tray, work, "Whole flat, width", tray.width_mm, SIDES, inset_mm),
        *(corners if tray.corners else ()),
    )


def _over(tray: Tray, work: Work, name: str, over_mm: float, ends: tuple[str, str], inset_mm: float) -> Step:
    """Return a side of the flat: what is inside the start lines, and each flange beside it."""
    flanged = sum(end in tray.sides.split() for end in ends)
    developed_mm = work.flat_length_mm or 0.0
    count = {0: "no flange at either end", 1: "a flange at one end", 2: "a flange at both ends"}[flanged]
    times = f"{flanged} × " if flanged > 1 else ""
    return step(
        name,
        f"outside{f' − {flanged} e + {flanged} s_e' if flanged > 1 else ' − e + s_e' if flanged else ''}",
        num(over_mm) + (f" − {times}{num(inset_mm)} + {times}{num(developed_mm)}" if flanged else ""),
        over_mm + flanged * (developed_mm - inset_mm),
        words=f"There is {count}.",
    )


def _metal(tray: Tray, shape: Flange, work: Work) -> Chapter:
    inset_mm, developed_mm = tray.plan(shape, work.sheet).inset_mm, shape.developed_mm
    sides = tray.sides.split()
    length, width = (
        num(over_mm + sum(end in sides for end in ends) * (developed_mm - inset_mm))
        for over_mm, ends in ((tray.length_mm, ENDS), (tray.width_mm, SIDES))
    )
    radius = num(shape.flat_edge_radius_mm)
    rounded = f" − {tray.corners} × (1 − π / 4) × {radius}²" if tray.corners else ""
    flat = step(
        "Flat area, lengths kept",
        "length · width" + (" − n (1 − π/4) F²" if tray.corners else ""),
        f"{length} × {width}{rounded}",
        work.flat_area_by_length_mm2,
        "mm2",
        words="The rectangle, less what its rounded corners lack." if tray.corners else "",
    )
    if not tray.corners:
        return chapter("The metal", flat)
    return chapter(
        "The metal",
        flat,
        moved(
            work,
            "n · 90° (s_e²/2 − A_r)",
            f"{tray.corners} × {rad(QUARTER)} × ({num(developed_mm)}² / 2 − {num(shape.reach_area_mm2)})",
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
            words="All the wedges one would have to cut out: the shape's own measure of the work.",
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
