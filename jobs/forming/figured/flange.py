"""What flanges on curved edges share: the section, and the passes along its lines."""

from __future__ import annotations

import math

from jobs.forming.arcs import versine
from jobs.forming.figured.passes import OUR_WAY, Worked, line_length, wedge
from jobs.forming.figured.words import chapter, deg, num, rad, step
from jobs.forming.flange import Flange
from jobs.forming.result import Chapter, Step, Work
from jobs.forming.sheet import Sheet


def signs(shape: Flange) -> tuple[str, str]:
    """Return how the formulas of a gathered flange read for this one: its minus and its plus."""
    return ("−", "+") if shape.sign > 0 else ("+", "−")


def section_chapter(shape: Flange, sheet: Sheet, *, curved: bool = True) -> Chapter:
    """Return the steps from the dimensions typed to the section's lengths, and to its radii where it is curved."""
    rho, thickness = num(shape.bend_radius_mm), num(sheet.thickness_mm)
    return chapter(
        "The section",
        step(
            "Bend radius at the middle of the sheet",
            "ρ = r_in + t/2",
            f"{num(shape.bend_radius_mm - sheet.thickness_mm / 2)} + {thickness} / 2",
            shape.bend_radius_mm,
            words="Lengths are kept at the middle of the sheet, so everything is figured there.",
        ),
        *(_curve(shape, sheet) if curved else ()),
        step(
            "Start line to stop line (bend allowance)",
            "ρ φ",
            f"{rho} × {rad(shape.bend_angle_rad)}",
            shape.bend_mm,
            "mm fine",
            words="As much of the flat as goes into the bend.",
        ),
        _straight(shape, sheet),
        step(
            "Start line to edge along the section",
            "s_e = ρ φ + L",
            f"{num(shape.bend_mm)} + {num(shape.straight_mm)}",
            shape.developed_mm,
        ),
    )


def _curve(shape: Flange, sheet: Sheet) -> tuple[Step, ...]:
    minus, _ = signs(shape)
    middle, rho = num(shape.middle_radius_mm), num(shape.bend_radius_mm)
    outside_mm = shape.middle_radius_mm + shape.sign * sheet.thickness_mm / 2
    return (
        step(
            "Radius of the curve at the middle of the sheet",
            f"R_mid = R_out {minus} t/2",
            f"{num(outside_mm)} {minus} {num(sheet.thickness_mm)} / 2",
            shape.middle_radius_mm,
        ),
        step(
            "Radius of the start line",
            f"R₀ = R_mid {minus} ρ sin φ",
            f"{middle} {minus} {rho} × sin {deg(shape.bend_angle_rad)}",
            shape.start_radius_mm,
            words="Where the bend begins, seen from above.",
        ),
    )


def _straight(shape: Flange, sheet: Sheet) -> Step:
    phi, rho, thickness = deg(shape.bend_angle_rad), num(shape.bend_radius_mm), num(sheet.thickness_mm)
    depth_mm = (
        shape.straight_mm * math.sin(shape.bend_angle_rad)
        + sheet.thickness_mm / 2
        + shape.bend_radius_mm * versine(shape.bend_angle_rad)
    )
    return step(
        "Straight part",
        "L = (depth − t/2 − ρ(1 − cos φ)) / sin φ",
        f"({num(depth_mm)} − {thickness} / 2 − {rho} × (1 − cos {phi})) / sin {phi}",
        shape.straight_mm,
        words="What is left of the depth below the bend.",
    )


def radius_steps(shape: Flange) -> tuple[Step, ...]:
    """Return the edge's radius finished, flat with lengths kept, and flat with area kept."""
    _, plus = signs(shape)
    phi, start, developed = deg(shape.bend_angle_rad), num(shape.start_radius_mm), num(shape.developed_mm)
    rho, straight = num(shape.bend_radius_mm), num(shape.straight_mm)
    per_turn = shape.finished_area_per_rad_mm2
    return (
        step(
            "Radius of the edge, finished",
            f"R = R_mid {plus} L cos φ",
            f"{num(shape.middle_radius_mm)} {plus} {straight} × cos {phi}",
            shape.edge_radius_mm,
        ),
        step(
            "Radius of the edge, flat, lengths kept",
            f"F = R₀ {plus} s_e",
            f"{start} {plus} {developed}",
            shape.flat_edge_radius_mm,
            words="If the metal only bent, without growing or shrinking along the section.",
        ),
        step(
            "Reach of the section, added up along it",
            "A_r = ρ² (1 − cos φ) + L ρ sin φ + L² cos φ / 2",
            f"{rho}² × (1 − cos {phi}) + {straight} × {rho} × sin {phi} + {straight}² × cos {phi} / 2",
            shape.reach_area_mm2,
            "mm2",
            words="Each short piece of the section, times how far out from the start line it comes to stand.",
        ),
        step(
            "Flange for each radian of turn",
            f"A₁ = R₀ s_e {plus} A_r",
            f"{start} × {developed} {plus} {num(shape.reach_area_mm2)}",
            per_turn,
            "mm2",
            words="Each strip round the flange is as long, for a radian (57.3°), as its own radius; all strips together.",
            source="pappus",
        ),
        step(
            "Radius of the edge, flat, area kept",
            f"F_A = √(R₀² {plus} 2 A₁)",
            f"√({start}² {plus} 2 × {num(per_turn)})",
            shape.flat_edge_radius_by_area_mm,
            words="If the flange had as much metal flat as finished.",
        ),
    )


def thickness_step(shape: Flange, work: Work, name: str) -> Step:
    """Return the thickness at the edge."""
    return step(
        name,
        "t · F / R",
        f"{num(work.sheet.thickness_mm)} × {num(shape.flat_edge_radius_mm)} / {num(shape.edge_radius_mm)}",
        work.edges[0].thickness_mm,
        "mm fine",
        words="The rest of the panel stays as the sheet was.",
        source="volume",
    )


def flange_pass(shape: Flange, turn_rad: float, work: Work, done: Worked) -> tuple[Step | None, ...]:
    """Return line, angle and wedge of one pass of a flange."""
    each, count, phi = done.each, len(work.passes), deg(shape.bend_angle_rad)
    share = f"{phi} × ({each.number} − 1 / 2) / ({count} − 1)"
    return (
        step(
            "Line, from the start line",
            "ρ φ (k − 1) / (m − 1)",
            f"{num(shape.bend_mm)} × ({each.number} − 1) / ({count} − 1)",
            each.from_start_mm,
            words="Lines equally spaced from start to stop." if each.number == 1 else "",
            source=OUR_WAY,
        ),
        step(
            "Line, from the edge",
            "l_k = s_e − from the start line",
            f"{num(shape.developed_mm)} − {num(each.from_start_mm)}",
            each.from_edge_mm,
        ),
        _line_length(shape, turn_rad, done),
        step(
            "Section angle then",
            "φ_k = φ" if done.last else "φ_k = φ (k − 1/2) / (m − 1)",
            phi if done.last else share,
            each.section_angle_rad,
            "rad",
            words="The lines at both ends turn half as far as those between." if each.number == 1 else "",
            source="" if done.last else OUR_WAY,
        ),
        wedge(
            work,
            done,
            "c_k = θ (cos φ_j − cos φ_k)",
            f"{deg(turn_rad)} × (cos {deg(done.angle_before_rad)} − cos {deg(each.section_angle_rad)})",
        ),
    )


def _line_length(shape: Flange, turn_rad: float, done: Worked) -> Step | None:
    _, plus = signs(shape)
    return line_length(
        done,
        f"θ (R₀ {plus} from the start line)",
        f"{rad(turn_rad)} × ({num(shape.start_radius_mm)} {plus} {num(done.each.from_start_mm)})",
    )


def outside_face(shape: Flange, turn_rad: float, sheet: Sheet) -> tuple[str, str]:
    """Return formula and figures of what a tape on the outside face of the finished edge reads more, or less."""
    return (
        "θ · t/2 · sin φ",
        f"{rad(turn_rad)} × {num(sheet.thickness_mm)} / 2 × sin {deg(shape.bend_angle_rad)}",
    )
