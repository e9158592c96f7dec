"""The metals a new shop starts with. The shop changes them as it likes; its own test reports are better.

Densities are kilograms per cubic metre, elongations fractions over 2 in (50 mm), bend radii multiples of the
thickness for a 90 degree cold bend. Every value says where it comes from; "from memory" means that no
document stands behind it.
"""

from __future__ import annotations

from dataclasses import dataclass

FROM_MEMORY = "from memory"
NEARLY = 1.02  # a sheet 2 % over a column's thickness still belongs to it: 1.6 mm is sold as 1/16 in
_COLUMN_IN = (1 / 64, 1 / 32, 1 / 16, 1 / 8, 3 / 16, 1 / 4, 3 / 8, 1 / 2)


@dataclass(frozen=True, slots=True)
class BendLimit:
    """The least inside radius, in thicknesses, of sheet up to a thickness."""

    up_to_mm: float
    radius_t: float


@dataclass(frozen=True, slots=True)
class StandardMetal:
    """A metal in one temper; ``elongation`` is ``None`` and ``bend_limits`` empty where not known."""

    name: str
    family: str
    alloy: str
    temper: str
    density_kg_m3: float
    density_source: str
    elongation: float | None = None
    elongation_source: str = ""
    bend_limits: tuple[BendLimit, ...] = ()
    bend_source: str = ""

    @property
    def source(self) -> str:
        """Where the values come from, in one line."""
        parts = {
            "density": self.density_source,
            "elongation": self.elongation_source,
            "bend radius": self.bend_source,
        }
        return "; ".join(f"{what}: {source}" for what, source in parts.items() if source)

    def min_bend_radius_t(self, thickness_mm: float) -> float | None:
        """Return the least inside radius of a 90 degree bend in thicknesses, or ``None`` where not known.

        Between two columns of the table the thicker one holds.
        """
        for limit in self.bend_limits:
            if thickness_mm <= limit.up_to_mm * NEARLY:
                return limit.radius_t
        return None

    def mass_kg(self, area_mm2: float, thickness_mm: float) -> float:
        """Return the mass of an area of sheet."""
        return area_mm2 * thickness_mm * self.density_kg_m3 * 1e-9


def _bends(*radii_t: float) -> tuple[BendLimit, ...]:
    return tuple(BendLimit(inch * 25.4, radius) for inch, radius in zip(_COLUMN_IN, radii_t, strict=True))


_NOMINAL = "nominal densities of the aluminum specification, table 4.3"
_KUTZ = "Kutz, Handbook of Materials Selection, table 5"
_BENDS = "Aluminum Association bend table"
_TITANIUM_BENDS = (BendLimit(0.070 * 25.4, 2.0), BendLimit(0.187 * 25.4, 2.5))

STANDARD_METALS: tuple[StandardMetal, ...] = (
    StandardMetal("Steel 1008, hot rolled", "steel", "1008", "hot rolled", 7872.0, "AISI 1008 data sheet",
                  0.30, "AISI 1008 data sheet"),
    StandardMetal("Steel 1008, cold drawn", "steel", "1008", "cold drawn", 7872.0, "AISI 1008 data sheet",
                  0.20, "AISI 1008 data sheet"),
    StandardMetal("Steel, deep-drawing quality", "steel", "A1008 DDS", "annealed", 7872.0,
                  "AISI 1008 data sheet", 0.38, FROM_MEMORY),
    StandardMetal("Galvanized steel", "galvanized", "1008, zinc coated", "commercial", 7872.0,
                  "that of the steel beneath, from memory", 0.30, FROM_MEMORY),
    StandardMetal("Stainless 304, annealed", "stainless", "304", "annealed", 8000.0, "ASM sheet, AISI 304",
                  0.70, "ASM sheet, AISI 304 (typical)"),
    StandardMetal("Aluminium 1100-O", "aluminium", "1100", "O", 2710.0, _NOMINAL, 0.35, _KUTZ,
                  _bends(0, 0, 0, 0, 0.5, 1, 1, 1.5), _BENDS),
    StandardMetal("Aluminium 1100-H14", "aluminium", "1100", "H14", 2710.0, _NOMINAL, 0.09, _KUTZ,
                  _bends(0, 0, 0, 1, 1, 1.5, 2, 2.5), _BENDS),
    StandardMetal("Aluminium 3003-O", "aluminium", "3003", "O", 2730.0, _NOMINAL, 0.30, _KUTZ,
                  _bends(0, 0, 0, 0, 0.5, 1, 1, 1.5), "as 1100-O, from memory"),
    StandardMetal("Aluminium 3003-H14", "aluminium", "3003", "H14", 2730.0, _NOMINAL, 0.08, _KUTZ,
                  _bends(0, 0, 0, 1, 1, 1.5, 2, 2.5), "as 1100-H14, from memory"),
    StandardMetal("Aluminium 5052-O", "aluminium", "5052", "O", 2680.0, _NOMINAL, 0.25,
                  "a sheet former's data page", _bends(0, 0, 0, 0.5, 1, 1, 1.5, 1.5), _BENDS),
    StandardMetal("Aluminium 5052-H32", "aluminium", "5052", "H32", 2680.0, _NOMINAL, 0.12,
                  "ASM sheet, 5052-H32", _bends(0, 0, 1, 1.5, 1.5, 1.5, 1.5, 2), _BENDS),
    StandardMetal("Aluminium 6061-O", "aluminium", "6061", "O", 2700.0, _NOMINAL, 0.16,
                  "specification minimum, thin sheet", _bends(0, 0, 0, 1, 1, 1, 1.5, 2), _BENDS),
    StandardMetal("Aluminium 6061-T4", "aluminium", "6061", "T4", 2700.0, _NOMINAL,
                  bend_limits=_bends(0, 0, 1, 1.5, 2.5, 3, 3.5, 4), bend_source=_BENDS),
    StandardMetal("Aluminium 6061-T6", "aluminium", "6061", "T6", 2700.0, _NOMINAL, 0.12,
                  "ASM sheet, 6061-T6", _bends(1, 1, 1.5, 2.5, 3, 3.5, 4.5, 5), _BENDS),
    StandardMetal("Copper C11000, soft", "copper", "C11000", "soft", 8920.0,
                  "Copper Development Association fact sheet, table 5", 0.45, FROM_MEMORY),
    StandardMetal("Brass C26000, annealed", "brass", "C26000", "annealed", 8530.0,
                  "C26000 alloy data, ASTM B36", 0.53, "the same"),
    StandardMetal("Brass C26000, half hard", "brass", "C26000", "half hard", 8530.0,
                  "C26000 alloy data, ASTM B36", 0.30, "the same"),
    StandardMetal("Titanium grade 2, annealed", "titanium", "grade 2", "annealed", 4510.0,
                  "ASM sheet, titanium grade 2", 0.20, "ASTM B265, specification minimum", _TITANIUM_BENDS,
                  "ASTM B265; upper limit 0.187 in from memory"),
)  # fmt: skip
