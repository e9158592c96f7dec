"""A rectangle with a flange round it, its corners gathered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from jobs.forming.arcs import QUARTER, versine
from jobs.forming.assembly import Demand, Flats, assemble
from jobs.forming.correction import NONE, Correction
from jobs.forming.dimension import Dimension
from jobs.forming.errors import ImpossibleShape
from jobs.forming.flange import Flange, flange
from jobs.forming.flange_work import flange_warnings, marked_lines, stations
from jobs.forming.form import Form
from jobs.forming.passes import plan
from jobs.forming.placing import are_drawn, on_sector
from jobs.forming.result import Gather, Line, Pass, Work
from jobs.forming.sheet import Marking, Sheet
from jobs.forming.tray_plan import CORNERS, TrayPlan

ALL = "front right back left"


@dataclass(frozen=True, slots=True)
class Tray(Form):
    """A flat rectangle with a flange turned up on some or all sides; corners between two flanges are gathered.

    gather angle = corners · π/2 · (1 - cos φ);  a side takes s_e = ρφ + L of the flat, all the way along

    Each such corner is a flange on a curved edge (``arch``) that turns 90 degrees; the sides are straight bends.

    Parameters
    ----------
    width_mm, length_mm
        Over the outside of the flanges at their stop lines, mm.
    corner_radius_mm
        Plan radius of the corners over the outside, mm.
    bend_radius_mm
        Inside radius of the bend, mm.
    depth_mm
        From the web's outside face to the flange's edge, mm.
    bend_angle_rad
        Angle the bend turns through, less than 180 degrees.
    sides
        Which sides have a flange, as words. A side without one ends flush at its outside dimension, square.

    Raises
    ------
    ImpossibleShape
        Where the corners do not fit the sides, or a corner has no room for its bend and its depth (see ``arch``).

    Limits: a corner where one side only has a flange is cut square and not gathered. The by-area outline has
    a small step beside each corner, because sides keep their length and corners their area.

    >>> tray = Tray(width_mm=300, length_mm=400, corner_radius_mm=40, bend_radius_mm=3, depth_mm=30)
    >>> import math
    >>> round(math.degrees(tray.work_out(Sheet(1.0), Marking()).gather_angle_rad), 9)
    360.0

    Source: ``arch`` for the corners; a closed flange at 90 degrees turns a whole 360 degrees (Gauss-Bonnet).
    """

    name: ClassVar[str] = "tray"
    label: ClassVar[str] = "Tray"
    about: ClassVar[str] = "A rectangle with rounded corners and a flange all round or on some sides."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("width_mm", "width", "Width", "length", 300.0, help="Over the outside."),
        Dimension("length_mm", "length", "Length", "length", 400.0, help="Over the outside."),
        Dimension(
            "corner_radius_mm", "corner-radius", "Corner radius", "length", 80.0, help="Over the outside."
        ),
        Dimension(
            "bend_radius_mm",
            "bend-radius",
            "Inside bend radius",
            "length",
            6.0,
            may_be_zero=True,
            help="0 for a sharp corner.",
        ),
        Dimension(
            "depth_mm",
            "depth",
            "Depth",
            "length",
            25.0,
            help="From the web's outside face to the flange's edge.",
        ),
        Dimension(
            "bend_angle_rad",
            "bend-angle",
            "Bend angle",
            "angle",
            QUARTER,
            QUARTER,
            help="The angle the bend turns through: 90 degrees stands square to the web.",
        ),
        Dimension(
            "sides",
            "sides",
            "Flange on",
            "choice",
            ALL,
            ALL,
            choices=(
                (ALL, "All four sides"),
                ("front right left", "Three sides, one width open"),
                ("front right back", "Three sides, one length open"),
                ("front back", "Both widths"),
                ("right left", "Both lengths"),
                ("front right", "One width and one length"),
                ("front", "One width"),
                ("right", "One length"),
            ),
        ),
    )

    width_mm: float
    length_mm: float
    corner_radius_mm: float
    bend_radius_mm: float
    depth_mm: float
    bend_angle_rad: float = QUARTER
    sides: str = ALL

    def refuse_impossible(self) -> None:
        """Raise ``ImpossibleShape`` where the corners are too large for the sides."""
        least_mm = min(self.width_mm, self.length_mm)
        if 2 * self.corner_radius_mm > least_mm * (1 + 1e-12):
            raise ImpossibleShape(
                "corner_radius_mm",
                "Corners of {radius} do not fit a side of {side}: make them at most {most}.",
                radius=self.corner_radius_mm,
                side=least_mm,
                most=least_mm / 2,
            )

    @property
    def corners(self) -> int:
        """How many corners are gathered."""
        sides = self.sides.split()
        return sum(before in sides and after in sides for before, after in CORNERS)

    def flange(self, sheet: Sheet) -> Flange:
        """Return the flange in this sheet, or raise ``ImpossibleShape``."""
        return flange(
            outside_radius_mm=self.corner_radius_mm,
            bend_radius_mm=self.bend_radius_mm,
            bend_angle_rad=self.bend_angle_rad,
            depth_mm=self.depth_mm,
            thickness_mm=sheet.thickness_mm,
            stretch=False,
            radius_field="corner_radius_mm",
        )

    def plan_view(self, shape: Flange, sheet: Sheet) -> TrayPlan:
        """Return the tray seen from above: its web, and its flanges laid flat round it."""
        # From the outside dimension in to the start line.
        inset_mm = sheet.thickness_mm / 2 + shape.middle_radius_mm - shape.start_radius_mm
        return TrayPlan(
            half_length_mm=self.length_mm / 2,
            half_width_mm=self.width_mm / 2,
            inset_mm=inset_mm,
            start_radius_mm=max(0.0, shape.start_radius_mm),
            sides=frozenset(self.sides.split()),
        )

    def work_out(self, sheet: Sheet, marking: Marking, correction: Correction = NONE) -> Work:
        """Return all that the tray asks of a sheet."""
        shape = self.flange(sheet)
        layout = self.plan_view(shape, sheet)
        edge = shape.edge("each corner", QUARTER, sheet.thickness_mm)
        passes: tuple[Pass, ...] = ()
        if self.corners:
            passes = plan(stations(shape, QUARTER, marking.line_count), edge, marking, correction)
        corner_mm = shape.flat_edge_radius_by_area_mm
        warnings = flange_warnings(shape, self.bend_radius_mm, passes, sheet, marking, self.corners)
        return assemble(
            self,
            sheet,
            marking,
            Flats(
                by_length=layout.outline(shape.developed_mm),
                by_area=layout.outline(shape.developed_mm, corner_mm),
                trimmed=layout.outline(shape.developed_mm, trim_mm=marking.trim_mm),
            ),
            self._demand(shape, layout, sheet),
            edges=(edge,) if self.corners else (),
            lines=tuple(self._lines(shape, layout, marking.line_count)),
            passes=passes,
            gathers=tuple(self._gathers(shape, layout, passes)),
            warnings=tuple(each for each in warnings if self.corners or each.code in ("bend", "narrow")),
        )

    def _demand(self, shape: Flange, layout: TrayPlan, sheet: Sheet) -> Demand:
        corner_mm2 = QUARTER * shape.finished_area_per_rad_mm2
        swollen = shape.flat_edge_radius_mm / shape.edge_radius_mm if self.corners else 1.0
        moved_mm2 = self.corners * QUARTER * shape.moved_area_per_rad_mm2
        return Demand(
            finished_area_mm2=layout.area(shape.developed_mm) - moved_mm2,
            thinnest_mm=sheet.thickness_mm,
            thickest_mm=sheet.thickness_mm * swollen,
            moved_area_mm2=moved_mm2,
            worked_area_mm2=self.corners * corner_mm2,
            gather_angle_rad=self.corners * QUARTER * versine(self.bend_angle_rad),
            bend_allowance_mm=shape.bend_mm,
            flat_length_mm=shape.developed_mm,
        )

    def _lines(self, shape: Flange, layout: TrayPlan, line_count: int) -> Iterator[Line]:
        """Yield each line once round, or side by side where the flange is not whole."""
        for name, kind, offset_mm in marked_lines(shape.bend_mm, line_count):
            for number, path in enumerate(layout.courses(offset_mm), start=1):
                course = name if number == 1 else f"{name}, part {number}"
                yield Line(course, kind, offset_mm, shape.developed_mm - offset_mm, path)

    def _gathers(self, shape: Flange, layout: TrayPlan, passes: tuple[Pass, ...]) -> Iterator[Gather]:
        if not are_drawn(passes, self.corners):
            return
        start_mm, edge_mm = layout.start_radius_mm, shape.flat_edge_radius_mm
        for already, (centre, first_rad) in enumerate(layout.gathered_corners()):
            yield from on_sector(passes, start_mm, edge_mm, first_rad, QUARTER, centre, already)
