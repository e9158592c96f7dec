"""The rectangle of sheet that the flat of a flange is cut from."""

from __future__ import annotations

import math

from jobs.forming.arch import Arch
from jobs.forming.arcs import QUARTER
from jobs.forming.figured.words import deg, num, step
from jobs.forming.flange import Flange
from jobs.forming.result import Step, Work

NEAR = 1e-6  # of a side: what rounding leaves


def rectangle_steps(arch: Arch, shape: Flange, work: Work) -> tuple[Step, ...]:
    """Return both sides of the smallest rectangle round the flat, without trim; the longer one first.

    Up to half a turn it lies level under the arc or flush with one end; a wider arc lies as its outer radius has it.
    Where trim alone decides how it is turned, the sides are given without a formula.
    """
    long_mm, short_mm = (
        side - 2 * work.marking.trim_mm for side in (work.blank_length_mm, work.blank_width_mm)
    )
    for words, sides in _ways(arch, shape):
        sides = sorted(sides, key=lambda side: -side.value)
        found = [side.value for side in sides]
        if math.isclose(found[0], long_mm, rel_tol=NEAR) and math.isclose(found[1], short_mm, rel_tol=NEAR):
            return tuple(
                _named(side, name, words) for side, name in zip(sides, ("Longer", "Shorter"), strict=True)
            )
    words = "Of the rectangle round the flat and its trim, turned on the sheet as it takes least."
    return tuple(
        step(f"{name} side of the flat", "side of the rectangle − 2 · trim",
             f"{num(mm + 2 * work.marking.trim_mm)} − 2 × {num(work.marking.trim_mm)}", mm, words=words)
        for name, mm in (("Longer", long_mm), ("Shorter", short_mm))
    )  # fmt: skip


def web_step(arch: Arch, shape: Flange) -> Step | None:
    """Return the radius at which a flat web ends, where the blank carries one."""
    if not arch.web_mm:
        return None
    sign = "+" if arch.stretch else "−"
    return step(
        "Radius of the web's far edge",
        f"R_w = R₀ {sign} w",
        f"{num(shape.start_radius_mm)} {sign} {num(arch.web_mm)}",
        web_radius_mm(arch, shape),
    )


def web_radius_mm(arch: Arch, shape: Flange) -> float:
    """Return the radius at which the flat ends on the web's side."""
    return max(0.0, shape.start_radius_mm - shape.sign * arch.web_mm)


def _named(side: Step, name: str, words: str) -> Step:
    words = words if name == "Longer" else ""
    return step(f"{name} side of the flat", side.formula, side.figures, side.value, words=words)


def _ways(arch: Arch, shape: Flange) -> list[tuple[str, list[Step]]]:
    """Return the ways to lay a rectangle round the flat, each with its two sides."""
    web = "R_w" if arch.web_mm else "R₀"
    radii = [("F", shape.flat_edge_radius_mm), (web, web_radius_mm(arch, shape))]
    (inner, inner_mm), (outer, outer_mm) = reversed(radii) if shape.sign > 0 else radii
    turn_rad, half = arch.turn_rad, deg(arch.turn_rad / 2)
    far, near = num(outer_mm), num(inner_mm)
    if turn_rad > math.pi:
        sides = [
            step("", f"2 {outer}", f"2 × {far}", 2 * outer_mm),
            step(
                "",
                f"{outer} (1 − cos(θ/2))",
                f"{far} × (1 − cos {half})",
                outer_mm * (1 - math.cos(turn_rad / 2)),
            ),
        ]
        return [("The smallest rectangle round it.", sides)]
    level = [
        step("", f"2 {outer} sin(θ/2)", f"2 × {far} × sin {half}", 2 * outer_mm * math.sin(turn_rad / 2)),
        step("", f"{outer} − {inner} cos(θ/2)", f"{far} − {near} × cos {half}",
             outer_mm - inner_mm * math.cos(turn_rad / 2)),
    ]  # fmt: skip
    whole = deg(turn_rad)
    beyond = turn_rad > QUARTER
    back, back_mm = (outer, outer_mm) if beyond else (inner, inner_mm)
    flush = [
        step("", f"{outer} − {back} cos θ", f"{far} − {num(back_mm)} × cos {whole}",
             outer_mm - back_mm * math.cos(turn_rad)),
        step("", outer, far, outer_mm)
        if beyond
        else step("", f"{outer} sin θ", f"{far} × sin {whole}", outer_mm * math.sin(turn_rad)),
    ]  # fmt: skip
    return [
        ("The smallest rectangle round it, level under the arc.", level),
        ("The smallest rectangle round it, flush with one end.", flush),
    ]
