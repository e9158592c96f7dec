"""The metal and the way it is marked, as forming needs to know them."""

from dataclasses import dataclass

from jobs.forming.dimension import check_length, check_number
from jobs.forming.errors import ImpossibleShape

# Every metal lies between, 534 to 22 590 kg/m³ (from memory); 7.85 is a slip of the unit.
LIGHTEST_KG_M3 = 500
HEAVIEST_KG_M3 = 30_000


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of metal.

    ``elongation`` is the total elongation as a fraction (0.25 for 25 %), or ``None`` where it is not known;
    ``min_bend_radius_t`` is the least inside radius of a 90 degree bend in multiples of the thickness.

    >>> Sheet(thickness_mm=0.0)
    Traceback (most recent call last):
        ...
    jobs.forming.errors.ImpossibleShape: Thickness must be more than 0: 0 mm is not.
    """

    thickness_mm: float
    density_kg_m3: float = 7850.0
    elongation: float | None = None
    min_bend_radius_t: float | None = None

    def __post_init__(self) -> None:
        check_length("thickness_mm", "Thickness", self.thickness_mm)
        density_kg_m3 = check_number("density_kg_m3", "Density", self.density_kg_m3)
        if not LIGHTEST_KG_M3 <= density_kg_m3 <= HEAVIEST_KG_M3:
            raise ImpossibleShape(
                "density_kg_m3",
                f"A density of {density_kg_m3:g} kg/m³ is no metal's: write {LIGHTEST_KG_M3} to {HEAVIEST_KG_M3}; "
                "steel is 7850.",
            )
        if (
            self.elongation is not None
            and not 0 < check_number("elongation", "Elongation", self.elongation) <= 2
        ):
            raise ImpossibleShape(
                "elongation", "Elongation is a fraction, more than 0 and at most 2: 25 % is 0.25."
            )
        if self.min_bend_radius_t is not None and not (
            0 <= check_number("min_bend_radius_t", "Least bend radius", self.min_bend_radius_t) <= 100
        ):
            raise ImpossibleShape("min_bend_radius_t", "Least bend radius is 0 to 100 times the thickness.")


@dataclass(frozen=True, slots=True)
class Marking:
    """How the shop marks and gathers: trim all round, what one gather takes at the edge, die width, lines."""

    trim_mm: float = 19.05
    gather_mm: float = 5.0
    die_width_mm: float = 25.0
    line_count: int = 3

    def __post_init__(self) -> None:
        check_length("trim_mm", "Trim", self.trim_mm, may_be_zero=True)
        check_length("gather_mm", "What one gather takes", self.gather_mm)
        check_length("die_width_mm", "Die width", self.die_width_mm)
        if isinstance(self.line_count, bool) or not isinstance(self.line_count, int):
            raise ImpossibleShape("line_count", "Lines must be a whole number.")
        if not 2 <= self.line_count <= 50:
            raise ImpossibleShape(
                "line_count",
                f"Lines must be 2 to 50, and {self.line_count} is not: one to start and one to stop at least, and "
                "no more than a hand can tell apart.",
            )
