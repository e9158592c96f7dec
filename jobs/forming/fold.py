"""Straight bends, one after another."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate
from typing import ClassVar

from jobs.forming import cautions
from jobs.forming.assembly import Demand, Flats, assemble
from jobs.forming.bend import bend_allowance, k_factor, setback
from jobs.forming.correction import NONE, Correction
from jobs.forming.dimension import Dimension
from jobs.forming.errors import LONGEST_MM, ImpossibleShape
from jobs.forming.form import Form
from jobs.forming.outline import rectangle
from jobs.forming.result import Line, Straight, Work
from jobs.forming.sheet import Marking, Sheet

OUTSIDE, STRAIGHT = "outside", "straight"


@dataclass(frozen=True, slots=True)
class Fold(Form):
    """Straight bends of one radius and angle, with a leg before, between and after them.

    flat length = Σ legs - n (2 setback - BA) for outside legs;  Σ legs + n BA for straight parts

    Parameters
    ----------
    width_mm
        Along the bends, mm.
    leg_mm
        Two or more legs, mm.
    bend_radius_mm
        Inside radius, mm.
    bend_angle_rad
        Angle turned through, less than 180 degrees.
    k
        The shop's own K (neutral line as a fraction of the thickness from the inside, 0 to 0.5); without it
        half the factor of DIN 6935.
    measured
        ``outside`` where legs are outside dimensions, as DIN 6935 measures them; ``straight`` where they are
        the straight parts between bends.

    Raises
    ------
    ImpossibleShape
        Where there is no bend, a leg has no room for its bends, K is not between 0 and 0.5, or a bend is sharper
        than DIN 6935 speaks of and no K is given.

    Limits: DIN 6935 neglects what bends of up to 15 degrees take off; here the formula goes on, and takes off
    at most a fifth of the thickness. Finished area is that of the middle of the sheet at its first thickness.

    >>> fold = Fold(width_mm=100, leg_mm=(25, 20, 15), bend_radius_mm=4, bend_angle_rad=math.pi / 2)
    >>> round(fold.work_out(Sheet(2.0), Marking()).flat_length_mm, 2)
    51.08

    Source: DIN 6935, see ``bend``.
    """

    name: ClassVar[str] = "fold"
    label: ClassVar[str] = "Folded sheet"
    about: ClassVar[str] = "Straight bends, one after another."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("width_mm", "width", "Width", "length", 300.0, help="Along the bends."),
        Dimension("leg_mm", "leg", "Legs", "lengths", (60.0, 120.0, 60.0), help="In order, two or more."),
        Dimension(
            "bend_radius_mm",
            "bend-radius",
            "Inside bend radius",
            "length",
            3.0,
            may_be_zero=True,
            help="The same for every bend.",
        ),
        Dimension(
            "bend_angle_rad",
            "bend-angle",
            "Bend angle",
            "angle",
            math.pi / 2,
            math.pi / 2,
            help="What every bend turns through: 90 degrees stands square.",
        ),
        Dimension(
            "k",
            "k",
            "The shop's own k",
            "number",
            None,
            required=False,
            help="Neutral line from the inside over thickness, 0 to 0.5; empty for DIN 6935.",
        ),
        Dimension(
            "measured",
            "measured",
            "Legs are measured",
            "choice",
            OUTSIDE,
            OUTSIDE,
            choices=((OUTSIDE, "Over the outside"), (STRAIGHT, "On the straight parts")),
        ),
    )

    width_mm: float
    leg_mm: tuple[float, ...]
    bend_radius_mm: float
    bend_angle_rad: float = math.pi / 2
    k: float | None = None
    measured: str = OUTSIDE

    def refuse_impossible(self) -> None:
        """Raise ``ImpossibleShape`` where there is nothing to bend, or no bend like that."""
        if len(self.leg_mm) < 2:
            raise ImpossibleShape(
                "leg_mm", "A fold has two or more legs, with a bend between them: one leg alone stays flat."
            )
        if sum(self.leg_mm) > LONGEST_MM:
            raise ImpossibleShape("leg_mm", "The legs together are more than {most} long.", most=LONGEST_MM)
        if self.bend_angle_rad > math.pi * (1 - 1e-6):
            raise ImpossibleShape(
                "bend_angle_rad", "A bend of 180 degrees or more is a hem, not a fold: make it less."
            )
        if self.k is not None and not 0 <= self.k <= 0.5:
            raise ImpossibleShape(
                "k",
                f"The shop's k is the place of the neutral line, 0 to 0.5: {self.k:g} is not. "
                "(DIN 6935's own factor is twice as large.)",
            )

    @property
    def bends(self) -> int:
        """How many bends there are."""
        return len(self.leg_mm) - 1

    def neutral(self, sheet: Sheet) -> float:
        """Return K: the shop's own, or half the factor of DIN 6935."""
        return self.k if self.k is not None else k_factor(self.bend_radius_mm, sheet.thickness_mm)

    def straights(self, sheet: Sheet) -> tuple[float, ...]:
        """Return the straight parts, mm, or raise ``ImpossibleShape`` where a leg has no room for its bends."""
        if self.measured == STRAIGHT:
            return self.leg_mm
        used_mm = setback(self.bend_radius_mm, sheet.thickness_mm, self.bend_angle_rad)
        last = len(self.leg_mm) - 1
        straights = []
        for index, leg_mm in enumerate(self.leg_mm):
            least_mm = used_mm if index in (0, last) else 2 * used_mm
            if leg_mm < least_mm - 1e-9:
                raise ImpossibleShape(
                    "leg_mm",
                    f"Leg {index + 1} of {{leg}} has no room for its bends: it is at least {{least}}.",
                    leg=leg_mm,
                    least=least_mm,
                )
            straights.append(max(0.0, leg_mm - least_mm))
        return tuple(straights)

    def work_out(self, sheet: Sheet, marking: Marking, correction: Correction = NONE) -> Work:
        """Return all that the fold asks of a sheet."""
        neutral = self.neutral(sheet)
        straights, trim_mm = self.straights(sheet), 2 * marking.trim_mm
        allowance_mm = bend_allowance(self.bend_radius_mm, sheet.thickness_mm, self.bend_angle_rad, neutral)
        middle_mm = self.bend_angle_rad * (self.bend_radius_mm + sheet.thickness_mm / 2)
        length_mm = sum(straights) + self.bends * allowance_mm
        finished_mm = sum(straights) + self.bends * middle_mm
        return assemble(
            self,
            sheet,
            marking,
            Flats(
                by_length=rectangle(length_mm, self.width_mm),
                by_area=rectangle(finished_mm, self.width_mm),
                trimmed=rectangle(length_mm + trim_mm, self.width_mm + trim_mm),
            ),
            Demand(
                finished_area_mm2=finished_mm * self.width_mm,
                # What is longer after bending than before is thinner: constant volume.
                thinnest_mm=sheet.thickness_mm * (allowance_mm / middle_mm),
                thickest_mm=sheet.thickness_mm,
                bend_allowance_mm=allowance_mm,
                flat_length_mm=length_mm,
            ),
            lines=tuple(self._lines(straights, allowance_mm, length_mm)),
            warnings=cautions.kept(
                cautions.bend(self.bend_radius_mm, sheet),
                cautions.sharp_for_din(self.bend_radius_mm, sheet) if self.k is None else None,
            ),
        )

    def _lines(self, straights: tuple[float, ...], allowance_mm: float, length_mm: float) -> Iterator[Line]:
        """Yield the middle of each bend, from the first leg's edge."""
        y = self.width_mm / 2
        for number, run_mm in enumerate(accumulate(straights[:-1]), start=1):
            from_start_mm = run_mm + (number - 0.5) * allowance_mm
            x = from_start_mm - length_mm / 2
            path = (Straight((x, -y), (x, y)),)
            yield Line(f"bend {number}", "bend", from_start_mm, length_mm - from_start_mm, path)
