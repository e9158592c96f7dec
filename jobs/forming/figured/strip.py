"""The section swept round an arc and the crowned panel, explained: both are strips carried round an arc."""

from __future__ import annotations

from functools import partial

from jobs.forming.crown import Crown
from jobs.forming.figured.bands import BORDERS, band_angle, band_angles, band_height, band_place
from jobs.forming.figured.passes import Worked, line_length, pass_chapters, wedge
from jobs.forming.figured.sheet import between_flats, edge_steps, moved, sheet_chapter
from jobs.forming.figured.words import CUT_OUT, chapter, deg, less, num, rad, step
from jobs.forming.method import kept_in_the_flat
from jobs.forming.result import Chapter, Step, Work
from jobs.forming.strip import Strip
from jobs.forming.sweep import Sweep

ARC = "arc over a chord"


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
                words="Along the crown, where the strip keeps its length. The middle of the sheet is taken to lie there.",
            ),
            step(
                "Curved part on either side",
                "a = (w − f) / 2",
                f"({num(sweep.width_mm)} − {num(sweep.flat_mm)}) / 2",
                strip.side_mm,
            ),
            *_section_steps(strip),
        ),
        *_strip_chapters(strip, work, "stop line" if strip.flat_mm else "middle"),
    )


def crown_chapters(crown: Crown, work: Work) -> tuple[Chapter, ...]:
    """Return section, flat, metal, sheet and passes of a crowned panel."""
    strip = crown.strip()
    return (
        chapter(
            "The section",
            *_length_steps(crown, strip),
            step("Half the width", "a = width / 2", f"{num(crown.width_mm)} / 2", strip.side_mm),
            *_section_steps(strip),
        ),
        *_strip_chapters(strip, work, "middle"),
    )


def _length_steps(crown: Crown, strip: Strip) -> tuple[Step, ...]:
    """Return how far the length turns, at which radius, and how long it is over the crown."""
    chord, height = num(crown.length_mm), num(crown.length_height_mm)
    if not strip.turn_rad:
        return (
            step(
                "Length over the crown",
                "l = c",
                chord,
                strip.length_mm,
                words="It is straight along the length.",
            ),
        )
    radius_mm = strip.length_mm / strip.turn_rad
    return (
        step(
            "Radius along the length",
            "R_c = (c² / 4 + h²) / (2 h)",
            f"({chord}² / 4 + {height}²) / (2 × {height})",
            radius_mm,
            source=ARC,
        ),
        step(
            "Turn along the length",
            "θ = 4 atan(2 h / c)",
            f"4 × atan(2 × {height} / {chord})",
            strip.turn_rad,
            "rad",
            source=ARC,
        ),
        step(
            "Length over the crown", "l = θ R_c", f"{rad(strip.turn_rad)} × {num(radius_mm)}", strip.length_mm
        ),
    )


def _section_steps(strip: Strip) -> tuple[Step | None, ...]:
    """Return how far the section turns down, its radius, and its length along the metal."""
    whence = "flat" if strip.flat_mm else "middle"
    side, drop, developed = num(strip.side_mm), num(strip.drop_mm), num(strip.developed_mm)
    width = step(
        "Width laid flat",
        "f + 2 s" if strip.flat_mm else "2 s",
        f"{num(strip.flat_mm)} + 2 × {developed}" if strip.flat_mm else f"2 × {developed}",
        strip.width_mm,
    )
    if not strip.drop_mm:
        level = step(
            f"From {whence} to edge along the section",
            "s = a",
            side,
            strip.developed_mm,
            words="There is no drop.",
        )
        return level, width
    radius_mm = strip.developed_mm / strip.angle_rad
    return (
        step(
            "Radius of the section",
            "r = (a² + d²) / (2 d)",
            f"({side}² + {drop}²) / (2 × {drop})",
            radius_mm,
            words=f"From {whence} to edge it is taken to be one arc.",
            source=ARC,
        ),
        step(
            "How far the section turns down",
            "ψ = 2 atan(d / a)",
            f"2 × atan({drop} / {side})",
            strip.angle_rad,
            "rad",
            source=ARC,
        ),
        step(
            f"From {whence} to edge along the section",
            "s = ψ r",
            f"{rad(strip.angle_rad)} × {num(radius_mm)}",
            strip.developed_mm,
        ),
        width,
    )


def _strip_chapters(strip: Strip, work: Work, whence: str) -> tuple[Chapter, ...]:
    sheet = sheet_chapter(work, "length", "width laid flat")
    if not work.passes:
        return _level(strip, work), sheet
    face = ("θ · t/2 · cos ψ",
            f"{rad(strip.turn_rad)} × {num(work.sheet.thickness_mm)} / 2 × cos {deg(strip.angle_rad)}")  # fmt: skip
    return (
        _flat(strip, work),
        _metal(strip, work),
        sheet,
        *pass_chapters(work, partial(_pass, strip, whence), face),
    )


def _level(strip: Strip, work: Work) -> Chapter:
    """Return the flat of a strip that is curved one way at most."""
    return chapter(
        "The flat",
        step(
            "Area, flat and finished",
            "length · width laid flat",
            f"{num(strip.length_mm)} × {num(strip.width_mm)}",
            work.finished_area_mm2,
            "mm2",
        ),
        words="It is curved one way only: no metal is moved, and there is nothing to gather or to stretch."
        if strip.turn_rad or strip.drop_mm
        else "It is flat.",
    )


def _flat(strip: Strip, work: Work) -> Chapter:
    length, width, kept = num(strip.flat_length_mm), num(strip.width_mm), kept_in_the_flat(work)
    return chapter(
        "The flat",
        step(
            "Length of either edge, finished",
            "l − θ d",
            f"{num(strip.length_mm)} − {rad(strip.turn_rad)} × {num(strip.drop_mm)}",
            strip.edge_mm,
            words="The edge goes round by the same turn at a radius that is smaller by the drop.",
        ),
        step(
            f"Flat area, {kept}",
            "edge length · width laid flat" if strip.stretched else "l · width laid flat",
            f"{length} × {width}",
            work.flat_area_by_length_mm2,
            "mm2",
            words="The flat is as long as its edges are to be: the middle is stretched longer."
            if strip.stretched
            else "The flat is as long as the crown: its edges are gathered shorter.",
        ),
        step(
            "Between section and crown, one side",
            "A_z = r (s − a)",
            f"{num(strip.developed_mm / strip.angle_rad)} × ({less(strip.developed_mm, strip.side_mm)})",
            strip.fall_mm2,
            "mm2",
            words="How far the side has fallen, added up along it from where it begins to its edge.",
        ),
        step(
            "Finished area",
            "l · width laid flat − 2 θ A_z",
            f"{num(strip.length_mm)} × {width} − 2 × {rad(strip.turn_rad)} × {num(strip.fall_mm2)}",
            work.finished_area_mm2,
            "mm2",
            words="Each strip along the panel is shorter than the crown by the turn times its own fall.",
            source="pappus",
        ),
        step(
            "Width of the flat, area kept",
            "finished area / edge length" if strip.stretched else "finished area / l",
            f"{num(work.finished_area_mm2)} / {length}",
            strip.width_by_area_mm,
        ),
        between_flats(
            abs(strip.width_mm - strip.width_by_area_mm) / 2,
            f"|{width} − {num(strip.width_by_area_mm)}| / 2",
            "half the difference in width",
        ),
    )


def _metal(strip: Strip, work: Work) -> Chapter:
    turn, angle = deg(strip.turn_rad), deg(strip.angle_rad)
    return chapter(
        "The metal",
        moved(work),
        *_edges(strip, work),
        step(
            "Stretch angle, both sides" if strip.stretched else "Gather angle, both sides",
            "2 θ sin ψ",
            f"2 × {turn} × sin {angle}",
            strip.curvature_rad,
            "rad",
            words=CUT_OUT,
            source="gauss",
        ),
    )


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


def _pass(strip: Strip, whence: str, work: Work, done: Worked) -> tuple[Step | None, ...]:
    inner, outer = band_angles(work, done, strip.angle_rad)
    return (
        *band_place(work, done, strip.developed_mm, "s", whence),
        line_length(done, "as long as the flat", num(strip.flat_length_mm)),
        band_angle(work, done, "ψ", strip.angle_rad),
        wedge(
            work,
            done,
            "c_k = θ (sin outer − sin inner)",
            f"{deg(strip.turn_rad)} × (sin {deg(outer)} − sin {deg(inner)})",
            BORDERS,
        ),
        *band_height(work, done, "ψ", ("s", strip.developed_mm), ("d", strip.drop_mm)),
    )
