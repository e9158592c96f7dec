"""Putting a form's answers together, with the figures that follow from its outlines."""

from __future__ import annotations

from dataclasses import dataclass

from jobs.forming.form import Form
from jobs.forming.outline import area, length
from jobs.forming.rectangle import extent, smallest_rectangle
from jobs.forming.result import Caution, Edge, Gather, Line, Outline, Pass, Work
from jobs.forming.sheet import Marking, Sheet

ALONG_X, ALONG_Y = (1.0, 0.0), (0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Flats:
    """The three outlines of one panel, and whether its own length and width are those of its rectangle."""

    by_length: Outline
    by_area: Outline
    trimmed: Outline
    has_own_length: bool = True

    def blank(self) -> tuple[float, float]:
        """Return width and length of the smallest rectangle round the trimmed outline, mm."""
        if self.has_own_length:
            return extent(self.trimmed, ALONG_Y), extent(self.trimmed, ALONG_X)
        return smallest_rectangle(self.trimmed)


@dataclass(frozen=True, slots=True)
class Demand:
    """What the shape asks of the metal, apart from its outlines."""

    finished_area_mm2: float
    thinnest_mm: float
    thickest_mm: float
    moved_area_mm2: float = 0.0
    worked_area_mm2: float = 0.0
    gather_angle_rad: float = 0.0
    stretch_angle_rad: float = 0.0
    bend_allowance_mm: float | None = None
    flat_length_mm: float | None = None


def assemble(
    form: Form,
    sheet: Sheet,
    marking: Marking,
    flats: Flats,
    demand: Demand,
    *,
    edges: tuple[Edge, ...] = (),
    lines: tuple[Line, ...] = (),
    passes: tuple[Pass, ...] = (),
    gathers: tuple[Gather, ...] = (),
    warnings: tuple[Caution, ...] = (),
) -> Work:
    """Return the whole ``Work`` of a form."""
    width_mm, length_mm = flats.blank()
    return Work(
        form=form,
        sheet=sheet,
        marking=marking,
        finished_area_mm2=demand.finished_area_mm2,
        flat_area_by_length_mm2=area(flats.by_length),
        flat_area_by_area_mm2=area(flats.by_area),
        moved_area_mm2=demand.moved_area_mm2,
        worked_area_mm2=demand.worked_area_mm2,
        layout_length_mm=length(flats.by_length.runs) + sum(length(line.path) for line in lines),
        gather_angle_rad=demand.gather_angle_rad,
        stretch_angle_rad=demand.stretch_angle_rad,
        thinnest_mm=demand.thinnest_mm,
        thickest_mm=demand.thickest_mm,
        bend_allowance_mm=demand.bend_allowance_mm,
        flat_length_mm=demand.flat_length_mm,
        blank_width_mm=width_mm,
        blank_length_mm=length_mm,
        by_length=flats.by_length,
        by_area=flats.by_area,
        trimmed=flats.trimmed,
        edges=edges,
        lines=lines,
        passes=passes,
        gathers=gathers,
        warnings=warnings,
    )
