"""A sheet rolled to one radius."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from jobs.forming import cautions
from jobs.forming.assembly import Demand, Flats, assemble
from jobs.forming.correction import NONE, Correction
from jobs.forming.dimension import Dimension
from jobs.forming.errors import LONGEST_MM, ImpossibleShape
from jobs.forming.form import Form
from jobs.forming.outline import rectangle
from jobs.forming.result import Line, Straight, Work
from jobs.forming.sheet import Marking, Sheet


@dataclass(frozen=True, slots=True)
class Roll(Form):
    """A sheet rolled to one radius: curved one way only, so no metal is moved.

    developed length = θ (r_in + t/2)

    Parameters
    ----------
    width_mm
        Across, along the roll's axis, mm.
    radius_mm
        Inside radius, mm.
    turn_rad
        Turn, θ, up to 360 degrees (a closed tube).

    Raises
    ------
    ImpossibleShape
        Where the sheet would be longer than 100 m.

    Limits: lengths are kept at half the thickness; for bends as tight as a few thicknesses use ``fold``.

    >>> roll = Roll(width_mm=100, radius_mm=49.5, turn_rad=math.pi)
    >>> round(roll.work_out(Sheet(1.0), Marking()).flat_length_mm, 3)
    157.08

    Source: circumference at the middle of the sheet.
    """

    name: ClassVar[str] = "roll"
    label: ClassVar[str] = "Rolled sheet"
    about: ClassVar[str] = "Curved one way only, to one radius."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("width_mm", "width", "Width", "length", 400.0, help="Along the axis of the roll."),
        Dimension("radius_mm", "radius", "Inside radius", "length", 200.0),
        Dimension("turn_rad", "turn", "Turn", "angle", math.pi / 2, help="360 degrees is a closed tube."),
    )

    width_mm: float
    radius_mm: float
    turn_rad: float

    def refuse_impossible(self) -> None:
        """Raise ``ImpossibleShape`` where the sheet would be longer than any."""
        if self.turn_rad * self.radius_mm > LONGEST_MM:
            raise ImpossibleShape("radius_mm", "The sheet would be more than {most} long.", most=LONGEST_MM)

    def work_out(self, sheet: Sheet, marking: Marking, correction: Correction = NONE) -> Work:
        """Return all that the roll asks of a sheet."""
        length_mm = self.turn_rad * (self.radius_mm + sheet.thickness_mm / 2)
        trim_mm = 2 * marking.trim_mm
        flat = rectangle(length_mm, self.width_mm)
        return assemble(
            self,
            sheet,
            marking,
            Flats(flat, flat, rectangle(length_mm + trim_mm, self.width_mm + trim_mm)),
            Demand(
                finished_area_mm2=length_mm * self.width_mm,
                thinnest_mm=sheet.thickness_mm,
                thickest_mm=sheet.thickness_mm,
                bend_allowance_mm=length_mm,
                flat_length_mm=length_mm,
            ),
            lines=tuple(self._lines(length_mm)),
            warnings=cautions.kept(cautions.bend(self.radius_mm, sheet)),
        )

    def _lines(self, length_mm: float) -> Iterator[Line]:
        for name, share in (("start", 0.0), ("centre", 0.5), ("stop", 1.0)):
            x, y = (share - 0.5) * length_mm, self.width_mm / 2
            path = (Straight((x, -y), (x, y)),)
            yield Line(name, name, share * length_mm, (1 - share) * length_mm, path)
