"""The flange on a curved edge, explained."""

from __future__ import annotations

from functools import partial

from jobs.forming.arch import Arch
from jobs.forming.figured.arch_blank import rectangle_steps, web_step
from jobs.forming.figured.flange import (
    flange_pass,
    outside_face,
    radius_steps,
    section_chapter,
    signs,
    thickness_step,
)
from jobs.forming.figured.passes import pass_chapters
from jobs.forming.figured.sheet import between_flats, edge_steps, moved, sheet_chapter
from jobs.forming.figured.words import CUT_OUT, LET_IN, chapter, deg, num, rad, step
from jobs.forming.flange import Flange
from jobs.forming.result import Chapter, Step, Work


def arch_chapters(arch: Arch, work: Work) -> tuple[Chapter, ...]:
    """Return section, flat, metal, sheet and passes of a flange."""
    shape = arch.flange(work.sheet)
    edge = work.edges[0]
    turn = rad(arch.turn_rad)
    return (
        section_chapter(shape, work.sheet),
        chapter(
            "The flat",
            *radius_steps(shape),
            step("Edge, flat", "θ F", f"{turn} × {num(shape.flat_edge_radius_mm)}", edge.flat_length_mm),
            step("Edge, finished", "θ R", f"{turn} × {num(shape.edge_radius_mm)}", edge.finished_length_mm),
            between_flats(
                abs(shape.flat_edge_radius_mm - shape.flat_edge_radius_by_area_mm),
                f"|{num(shape.flat_edge_radius_mm)} − {num(shape.flat_edge_radius_by_area_mm)}|",
                "|F − F_A|",
            ),
            web_step(arch, shape),
            *rectangle_steps(arch, shape, work),
        ),
        chapter(
            "The metal",
            *_area_steps(arch, shape, work),
            *edge_steps(work, edge, thickness_step(shape, work, "Thickness at the edge")),
            step(
                "Stretch angle" if arch.stretch else "Gather angle",
                "θ (1 − cos φ)",
                f"{deg(arch.turn_rad)} × (1 − cos {deg(arch.bend_angle_rad)})",
                work.gather_angle_rad + work.stretch_angle_rad,
                "rad",
                words=LET_IN if arch.stretch else CUT_OUT,
                source="gauss",
            ),
        ),
        sheet_chapter(work, "longer side of the flat", "shorter side of the flat"),
        *pass_chapters(
            work,
            partial(flange_pass, shape, arch.turn_rad),
            outside_face(shape, arch.turn_rad, work.sheet),
        ),
    )


def _area_steps(arch: Arch, shape: Flange, work: Work) -> tuple[Step | None, ...]:
    minus, _ = signs(shape)
    turn, start, web = rad(arch.turn_rad), num(shape.start_radius_mm), num(arch.web_mm)
    flange_mm2 = arch.turn_rad * shape.finished_area_per_rad_mm2
    web_mm2 = work.finished_area_mm2 - flange_mm2
    flat, flat_edge = "|F² − R₀²|", num(shape.flat_edge_radius_mm)
    return (
        step(
            "Flat web",
            f"θ w (R₀ {minus} w/2)",
            f"{turn} × {web} × ({start} {minus} {web} / 2)",
            web_mm2,
            "mm2",
        )
        if arch.web_mm
        else None,
        step(
            "Finished area",
            "θ A₁ + web" if arch.web_mm else "θ A₁",
            f"{turn} × {num(shape.finished_area_per_rad_mm2)}"
            + (f" + {num(web_mm2)}" if arch.web_mm else ""),
            work.finished_area_mm2,
            "mm2",
            source="pappus",
        ),
        step(
            "Flat area, lengths kept",
            f"θ {flat} / 2 + web" if arch.web_mm else f"θ {flat} / 2",
            f"{turn} × |{flat_edge}² − {start}²| / 2" + (f" + {num(web_mm2)}" if arch.web_mm else ""),
            work.flat_area_by_length_mm2,
            "mm2",
        ),
        moved(work),
    )
