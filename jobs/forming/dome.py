"""A spherical cap."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from jobs.forming import cautions
from jobs.forming.arcs import cosine_drop, excess, square_less_versines, versine
from jobs.forming.assembly import Demand, Flats, assemble
from jobs.forming.bands import band_middles, band_stations
from jobs.forming.correction import NONE, Correction
from jobs.forming.dimension import Dimension
from jobs.forming.errors import ImpossibleShape
from jobs.forming.form import Form
from jobs.forming.method import LEAST, METHOD, is_stretched
from jobs.forming.outline import circle
from jobs.forming.passes import plan
from jobs.forming.placing import are_drawn, on_sector
from jobs.forming.result import Arc, Caution, Edge, Line, Pass, Work
from jobs.forming.sheet import Marking, Sheet


@dataclass(frozen=True, slots=True)
class Dome(Form):
    """A spherical cap, raised from a disc.

    R = (a² + h²)/(2h);  α = 2 atan(h/a);  area = π (a² + h²);  curvature = 2π (1 - cos α)

    Parameters
    ----------
    diameter_mm
        Across the rim on the mid-surface, 2a, mm.
    height_mm
        From the rim to the top on the mid-surface, h, mm.
    method
        ``gather`` from the rim, ``stretch`` from the middle, or ``least``: whichever moves less metal.

    Raises
    ------
    ImpossibleShape
        Where the height is more than half the diameter.

    Limits: up to a half ball. Past it the rim would close in again and no die reaches the edge; such a shape
    is made from two pieces. Stretching is figured as spread evenly over the dome.

    >>> dome = Dome(diameter_mm=48, height_mm=2)
    >>> round(dome.work_out(Sheet(1.0), Marking()).finished_area_mm2, 5)
    1822.12374

    Source: spherical cap (a² + h² = 2hR); equal-area blank: Evan A. Atkins, "Practical Sheet and Plate Metal
    Work", "Spherical Bowl".
    """

    name: ClassVar[str] = "dome"
    label: ClassVar[str] = "Dome"
    about: ClassVar[str] = "A round cap, up to a half ball."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension(
            "diameter_mm",
            "diameter",
            "Diameter at the rim",
            "length",
            300.0,
            help="Across the rim, at the middle of the sheet's thickness.",
        ),
        Dimension(
            "height_mm",
            "height",
            "Height",
            "length",
            60.0,
            help="From the rim to the top, at the middle of the thickness.",
        ),
        METHOD,
    )

    diameter_mm: float
    height_mm: float
    method: str = LEAST

    def refuse_impossible(self) -> None:
        """Raise ``ImpossibleShape`` where the dome is more than a half ball."""
        if self.height_mm > self.diameter_mm / 2 * (1 + 1e-12):
            raise ImpossibleShape(
                "height_mm",
                "A height of {height} is more than half the diameter of {diameter}: the rim would close in "
                "again. Make it at most {most}, or from two pieces.",
                height=self.height_mm,
                diameter=self.diameter_mm,
                most=self.diameter_mm / 2,
            )

    @property
    def rim_mm(self) -> float:
        """a: radius of the rim."""
        return self.diameter_mm / 2

    @property
    def radius_mm(self) -> float:
        """R = (a² + h²)/(2h): radius of the ball."""
        return (self.rim_mm**2 + self.height_mm**2) / (2 * self.height_mm)

    @property
    def angle_rad(self) -> float:
        """α = 2 atan(h/a): from the top to the rim as the ball's centre sees it."""
        return 2 * math.atan2(self.height_mm, self.rim_mm)

    @property
    def developed_mm(self) -> float:
        """R α: from the top to the rim along the dome."""
        return self.rim_mm * self.angle_rad / math.sin(self.angle_rad)

    @property
    def by_area_mm(self) -> float:
        """√(a² + h²): radius of the disc of the same area."""
        return math.hypot(self.rim_mm, self.height_mm)

    @property
    def is_stretched(self) -> bool:
        """Whether it is stretched from the middle rather than gathered from the rim."""
        return is_stretched(self.method, self._moved_by_gathering(), math.pi * self.height_mm**2)

    @property
    def disc_mm(self) -> float:
        """Radius of the disc it is made from with lengths kept: R α gathered, a stretched."""
        return self.rim_mm if self.is_stretched else self.developed_mm

    def _moved_by_gathering(self) -> float:
        # π (R²α² - 2R²(1 - cos α)), with R = a / sin α so that the flattest cap keeps its digits too.
        ball_mm = self.rim_mm / math.sin(self.angle_rad)
        return math.pi * ball_mm**2 * square_less_versines(self.angle_rad)

    def work_out(self, sheet: Sheet, marking: Marking, correction: Correction = NONE) -> Work:
        """Return all that the dome asks of a sheet."""
        rim = self._rim(sheet)
        passes = self._passes(rim, marking, correction)
        drawn = on_sector(passes, 0.0, self.disc_mm, 0.0, math.tau) if are_drawn(passes) else ()
        return assemble(
            self,
            sheet,
            marking,
            Flats(circle(self.disc_mm), circle(self.by_area_mm), circle(self.disc_mm + marking.trim_mm)),
            self._demand(sheet),
            edges=(rim,),
            lines=tuple(self._lines(marking.line_count)),
            passes=passes,
            gathers=tuple(drawn),
            warnings=self._warnings(passes, sheet, marking),
        )

    def _rim(self, sheet: Sheet) -> Edge:
        kept = (self.rim_mm / self.by_area_mm) ** 2
        swollen = self.developed_mm / self.rim_mm
        return Edge(
            name="rim",
            flat_length_mm=math.tau * self.disc_mm,
            finished_length_mm=math.tau * self.rim_mm,
            flat_radius_by_length_mm=self.disc_mm,
            flat_radius_by_area_mm=self.by_area_mm,
            thickness_mm=sheet.thickness_mm * (kept if self.is_stretched else swollen),
            # R α - a, with R = a / sin α
            take_up_mm=0.0
            if self.is_stretched
            else math.tau * self.rim_mm * excess(self.angle_rad) / math.sin(self.angle_rad),
        )

    def _passes(self, rim: Edge, marking: Marking, correction: Correction) -> tuple[Pass, ...]:
        stations = band_stations(
            word="ring",
            developed_mm=self.disc_mm,
            angle_rad=self.angle_rad,
            height_mm=self.height_mm,
            count=marking.line_count,
            wedge_rad=lambda inner, outer: math.tau * cosine_drop(inner, outer),
            line_length_mm=lambda from_middle_mm: math.tau * from_middle_mm,
            inwards=not self.is_stretched,
            angle_of=rim_angle_rad,
        )
        return plan(stations, rim, marking, correction)

    def _demand(self, sheet: Sheet) -> Demand:
        finished_mm2 = math.pi * self.by_area_mm**2
        edge_mm = self._rim(sheet).thickness_mm
        curvature_rad = math.tau * versine(self.angle_rad)
        return Demand(
            finished_area_mm2=finished_mm2,
            # Stretched, the dome is as thin all over as at its rim; gathered, its top stays as it was.
            thinnest_mm=edge_mm if self.is_stretched else sheet.thickness_mm,
            thickest_mm=edge_mm,
            moved_area_mm2=math.pi * self.height_mm**2 if self.is_stretched else self._moved_by_gathering(),
            worked_area_mm2=finished_mm2,
            gather_angle_rad=0.0 if self.is_stretched else curvature_rad,
            stretch_angle_rad=curvature_rad if self.is_stretched else 0.0,
        )

    def _lines(self, count: int) -> Iterator[Line]:
        for index, from_middle_mm in enumerate(band_middles(self.disc_mm, count)):
            number = index + 1 if self.is_stretched else count - index
            ring = Arc((0.0, 0.0), from_middle_mm, 0.0, math.tau)
            yield Line(f"ring {number}", "pass", from_middle_mm, self.disc_mm - from_middle_mm, (ring,))

    def _warnings(self, passes: tuple[Pass, ...], sheet: Sheet, marking: Marking) -> tuple[Caution, ...]:
        gathered = self.rim_mm / self.developed_mm - 1
        # Spread evenly, a stretched dome stretches most along its meridian at the rim, by (h/a)².
        stretched = (self.height_mm / self.rim_mm) ** 2
        return cautions.kept(
            cautions.strain(stretched if self.is_stretched else gathered, sheet),
            cautions.trim(abs(self.disc_mm - self.by_area_mm), marking),
            cautions.crowded(passes, marking),
            cautions.narrow(self.disc_mm, marking),
            cautions.coarse(passes, marking),
            cautions.swells(1.0 if self.is_stretched else self.developed_mm / self.rim_mm),
            cautions.undrawn(passes, 1),
        )


def rim_angle_rad(curvature_rad: float) -> float:
    """Return how steep a round rim stands that holds so much total curvature, whatever lies inside it.

    α = 2 asin √(K / 4π), from K = 2π (1 - cos α)

    >>> math.isclose(rim_angle_rad(math.pi), math.pi / 3)
    True

    Source: Gauss-Bonnet.
    """
    return 2 * math.asin(math.sqrt(curvature_rad / (2 * math.tau)))
