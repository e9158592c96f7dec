"""A strip carried round an arc, its sides falling away: what ``sweep`` and ``crown`` have in common."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from jobs.forming import cautions
from jobs.forming.arcs import excess, sine_rise, versine
from jobs.forming.assembly import Demand, Flats, assemble
from jobs.forming.bands import band_middles, band_stations
from jobs.forming.correction import Correction
from jobs.forming.form import Form
from jobs.forming.outline import rectangle
from jobs.forming.passes import NO_WORK_MM, plan
from jobs.forming.placing import are_drawn, on_strip
from jobs.forming.result import Caution, Edge, Gather, Line, Pass, Straight, Work
from jobs.forming.sheet import Marking, Sheet


@dataclass(frozen=True, slots=True)
class Strip:
    """A section, flat in the middle and curving down at both sides, carried round an arc.

    Parameters
    ----------
    length_mm
        Length along the crown, θ R_c, mm.
    turn_rad
        Turn of the crown, θ; 0 for a straight strip.
    flat_mm
        Flat middle of the section, f, mm.
    side_mm
        Half the width over edges less half the flat, a, mm.
    drop_mm
        How far the edge lies below the crown, d, mm, at most ``side_mm``.
    stretched
        The edge keeps its length and the middle is stretched, instead of the edge being gathered.

    Source: surface of revolution (Pappus-Guldin, CRC Concise Encyclopedia of Mathematics).
    """

    length_mm: float
    turn_rad: float
    flat_mm: float
    side_mm: float
    drop_mm: float
    stretched: bool = False

    @property
    def angle_rad(self) -> float:
        """ψ = 2 atan(d/a): how far the section turns down on either side."""
        return 2 * math.atan2(self.drop_mm, self.side_mm) if self.drop_mm else 0.0

    @property
    def developed_mm(self) -> float:
        """r ψ = a ψ / sin ψ: from the flat to the edge along the section."""
        return self.side_mm * self.angle_rad / math.sin(self.angle_rad) if self.drop_mm else self.side_mm

    def fall_mm(self, s_mm: float) -> float:
        """z(s) = r (1 - cos(s/r)): how far the side has fallen, s along it from the flat; r = a / sin ψ."""
        radius_mm = self.side_mm / math.sin(self.angle_rad)
        return radius_mm * versine(s_mm / radius_mm)

    @property
    def fall_mm2(self) -> float:
        """∫ z ds = r² (ψ - sin ψ): area between section and crown on one side."""
        if not self.drop_mm:
            return 0.0
        radius_mm = self.side_mm / math.sin(self.angle_rad)
        return radius_mm * radius_mm * excess(self.angle_rad)

    @property
    def width_mm(self) -> float:
        """f + 2 r ψ: width of the section laid flat."""
        return self.flat_mm + 2 * self.developed_mm

    @property
    def edge_mm(self) -> float:
        """θ (R_c - d): finished length of either edge."""
        return self.length_mm - self.turn_rad * self.drop_mm

    @property
    def finished_area_mm2(self) -> float:
        """θ ∫ (R_c - z) ds."""
        return self.length_mm * self.width_mm - 2 * self.turn_rad * self.fall_mm2

    @property
    def flat_length_mm(self) -> float:
        """Length of the flat: the crown's where edges are gathered, the edges' where the crown is stretched."""
        return self.edge_mm if self.stretched else self.length_mm

    @property
    def width_by_area_mm(self) -> float:
        """Finished area / length of the flat: width of the flat with area kept."""
        return self.finished_area_mm2 / self.flat_length_mm

    @property
    def crown_to_edge(self) -> float:
        """θ R_c / (θ (R_c - d)): how many times as long the crown is as an edge."""
        return self.length_mm / self.edge_mm

    @property
    def moved_area_mm2(self) -> float:
        """|A_flat - A_finished|, by whichever way this strip is made."""
        gathered_mm2 = 2 * self.turn_rad * self.fall_mm2
        if not self.stretched:
            return gathered_mm2
        return self.turn_rad * self.drop_mm * self.width_mm - gathered_mm2

    @property
    def curvature_rad(self) -> float:
        """2 θ sin ψ: total curvature of both sides."""
        return 2 * self.turn_rad * math.sin(self.angle_rad)

    def edge(self, thickness_mm: float) -> Edge:
        """Return either edge."""
        return Edge(
            name="either edge",
            flat_length_mm=self.flat_length_mm,
            finished_length_mm=self.edge_mm,
            flat_radius_by_length_mm=math.inf,
            flat_radius_by_area_mm=math.inf,
            thickness_mm=thickness_mm * self.flat_length_mm / self.edge_mm,
            take_up_mm=0.0 if self.stretched else self.turn_rad * self.drop_mm,
        )


def work_out_strip(form: Form, strip: Strip, sheet: Sheet, marking: Marking, correction: Correction) -> Work:
    """Return all that a strip asks of a sheet."""
    edge = strip.edge(sheet.thickness_mm)
    passes = _passes(strip, edge, marking, correction)
    length_mm, width_mm, trim_mm = strip.flat_length_mm, strip.width_mm, 2 * marking.trim_mm
    return assemble(
        form,
        sheet,
        marking,
        Flats(
            by_length=rectangle(length_mm, width_mm),
            by_area=rectangle(length_mm, strip.width_by_area_mm),
            trimmed=rectangle(length_mm + trim_mm, width_mm + trim_mm),
        ),
        _demand(strip, sheet),
        edges=(edge,) if passes else (),
        lines=tuple(_lines(strip, marking.line_count if passes else 0)),
        passes=passes,
        gathers=tuple(_gathers(strip, passes)),
        warnings=_warnings(strip, passes, sheet, marking),
    )


def _passes(strip: Strip, edge: Edge, marking: Marking, correction: Correction) -> tuple[Pass, ...]:
    if strip.turn_rad * strip.drop_mm < NO_WORK_MM:
        return ()
    stations = band_stations(
        word="line",
        developed_mm=strip.developed_mm,
        angle_rad=strip.angle_rad,
        height_mm=strip.drop_mm,
        count=marking.line_count,
        wedge_rad=lambda inner, outer: strip.turn_rad * sine_rise(inner, outer),
        line_length_mm=lambda _: strip.flat_length_mm,
        inwards=not strip.stretched,
    )
    return plan(stations, edge, marking, correction)


def _demand(strip: Strip, sheet: Sheet) -> Demand:
    side_mm2 = strip.length_mm * strip.developed_mm - strip.turn_rad * strip.fall_mm2
    is_worked = strip.moved_area_mm2 > 0
    worked_mm2 = strip.finished_area_mm2 if strip.stretched else 2 * side_mm2
    ratio = strip.crown_to_edge
    return Demand(
        finished_area_mm2=strip.finished_area_mm2,
        thinnest_mm=sheet.thickness_mm / ratio if strip.stretched else sheet.thickness_mm,
        thickest_mm=sheet.thickness_mm if strip.stretched else sheet.thickness_mm * ratio,
        moved_area_mm2=strip.moved_area_mm2,
        worked_area_mm2=worked_mm2 if is_worked else 0.0,
        gather_angle_rad=0.0 if strip.stretched else strip.curvature_rad,
        stretch_angle_rad=strip.curvature_rad if strip.stretched else 0.0,
        flat_length_mm=strip.flat_length_mm,
    )


def _lines(strip: Strip, count: int) -> Iterator[Line]:
    """Yield the lines of both sides, those of the second side named so."""
    middles = band_middles(strip.developed_mm, count) if count else ()
    if strip.flat_mm == 0:
        yield _line("centre", "centre", strip, 0.0, 1)
    for side, suffix in ((1, ""), (-1, ", other side")):
        if strip.flat_mm > 0 and strip.drop_mm > 0:
            yield _line("stop" + suffix, "stop", strip, 0.0, side)
        for index, middle_mm in enumerate(middles):
            number = index + 1 if strip.stretched else count - index
            yield _line(f"line {number}{suffix}", "pass", strip, middle_mm, side)


def _gathers(strip: Strip, passes: tuple[Pass, ...]) -> Iterator[Gather]:
    """Yield the gathers of both sides, those of the second side numbered on from the first."""
    if are_drawn(passes, 2):
        yield from on_strip(passes, strip.flat_length_mm, strip.width_mm / 2, 1)
        yield from on_strip(passes, strip.flat_length_mm, -strip.width_mm / 2, -1, already=1)


def _line(name: str, kind: str, strip: Strip, offset_mm: float, side: int) -> Line:
    x, y = strip.flat_length_mm / 2, side * (strip.flat_mm / 2 + offset_mm)
    return Line(name, kind, offset_mm, strip.developed_mm - offset_mm, (Straight((-x, y), (x, y)),))


def _warnings(strip: Strip, passes: tuple[Pass, ...], sheet: Sheet, marking: Marking) -> tuple[Caution, ...]:
    if not passes:
        return ()
    ratio = strip.crown_to_edge
    gap_mm = abs(strip.width_mm - strip.width_by_area_mm) / 2
    return cautions.kept(
        cautions.strain(ratio - 1 if strip.stretched else 1 / ratio - 1, sheet),
        cautions.trim(gap_mm, marking),
        cautions.crowded(passes, marking),
        cautions.narrow(strip.developed_mm, marking),
        cautions.coarse(passes, marking),
        cautions.swells(1.0 if strip.stretched else ratio),
        cautions.undrawn(passes, 2),
    )
