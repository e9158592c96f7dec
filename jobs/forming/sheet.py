"""The metal and the way it is marked, as forming needs to know them."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of metal.

    ``elongation`` is the total elongation as a fraction (0.25 for 25 %), or ``None`` where it is not known;
    ``min_bend_radius_t`` is the least inside radius of a 90 degree bend in multiples of the thickness.
    """

    thickness_mm: float
    density_kg_m3: float = 7850.0
    elongation: float | None = None
    min_bend_radius_t: float | None = None


@dataclass(frozen=True, slots=True)
class Marking:
    """How the shop marks and gathers: trim all round, what one gather takes at the edge, die width, lines."""

    trim_mm: float = 19.05
    gather_mm: float = 5.0
    die_width_mm: float = 25.0
    line_count: int = 3
