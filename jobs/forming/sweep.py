"""A section carried round an arc, as a mudguard is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from jobs.forming.correction import NONE, Correction
from jobs.forming.dimension import Dimension
from jobs.forming.errors import LONGEST_MM, SHORTEST_MM, ImpossibleShape
from jobs.forming.form import Form
from jobs.forming.result import Work
from jobs.forming.sheet import Marking, Sheet
from jobs.forming.strip import Strip, work_out_strip


@dataclass(frozen=True, slots=True)
class Sweep(Form):
    """A section, flat in the middle and turned down at both edges, carried round an arc.

    take-up at each edge = θ d;  gather angle of a side = θ sin ψ,  ψ = 2 atan(d/a),  a = (w - f)/2

    Parameters
    ----------
    crown_radius_mm
        Radius of the crown, R_c, mm, on the outside of the sweep; the sheet's middle is taken to lie there.
    turn_rad
        Turn of the crown, θ, up to 360 degrees.
    width_mm
        Width over the edges, w, mm.
    flat_mm
        Flat middle between the stop lines, f, mm; 0 for none.
    drop_mm
        How far each edge lies below the crown, d, mm; 0 for a plain rolled strip.

    Raises
    ------
    ImpossibleShape
        Where the flat is wider than the whole, the drop more than a or than the crown radius, or the strip longer
        than 100 m.

    Limits: the sides are arcs tangent to the flat and turn down by at most 90 degrees (d at most a).

    >>> sweep = Sweep(crown_radius_mm=330, turn_rad=math.pi, width_mm=180, flat_mm=60, drop_mm=40)
    >>> work = sweep.work_out(Sheet(1.2), Marking())
    >>> round(work.edges[0].take_up_mm / math.pi, 9)
    40.0

    Source: surface of revolution; Pappus-Guldin for areas, Gauss-Bonnet for the gather angle.
    """

    name: ClassVar[str] = "sweep"
    label: ClassVar[str] = "Section swept round an arc"
    about: ClassVar[str] = "A mudguard or a fairing: crowned along its length, turned down at both edges."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension(
            "crown_radius_mm",
            "crown-radius",
            "Crown radius",
            "length",
            330.0,
            help="Radius over the outside of the crown.",
        ),
        Dimension("turn_rad", "turn", "Turn", "angle", math.pi / 2, help="How far it goes round."),
        Dimension(
            "width_mm", "width", "Width over edges", "length", 180.0, help="Straight across, edge to edge."
        ),
        Dimension(
            "flat_mm",
            "flat",
            "Flat middle",
            "length",
            60.0,
            may_be_zero=True,
            help="Between the stop lines; 0 for none.",
        ),
        Dimension(
            "drop_mm",
            "drop",
            "Drop at edge",
            "length",
            40.0,
            may_be_zero=True,
            help="How far the edge lies below the crown.",
        ),
    )

    crown_radius_mm: float
    turn_rad: float
    width_mm: float
    flat_mm: float
    drop_mm: float

    def refuse_impossible(self) -> None:
        """Raise ``ImpossibleShape`` where section or arc cannot be."""
        if self.flat_mm > self.width_mm:
            raise ImpossibleShape(
                "flat_mm",
                "The flat middle, {flat}, is wider than the whole width of {width}: make it less than that.",
                flat=self.flat_mm,
                width=self.width_mm,
            )
        side_mm = (self.width_mm - self.flat_mm) / 2
        if self.drop_mm > side_mm * (1 + 1e-12):
            raise ImpossibleShape(
                "drop_mm",
                "A drop of {drop} turns the sides down past 90 degrees: with {side} on either side of the flat "
                "the drop is at most {most}.",
                drop=self.drop_mm,
                side=side_mm,
                most=side_mm,
            )
        if self.drop_mm > self.crown_radius_mm - SHORTEST_MM:
            raise ImpossibleShape(
                "drop_mm",
                "A drop of {drop} reaches past the middle of a crown of radius {radius}: make it less than that, or the "
                "crown radius larger.",
                drop=self.drop_mm,
                radius=self.crown_radius_mm,
            )
        if self.turn_rad * self.crown_radius_mm > LONGEST_MM:
            raise ImpossibleShape("turn_rad", "The strip would be more than {most} long.", most=LONGEST_MM)

    def strip(self) -> Strip:
        """Return the strip this sweep is made from."""
        return Strip(
            length_mm=self.turn_rad * self.crown_radius_mm,
            turn_rad=self.turn_rad,
            flat_mm=self.flat_mm,
            side_mm=(self.width_mm - self.flat_mm) / 2,
            drop_mm=self.drop_mm,
        )

    def work_out(self, sheet: Sheet, marking: Marking, correction: Correction = NONE) -> Work:
        """Return all that the sweep asks of a sheet."""
        return work_out_strip(self, self.strip(), sheet, marking, correction)
