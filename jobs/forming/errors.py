"""The one error a shape may raise, and the limits beyond which no length is taken seriously."""

import math
from collections.abc import Mapping
from typing import Protocol

SHORTEST_MM = 1e-3
LONGEST_MM = 100_000.0


class WriteLength(Protocol):
    """Writes a length in somebody's units; ``up`` rounds up, for what must not be cut too small, ``down`` down."""

    def __call__(self, length_mm: float, *, up: bool = False, down: bool = False) -> str: ...


def in_millimetres(length_mm: float, *, up: bool = False, down: bool = False) -> str:
    """Write a length as plain millimetres.

    >>> in_millimetres(120.30), in_millimetres(120.31, up=True), in_millimetres(120.38, down=True)
    ('120.3 mm', '120.4 mm', '120.3 mm')
    >>> in_millimetres(0.004)
    '0.004 mm'
    """
    if up:
        length_mm = math.ceil(length_mm * 10 - 1e-6) / 10
    elif down and length_mm >= 0.1:
        length_mm = math.floor(length_mm * 10 + 1e-6) / 10
    if 0 < abs(length_mm) < 0.05:
        return f"{length_mm:.2g} mm"
    return f"{length_mm:.1f}".removesuffix(".0") + " mm"


def written(lengths_mm: Mapping[str, float], write_length: WriteLength) -> dict[str, str]:
    """Write the lengths of a text; what would fit is rounded to the side that fits: ``least`` up, ``most`` down.

    >>> written({"given": 26.64, "least": 26.64, "most": 26.66}, in_millimetres)
    {'given': '26.6 mm', 'least': '26.7 mm', 'most': '26.6 mm'}
    """
    return {
        name: write_length(length_mm, up=name == "least", down=name == "most")
        for name, length_mm in lengths_mm.items()
    }


class ImpossibleShape(ValueError):
    """A shape that no sheet can take, with the dimension to blame and what would fit.

    The text is kept apart from its lengths, so that a page can say it in the shop's own units.

    Parameters
    ----------
    field
        Name of the dimension to blame, as the form's dataclass spells it (``bend_radius_mm``).
    template
        What is impossible and what would fit; ``{name}`` stands for a length.
    lengths_mm
        The lengths named in the template, millimetres. ``least`` and ``most`` are what would fit.

    >>> str(ImpossibleShape("height_mm", "A height of {height} is too much.", height=300.0))
    'A height of 300 mm is too much.'
    """

    def __init__(self, field: str, template: str, **lengths_mm: float) -> None:
        self.field = field
        self.template = template
        self.lengths_mm = lengths_mm
        super().__init__(self.say(in_millimetres))

    def say(self, write_length: WriteLength) -> str:
        """Return the text with every length written by ``write_length``."""
        return self.template.format(**written(self.lengths_mm, write_length))
