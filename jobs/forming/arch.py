"""The flange on a curved edge, gathered or stretched."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from jobs.forming.arcs import versine
from jobs.forming.assembly import Demand, Flats, assemble
from jobs.forming.correction import NONE, Correction
from jobs.forming.dimension import Dimension
from jobs.forming.errors import ImpossibleShape
from jobs.forming.flange import Flange, flange
from jobs.forming.flange_work import flange_warnings, marked_lines, stations
from jobs.forming.form import Form
from jobs.forming.passes import plan
from jobs.forming.placing import are_drawn, on_sector
from jobs.forming.result import Arc, Line, Work
from jobs.forming.sector import ORIGIN, first_angle, sector, trimmed_sector
from jobs.forming.sheet import Marking, Sheet


@dataclass(frozen=True, slots=True)
class Arch(Form):
    """A flange that follows a curved edge: a flat web, a bend along an arc, a straight part up to the edge.

    ρ = r_in + t/2;  R_mid = R_out - σ t/2;  R₀ = R_mid - σ ρ sin φ;  L = (depth - t/2 - ρ (1 - cos φ)) / sin φ
    R(s) = R₀ + σ ρ sin(s/ρ) in the bend, and on by σ (s - ρφ) cos φ;  F(s) = R₀ + σ s;  F_A(s)² = R₀² + 2σ ∫ R ds
    take-up = σ θ (F(s_e) - R(s_e)) at the edge, s_e = ρφ + L;  gather (stretch) angle = θ (1 - cos φ)

    with σ = 1 where the edge is gathered and -1 where it is stretched.

    Parameters
    ----------
    outside_radius_mm
        Plan radius of the bend's outer face at the stop line, R_out, mm.
    turn_rad
        Turn of the plan curve, θ, up to 360 degrees.
    bend_radius_mm
        Inside radius of the bend, r_in, mm; 0 is a sharp corner.
    depth_mm
        From the web's outside face to the flange's edge, square to the web, mm.
    bend_angle_rad
        Angle the bend turns through, φ, less than 180 degrees.
    stretch
        The web lies outside the curve and the edge is stretched, instead of inside and gathered.
    web_mm
        Flat web that the blank carries beyond the start line, w, mm; 0 for the flange alone.

    Raises
    ------
    ImpossibleShape
        Where the depth has no room for the bend, the plan radius none for the bend and the depth, or the web none
        inside the curve; the curve has to leave the edge, flat and finished, a radius of more than nothing.

    Limits: the web is flat, adds θ w (R₀ - σ w/2) to every area alike and takes no part in the work. Gathered,
    it reaches at most to the middle of its curve.

    >>> from jobs.forming.sheet import Marking, Sheet
    >>> arch = Arch(outside_radius_mm=300, turn_rad=math.pi / 2, bend_radius_mm=25, depth_mm=60)
    >>> work = arch.work_out(Sheet(1.0), Marking())
    >>> round(math.degrees(work.gather_angle_rad), 9), round(work.edges[0].take_up_mm, 2)
    (90.0, 76.27)

    Source: surfaces of revolution; the gather angle is the total curvature of the bend (Gauss-Bonnet,
    T. Watkins, San Jose State University, "The Gauss-Bonnet theorem").
    """

    name: ClassVar[str] = "arch"
    label: ClassVar[str] = "Flange on a curved edge"
    about: ClassVar[str] = "A flange turned along an arc, its edge gathered in or stretched out."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension(
            "outside_radius_mm", "outside-radius", "Outside radius", "length", 300.0,
            help="Plan radius over the outside of the bend.",
        ),
        Dimension("turn_rad", "turn", "Turn", "angle", math.pi / 2, help="How far the curve goes round."),
        Dimension(
            "bend_radius_mm", "bend-radius", "Inside bend radius", "length", 25.0, may_be_zero=True,
            help="0 for a sharp corner.",
        ),
        Dimension(
            "depth_mm", "depth", "Depth", "length", 75.0,
            help="From the web's outside face to the flange's edge.",
        ),
        Dimension(
            "bend_angle_rad", "bend-angle", "Bend angle", "angle", math.pi / 2, math.pi / 2,
            help="The angle the bend turns through: 90 degrees stands square to the web.",
        ),
        Dimension(
            "stretch", "stretch", "Web outside the curve (stretch)", "flag", False, False,
            help="The edge is stretched instead of gathered.",
        ),
        Dimension(
            "web_mm", "web", "Flat web on the blank", "length", 0.0, 0.0, may_be_zero=True,
            help="How far the flat part goes on beyond the start line; 0 for the flange alone.",
        ),
    )  # fmt: skip

    outside_radius_mm: float
    turn_rad: float
    bend_radius_mm: float
    depth_mm: float
    bend_angle_rad: float = math.pi / 2
    stretch: bool = False
    web_mm: float = 0.0

    def flange(self, sheet: Sheet) -> Flange:
        """Return the section in this sheet, or raise ``ImpossibleShape``."""
        return flange(
            outside_radius_mm=self.outside_radius_mm,
            bend_radius_mm=self.bend_radius_mm,
            bend_angle_rad=self.bend_angle_rad,
            depth_mm=self.depth_mm,
            thickness_mm=sheet.thickness_mm,
            stretch=self.stretch,
        )

    def work_out(self, sheet: Sheet, marking: Marking, correction: Correction = NONE) -> Work:
        """Return all that the flange asks of a sheet."""
        shape = self.flange(sheet)
        self._refuse_wide_web(shape)
        edge = shape.edge("edge", self.turn_rad, sheet.thickness_mm)
        passes = plan(stations(shape, self.turn_rad, marking.line_count), edge, marking, correction)
        first = first_angle(self.turn_rad)
        gathers = on_sector(passes, shape.start_radius_mm, shape.flat_edge_radius_mm, first, self.turn_rad)
        return assemble(
            self,
            sheet,
            marking,
            self._flats(shape, marking),
            self._demand(shape, sheet),
            edges=(edge,),
            lines=tuple(self._lines(shape, marking.line_count)),
            passes=passes,
            gathers=tuple(gathers) if are_drawn(passes) else (),
            warnings=flange_warnings(shape, self.bend_radius_mm, passes, sheet, marking),
        )

    def _refuse_wide_web(self, shape: Flange) -> None:
        if self.web_mm > shape.start_radius_mm * (1 + 1e-12) and self.web_mm and not self.stretch:
            raise ImpossibleShape(
                "web_mm",
                "A web of {web} reaches past the middle of its curve: make it at most {most}, as far as that is from "
                "the start line.",
                web=self.web_mm,
                most=max(0.0, shape.start_radius_mm),
            )

    def _web_radius_mm(self, shape: Flange) -> float:
        """Return where the web ends: R₀ - σ w."""
        return max(0.0, shape.start_radius_mm - shape.sign * self.web_mm)

    def _web_area_mm2(self, shape: Flange) -> float:
        return self.turn_rad * self.web_mm * (shape.start_radius_mm - shape.sign * self.web_mm / 2)

    def _flats(self, shape: Flange, marking: Marking) -> Flats:
        web_mm = self._web_radius_mm(shape)
        inner_mm, outer_mm = sorted((web_mm, shape.flat_edge_radius_mm))
        by_area = sorted((web_mm, shape.flat_edge_radius_by_area_mm))
        return Flats(
            by_length=sector(inner_mm, outer_mm, self.turn_rad),
            by_area=sector(by_area[0], by_area[1], self.turn_rad),
            trimmed=trimmed_sector(inner_mm, outer_mm, self.turn_rad, marking.trim_mm),
            has_own_length=False,
        )

    def _demand(self, shape: Flange, sheet: Sheet) -> Demand:
        flange_mm2 = self.turn_rad * shape.finished_area_per_rad_mm2
        edge_mm = sheet.thickness_mm * shape.flat_edge_radius_mm / shape.edge_radius_mm
        angle_rad = self.turn_rad * versine(self.bend_angle_rad)
        return Demand(
            finished_area_mm2=flange_mm2 + self._web_area_mm2(shape),
            thinnest_mm=min(sheet.thickness_mm, edge_mm),
            thickest_mm=max(sheet.thickness_mm, edge_mm),
            moved_area_mm2=self.turn_rad * shape.moved_area_per_rad_mm2,
            worked_area_mm2=flange_mm2,
            gather_angle_rad=0.0 if self.stretch else angle_rad,
            stretch_angle_rad=angle_rad if self.stretch else 0.0,
            bend_allowance_mm=shape.bend_mm,
            flat_length_mm=shape.developed_mm,
        )

    def _lines(self, shape: Flange, line_count: int) -> Iterator[Line]:
        first = first_angle(self.turn_rad)
        for name, kind, offset_mm in marked_lines(shape.bend_mm, line_count):
            radius_mm = max(0.0, shape.start_radius_mm + shape.sign * offset_mm)
            path = (Arc(ORIGIN, radius_mm, first, self.turn_rad),)
            yield Line(name, kind, offset_mm, shape.developed_mm - offset_mm, path)
