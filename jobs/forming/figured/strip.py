"""The section swept round an arc and the crowned panel, explained: both are strips carried round an arc."""

from __future__ import annotations

from functools import partial

from jobs.forming.crown import Crown
from jobs.forming.figured.passes import (
    Worked,
    band_angle,
    band_angles,
    band_height,
    band_place,
    pass_chapters,
    wedge,
)
from jobs.forming.figured.sheet import between_flats, edge_steps, moved, sheet_chapter
from jobs.forming.figured.words import chapter, deg, num, rad, step
from jobs.forming.result import Chapter, Step, Work
from jobs.forming.strip import Strip
from jobs.forming.sweep import Sweep


def sweep_chapters(sweep: Sweep, work: Work) -> tuple[Chapter, ...]:
    """Return section, flat, metal, sheet and passes of a sweep."""
    strip = sweep.strip()
    return (
        chapter(
            "The section",
            step(
                "Length of the strip",
                "l = θ R_c",
                f"{rad(sweep.turn_rad)} × {num(sweep.crown_radius_mm)}",
                strip.length_mm,
                words="Along the crown, where the strip keeps its length.",
            ),
            step(
                "Curved part on either side",
                "a = (w − f) / 2",
                f"({num(sweep.width_mm)} − {num(sweep.flat_mm)}) / 2",
                strip.side_mm,
            ),
            *_section_steps(strip),
        ),
        *_strip_chapters(strip, work, "stop line"),
    )


def crown_chapters(crown: Crown, work: Work) -> tuple[Chapter, ...]:
    """Return section, flat, metal, sheet and passes of a crowned panel."""
    strip = crown.strip()
    half_rad = strip.turn_rad / 2
    return (
        chapter(
            "The section",
            step(
                "Turn along the length",
                "θ = 4 atan(2 h / c)",
                f"4 × atan(2 × {num(crown.length_height_mm)} / {num(crown.length_mm)})",
                strip.turn_rad,
                "rad",
                source="arc over a chord",
            ),
            step(
                "Length over the crown",
                "l = c (θ/2) / sin(θ/2)" if half_rad else "l = c",
                f"{num(crown.length_mm)} × {rad(half_rad)} / sin {deg(half_rad)}"
                if half_rad
                else num(crown.length_mm),
                strip.length_mm,
            ),
            step("Half the width", "a = width / 2", f"{num(crown.width_mm)} / 2", strip.side_mm),
            *_section_steps(strip),
        ),
        *_strip_chapters(strip, work, "middle"),
    )


def _section_steps(strip: Strip) -> tuple[Step, ...]:
    """Return how far the section turns down, and its length along the metal."""
    side, angle, developed = num(strip.side_mm), deg(strip.angle_rad), num(strip.developed_mm)
    return (
        step(
            "How far the section turns down",
            "ψ = 2 atan(d / a)" if strip.drop_mm else "ψ = 0, there being no drop",
            f"2 × atan({num(strip.drop_mm)} / {side})" if strip.drop_mm else "0",
            strip.angle_rad,
            "rad",
        ),
        step(
            "From flat to edge along the section"
            if strip.flat_mm
            else "From middle to edge along the section",
            "s = a ψ / sin ψ" if strip.drop_mm else "s = a",
            f"{side} × {rad(strip.angle_rad)} / sin {angle}" if strip.drop_mm else side,
            strip.developed_mm,
        ),
        step(
            "Width laid flat",
            "f + 2 s" if strip.flat_mm else "2 s",
            f"{num(strip.flat_mm)} + 2 × {developed}" if strip.flat_mm else f"2 × {developed}",
            strip.width_mm,
        ),
    )


def _strip_chapters(strip: Strip, work: Work, whence: str) -> tuple[Chapter, ...]:
    return (
        _flat(strip, work),
        _metal(strip, work),
        sheet_chapter(work),
        *pass_chapters(work, partial(_pass, strip, whence)),
    )


def _flat(strip: Strip, work: Work) -> Chapter:
    length, width = num(strip.flat_length_mm), num(strip.width_mm)
    kept = "edges kept" if strip.stretched else "lengths kept"
    fall = num(strip.fall_mm2)
    return chapter(
        "The flat",
        step(
            "Length of either edge, finished",
            "θ (R_c − d) = l − θ d",
            f"{num(strip.length_mm)} − {rad(strip.turn_rad)} × {num(strip.drop_mm)}",
            strip.edge_mm,
            words="The edge lies nearer to the middle of the arc, so it is shorter than the crown.",
        ),
        step(
            f"Flat area, {kept}",
            "length · width laid flat",
            f"{length} × {width}",
            work.flat_area_by_length_mm2,
            "mm2",
        ),
        _fall(strip) if strip.drop_mm else None,
        step(
            "Finished area",
            "l · width laid flat − 2 θ A_z",
            f"{num(strip.length_mm)} × {width} − 2 × {rad(strip.turn_rad)} × {fall}",
            work.finished_area_mm2,
            "mm2",
            source="pappus",
        ),
        step(
            "Width of the flat, area kept",
            "finished area / length",
            f"{num(work.finished_area_mm2)} / {length}",
            strip.width_by_area_mm,
        ),
        between_flats(
            abs(strip.width_mm - strip.width_by_area_mm) / 2,
            f"|{width} − {num(strip.width_by_area_mm)}| / 2",
            "half the difference in width",
        ),
    )


def _fall(strip: Strip) -> Step:
    turned = f"{strip.angle_rad:.6g}"
    return step(
        "Area between section and crown, one side",
        "A_z = (s/ψ)² (ψ − sin ψ)",
        f"({num(strip.developed_mm)} / {turned})² × ({turned} − sin {turned} rad)",
        strip.fall_mm2,
        "mm2",
        words="The side is an arc; this is what it leaves free below the crown.",
    )


def _metal(strip: Strip, work: Work) -> Chapter:
    turn, angle = deg(strip.turn_rad), deg(strip.angle_rad)
    angles = step(
        "Stretch angle, both sides" if strip.stretched else "Gather angle, both sides",
        "2 θ sin ψ",
        f"2 × {turn} × sin {angle}",
        strip.curvature_rad,
        "rad",
        words="All the wedges one would have to cut out: the shape's own measure of the work.",
        source="gauss",
    )
    if not work.passes:
        return chapter("The metal", angles, words="It is curved one way only: no metal is moved.")
    return chapter("The metal", moved(work), *_edges(strip, work), angles)


def _edges(strip: Strip, work: Work) -> tuple[Step, ...]:
    sheet, edge, crown = num(work.sheet.thickness_mm), num(strip.edge_mm), num(strip.length_mm)
    if not strip.stretched:
        at_edge = step("Thickness at the edge", "t · crown / edge", f"{sheet} × {crown} / {edge}",
                       work.edges[0].thickness_mm, "mm fine", words="The middle stays as the sheet was.",
                       source="volume")  # fmt: skip
        return edge_steps(work, work.edges[0], at_edge)
    return (
        step("Length to gain in the middle", "crown − edge", f"{crown} − {edge}", strip.length_mm - strip.edge_mm),
        step("As a share of its length", "crown / edge − 1", f"{crown} / {edge} − 1",
             strip.crown_to_edge - 1, "share"),
        step("Thickness in the middle", "t · edge / crown", f"{sheet} × {edge} / {crown}", work.thinnest_mm, "mm fine",
             words="The edges stay as the sheet was.", source="volume"),
    )  # fmt: skip


def _pass(strip: Strip, whence: str, work: Work, done: Worked) -> tuple[Step, ...]:
    inner, outer = band_angles(work, done, strip.angle_rad)
    return (
        *band_place(work, done, strip.developed_mm, "s", whence),
        band_angle(work, done, "ψ", strip.angle_rad),
        wedge(
            work,
            done,
            "c_k = θ (sin outer − sin inner)",
            f"{deg(strip.turn_rad)} × (sin {deg(outer)} − sin {deg(inner)})",
        ),
        band_height(work, done, strip.drop_mm, "d"),
    )
