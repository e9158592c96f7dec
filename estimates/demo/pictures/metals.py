"""What the sheet metals and their coatings look like under a lamp (values from memory, set by eye)."""

from dataclasses import dataclass

Colour = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Metal:
    """Colours in linear light, 0 to 1.

    ``mirror`` is what a polished face gives back head on, ``oxide`` the dull skin that heat, rust or weather leaves,
    ``bare`` the roughness of sheet as it comes (0 mirror, 1 matt).
    """

    mirror: Colour
    oxide: Colour
    bare: float


@dataclass(frozen=True, slots=True)
class Coat:
    """Something over the metal: its own ``colour``, and how much of the metal's shine comes ``through`` it."""

    colour: Colour
    through: Colour
    gloss: float


METALS = {
    "copper": Metal((0.95, 0.53, 0.36), (0.16, 0.055, 0.035), 0.30),
    "aluminium": Metal((0.86, 0.87, 0.89), (0.30, 0.30, 0.31), 0.34),
    "steel": Metal((0.56, 0.57, 0.58), (0.115, 0.048, 0.024), 0.32),
    "zinc": Metal((0.60, 0.64, 0.69), (0.22, 0.235, 0.26), 0.42),
    "brass": Metal((0.90, 0.70, 0.33), (0.15, 0.085, 0.025), 0.28),
}

DYE = Coat((0.024, 0.019, 0.085), (0.175, 0.18, 0.35), 0.04)
PAINT = Coat((0.17, 0.215, 0.16), (0.0, 0.0, 0.0), 0.03)
KRAFT = Coat((0.36, 0.235, 0.115), (0.0, 0.0, 0.0), 0.0)
