"""The section of a flange on a curved edge: web, bend and straight part, on the mid-surface."""

from __future__ import annotations

import math
from dataclasses import dataclass

from jobs.forming.arcs import excess, square_less_versines, versine
from jobs.forming.errors import LONGEST_MM, ImpossibleShape
from jobs.forming.opening import refuse_closed
from jobs.forming.result import Edge

# A straight part shorter than nothing by less than this is the rounding of a depth that just fits.
ROUNDING_MM = 1e-9


@dataclass(frozen=True, slots=True)
class Flange:
    """A flange that bends out of a flat web along a circular plan curve.

    Parameters
    ----------
    sign
        +1 where the web lies inside the curve (the edge is gathered), -1 where it lies outside (stretched).
    middle_radius_mm
        Plan radius at the stop line on the mid-surface, R_mid = R_out - σ t/2.
    bend_radius_mm
        Bend radius on the mid-surface, ρ = r_in + t/2.
    bend_angle_rad
        Angle turned through, φ, less than 180 degrees.
    straight_mm
        Straight part between stop line and edge, L.

    Source: geometry of surfaces of revolution; areas by Pappus-Guldin (CRC Concise Encyclopedia of
    Mathematics, "Pappus's Centroid Theorem").
    """

    sign: int
    middle_radius_mm: float
    bend_radius_mm: float
    bend_angle_rad: float
    straight_mm: float

    @property
    def start_radius_mm(self) -> float:
        """R₀ = R_mid - σ ρ sin φ: plan radius of the start line."""
        return self.middle_radius_mm - self.sign * self.bend_radius_mm * math.sin(self.bend_angle_rad)

    @property
    def bend_mm(self) -> float:
        """ρφ: from start line to stop line along the section."""
        return self.bend_radius_mm * self.bend_angle_rad

    @property
    def developed_mm(self) -> float:
        """s_e = ρφ + L: from start line to edge along the section."""
        return self.bend_mm + self.straight_mm

    def radius_mm(self, s_mm: float) -> float:
        """R(s) = R₀ + σ ρ sin(s/ρ) in the bend, and on by σ (s - ρφ) cos φ: finished plan radius along the section."""
        bent_mm, straight_mm = min(s_mm, self.bend_mm), max(0.0, s_mm - self.bend_mm)
        reach_mm = self.bend_radius_mm * math.sin(bent_mm / self.bend_radius_mm)
        return self.start_radius_mm + self.sign * (reach_mm + straight_mm * math.cos(self.bend_angle_rad))

    def flat_radius_mm(self, s_mm: float) -> float:
        """F(s) = R₀ + σ s: flat radius along the section with its lengths kept."""
        return self.start_radius_mm + self.sign * s_mm

    @property
    def edge_radius_mm(self) -> float:
        """R(s_e) = R_mid + σ L cos φ: finished plan radius of the edge."""
        return self.middle_radius_mm + self.sign * self.straight_mm * math.cos(self.bend_angle_rad)

    @property
    def flat_edge_radius_mm(self) -> float:
        """F(s_e) = R₀ + σ s_e: flat radius of the edge with lengths along the section kept."""
        return self.flat_radius_mm(self.developed_mm)

    @property
    def reach_area_mm2(self) -> float:
        """σ ∫ (R - R₀) ds over the section: ρ²(1 - cos φ) + L ρ sin φ + L² cos φ / 2."""
        rho, phi, straight = self.bend_radius_mm, self.bend_angle_rad, self.straight_mm
        return (
            rho * rho * versine(phi)
            + straight * rho * math.sin(phi)
            + straight * straight * math.cos(phi) / 2
        )

    @property
    def finished_area_per_rad_mm2(self) -> float:
        """∫ R ds: finished area for each radian of turn."""
        return self.start_radius_mm * self.developed_mm + self.sign * self.reach_area_mm2

    @property
    def flat_edge_radius_by_area_mm(self) -> float:
        """F_A(s_e): flat radius of the edge with area kept, F_A² = R₀² + 2σ ∫ R ds."""
        return math.sqrt(self.start_radius_mm**2 + 2 * self.sign * self.finished_area_per_rad_mm2)

    @property
    def moved_area_per_rad_mm2(self) -> float:
        """|A_flat - A_finished| for each radian of turn: s_e²/2 less the reach area."""
        rho, phi, straight = self.bend_radius_mm, self.bend_angle_rad, self.straight_mm
        # s_e²/2 - reach area, gathered by powers of ρ and L so that shallow bends keep their digits.
        in_bend = rho * rho * square_less_versines(phi) / 2
        return in_bend + straight * rho * excess(phi) + straight * straight * versine(phi) / 2

    @property
    def take_up_per_rad_mm(self) -> float:
        """|F(s_e) - R(s_e)|: length to lose or gain at the edge for each radian of turn."""
        return self.bend_radius_mm * excess(self.bend_angle_rad) + self.straight_mm * versine(
            self.bend_angle_rad
        )

    def edge(self, name: str, turn_rad: float, thickness_mm: float) -> Edge:
        """Return the edge over a turn, with its thickness by constant volume t F/R."""
        flat_mm, finished_mm = self.flat_edge_radius_mm, self.edge_radius_mm
        return Edge(
            name=name,
            flat_length_mm=turn_rad * flat_mm,
            finished_length_mm=turn_rad * finished_mm,
            flat_radius_by_length_mm=flat_mm,
            flat_radius_by_area_mm=self.flat_edge_radius_by_area_mm,
            thickness_mm=thickness_mm * flat_mm / finished_mm,
            take_up_mm=self.sign * turn_rad * self.take_up_per_rad_mm,
        )


def flange(
    *,
    outside_radius_mm: float,
    bend_radius_mm: float,
    bend_angle_rad: float,
    depth_mm: float,
    thickness_mm: float,
    stretch: bool,
    radius_field: str = "outside_radius_mm",
) -> Flange:
    """Return the flange with these dimensions as a shop measures them, or raise ``ImpossibleShape``.

    L = (depth - t/2 - ρ(1 - cos φ)) / sin φ

    Parameters
    ----------
    outside_radius_mm
        Plan radius of the bend's outer face at the stop line, mm.
    bend_radius_mm
        Inside radius of the bend, mm.
    bend_angle_rad
        Angle turned through, radians, less than 180 degrees.
    depth_mm
        From the web's outside face to the flange's edge, square to the web, mm.
    radius_field
        Name of the plan radius in the form that asks, to blame.

    >>> flange(outside_radius_mm=150, bend_radius_mm=25.4, bend_angle_rad=math.pi / 2, depth_mm=100,
    ...        thickness_mm=1.2, stretch=False).straight_mm
    73.4
    """
    rho = bend_radius_mm + thickness_mm / 2
    sign = -1 if stretch else 1
    if bend_angle_rad > math.pi * (1 - 1e-6):
        raise ImpossibleShape(
            "bend_angle_rad", "A bend of 180 degrees or more leaves no depth to measure: make it less."
        )
    least_mm = thickness_mm / 2 + rho * versine(bend_angle_rad)
    straight_mm = (depth_mm - least_mm) / math.sin(bend_angle_rad)
    if straight_mm < -ROUNDING_MM:
        raise ImpossibleShape(
            "depth_mm",
            "A depth of {depth} has no room for the bend, which alone is {least} deep: make it at least "
            "{least}, or the bend smaller.",
            depth=depth_mm,
            least=least_mm,
        )
    shape = Flange(
        sign, outside_radius_mm - sign * thickness_mm / 2, rho, bend_angle_rad, max(0.0, straight_mm)
    )
    _refuse_impossible(shape, radius_field, outside_radius_mm, thickness_mm)
    return shape


def _refuse_impossible(
    shape: Flange, radius_field: str, outside_radius_mm: float, thickness_mm: float
) -> None:
    if shape.developed_mm > LONGEST_MM:
        raise ImpossibleShape(
            "bend_angle_rad",
            "At this bend angle the depth would take {developed} of metal along the section: bend further, or "
            "make it less deep.",
            developed=shape.developed_mm,
        )
    radius_words = radius_field.removesuffix("_mm").replace("_", " ")  # as its field is labelled
    # As much as the rounding of R_mid - ρ sin φ may leave below nothing.
    if shape.start_radius_mm < -1e-12 * max(shape.middle_radius_mm, shape.bend_radius_mm):
        raise ImpossibleShape(
            radius_field,
            f"The {radius_words}, {{given}}, is too small for this bend: make it at least {{least}}.",
            given=outside_radius_mm,
            least=outside_radius_mm - shape.start_radius_mm,
        )
    refuse_closed(shape, thickness_mm, radius_words)
