"""The dome, explained."""

from __future__ import annotations

import math
from functools import partial

from jobs.forming.dome import Dome
from jobs.forming.figured.bands import (
    BORDERS,
    band_angles,
    band_height,
    band_place,
    scaled_height,
)
from jobs.forming.figured.passes import Worked, line_length, pass_chapters, wedge
from jobs.forming.figured.sheet import between_flats, edge_steps, moved, sheet_chapter
from jobs.forming.figured.words import CUT_OUT, chapter, deg, num, rad, step
from jobs.forming.method import kept_in_the_flat
from jobs.forming.result import Chapter, Step, Work
from jobs.forming.standing import polygon_heights


def dome_chapters(dome: Dome, work: Work) -> tuple[Chapter, ...]:
    """Return ball, flat, metal, sheet and passes of a dome."""
    rim, height = num(dome.rim_mm), num(dome.height_mm)
    return (
        chapter(
            "The ball it is a piece of",
            step("Radius of the rim", "a = diameter / 2", f"{num(dome.diameter_mm)} / 2", dome.rim_mm),
            step(
                "Radius of the ball",
                "R = (a² + h²) / 2h",
                f"({rim}² + {height}²) / (2 × {height})",
                dome.radius_mm,
            ),
            step(
                "Angle from top to rim",
                "α = 2 atan(h / a)",
                f"2 × atan({height} / {rim})",
                dome.angle_rad,
                "rad",
            ),
        ),
        _flat(dome, work),
        _metal(dome, work),
        sheet_chapter(work, "disc", "disc"),
        *pass_chapters(
            work,
            partial(_pass, dome),
            ("2π · t/2 · sin α", f"2 × π × {num(work.sheet.thickness_mm)} / 2 × sin {deg(dome.angle_rad)}"),
        ),
    )


def _disc(dome: Dome) -> tuple[str, str]:
    """Return letter and figure of the radius of the disc it is made from."""
    return ("a", num(dome.rim_mm)) if dome.is_stretched else ("s", num(dome.developed_mm))


def _flat(dome: Dome, work: Work) -> Chapter:
    rim, height = num(dome.rim_mm), num(dome.height_mm)
    letter, disc = _disc(dome)
    return chapter(
        "The flat",
        None
        if dome.is_stretched
        else step(
            "From top to rim along the ball",
            "s = R α",
            f"{num(dome.radius_mm)} × {rad(dome.angle_rad)}",
            dome.developed_mm,
        ),
        step(
            f"Disc, {kept_in_the_flat(work)}",
            f"2 {letter}",
            f"2 × {disc}",
            2 * dome.disc_mm,
            words="As wide as the rim: the middle is stretched up, the rim stays as long as it is."
            if dome.is_stretched
            else "From rim to rim over the top, laid flat: its rim is gathered in.",
        ),
        step(
            "Disc, area kept",
            "2 √(a² + h²)",
            f"2 × √({rim}² + {height}²)",
            2 * dome.by_area_mm,
            words="A disc of as much metal as the finished dome has.",
            source="equal area, as for drawn shells",
        ),
        between_flats(
            abs(dome.disc_mm - dome.by_area_mm),
            f"|{num(2 * dome.disc_mm)} − {num(2 * dome.by_area_mm)}| / 2",
            "half the difference of the two discs",
        ),
    )


def _metal(dome: Dome, work: Work) -> Chapter:
    rim, height, edge = num(dome.rim_mm), num(dome.height_mm), work.edges[0]
    letter, disc = _disc(dome)
    return chapter(
        "The metal",
        step("Finished area", "π (a² + h²)", f"π × ({rim}² + {height}²)", work.finished_area_mm2, "mm2",
             source="area of a spherical cap"),
        step(f"Flat area, {kept_in_the_flat(work)}", f"π {letter}²", f"π × {disc}²",
             work.flat_area_by_length_mm2, "mm2"),
        moved(work),
        step("Rim, flat", f"2π {letter}", f"2 × π × {disc}", edge.flat_length_mm),
        step("Rim, finished", "2π a", f"2 × π × {rim}", edge.finished_length_mm),
        *_edge(dome, work),
        step(
            "Stretch angle" if dome.is_stretched else "Gather angle",
            "2π (1 − cos α)",
            f"360° × (1 − cos {deg(dome.angle_rad)})",
            work.gather_angle_rad + work.stretch_angle_rad,
            "rad",
            words=CUT_OUT,
            source="gauss",
        ),
    )  # fmt: skip


def _edge(dome: Dome, work: Work) -> tuple[Step, ...]:
    thickness, rim, edge = num(work.sheet.thickness_mm), num(dome.rim_mm), work.edges[0]
    if not dome.is_stretched:
        at_rim = step("Thickness at the rim", "t s / a", f"{thickness} × {num(dome.developed_mm)} / {rim}",
                      edge.thickness_mm, "mm fine", words="The top stays as the sheet was.", source="volume")  # fmt: skip
        return edge_steps(work, edge, at_rim)
    height = num(dome.height_mm)
    return (
        step("Thickness, spread evenly", "t a² / (a² + h²)",
             f"{thickness} × {rim}² / ({rim}² + {height}²)", edge.thickness_mm, "mm fine",
             words="As if every part were stretched alike; where you stretch more it is thinner.", source="volume"),
        step("Most stretched, from the middle towards the rim", "(h / a)²", f"({height} / {rim})²",
             (dome.height_mm / dome.rim_mm) ** 2, "share",
             words="At the rim, where the metal cannot widen: all of it goes into length."),
    )  # fmt: skip


def _pass(dome: Dome, work: Work, done: Worked) -> tuple[Step | None, ...]:
    inner, outer = band_angles(work, done, dome.angle_rad)
    letter, _ = _disc(dome)
    return (
        *band_place(work, done, dome.disc_mm, letter, "middle"),
        line_length(done, "2π · from the middle", f"2 × π × {num(done.each.from_start_mm)}"),
        wedge(
            work,
            done,
            "c_k = 2π (cos inner − cos outer)",
            f"360° × (cos {deg(inner)} − cos {deg(outer)})",
            BORDERS,
        ),
        *_angle(work, done),
        *(
            band_height(work, done, "α", (letter, dome.disc_mm), ("h", dome.height_mm))
            if dome.is_stretched
            else _rim_height(dome, work, done)
        ),
    )


def _angle(work: Work, done: Worked) -> tuple[Step | None, ...]:
    """Return how steep the rim stands after a pass: as all the wedges closed so far have it."""
    number, each = done.each.number, done.each
    before = math.fsum(one.wedge_rad for one in work.passes[: number - 1])
    so_far = before + each.wedge_rad
    return (
        step("Wedges so far", "C_k = C_j + c_k", f"{deg(before)} + {deg(each.wedge_rad)}", so_far, "rad")
        if number > 1
        else None,
        step(
            "Section angle then",
            "α_k = 2 asin √(C_k / (2 · 360°))",
            f"2 × asin(√({deg(so_far)} / (2 × 360°)))",
            each.section_angle_rad,
            "rad",
            words="The curvature inside a rim settles how steep it stands: C_k = 360° (1 − cos α_k), whichever ring was "
            "worked first. C_k is all the wedges so far; C_j, those before this pass."
            if number == 1
            else "",
            source="gauss",
        ),
    )


def _rim_height(dome: Dome, work: Work, done: Worked) -> tuple[Step, ...]:
    """Return the height after a pass from the rim inwards: a band for each ring but the last, half of one beyond it."""
    count, number = len(work.passes), done.each.number
    heights = polygon_heights(work)
    inner = deg(dome.angle_rad * (count - number) / count)
    pieces = []
    for ring in range(1, number):
        outer = deg(dome.angle_rad * (count - number + ring) / count)
        pieces.append(f"2 × √((cos {inner} − cos {outer}) × (2 − cos {inner} + cos {outer}))")
    figures = " + ".join([*pieces, f"sin {deg(done.each.section_angle_rad)}"])
    letter, _ = _disc(dome)
    return (
        step(
            "Height of the polygon then",
            f"H_k = {letter} / (2 m) · (Σ 2 √(x (2 − x)) + sin α_k), x = cos inner − cos outer",
            f"{num(dome.disc_mm)} / (2 × {count}) × ({figures})",
            heights[number],
            words="Each ring worked stands up what lies beyond it: the outermost as far as α_k, each of the others as "
            "far as the wedges have it from this pass's band out to its own."
            if number == 1
            else "",
            source="gauss",
        ),
        scaled_height(done, heights[number], heights[-1], ("h", dome.height_mm)),
    )
