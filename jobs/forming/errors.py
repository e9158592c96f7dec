"""The one error a shape may raise, and the limits beyond which no length is taken seriously."""

import math
from collections.abc import Callable
from typing import Protocol

SHORTEST_MM = 1e-3
LONGEST_MM = 100_000.0


class WriteLength(Protocol):
    """Writes a length in somebody's units; ``up`` rounds up, for what must not be cut too small."""

    def __call__(self, length_mm: float, *, up: bool = False) -> str: ...


def in_millimetres(length_mm: float, *, up: bool = False) -> str:
    """Write a length as plain millimetres.

    >>> in_millimetres(120.30), in_millimetres(120.31, up=True)
    ('120.3 mm', '120.4 mm')
    >>> in_millimetres(0.004)
    '0.004 mm'
    """
    if up:
        length_mm = math.ceil(length_mm * 10 - 1e-6) / 10
    if 0 < abs(length_mm) < 0.05:
        return f"{length_mm:.2g} mm"
    return f"{length_mm:.1f}".removesuffix(".0") + " mm"


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
        The lengths named in the template, millimetres.

    >>> str(ImpossibleShape("height_mm", "A height of {height} is too much.", height=300.0))
    'A height of 300 mm is too much.'
    """

    def __init__(self, field: str, template: str, **lengths_mm: float) -> None:
        self.field = field
        self.template = template
        self.lengths_mm = lengths_mm
        super().__init__(self.say(in_millimetres))

    def say(self, write_length: Callable[[float], str]) -> str:
        """Return the text with every length written by ``write_length``."""
        return self.template.format(**{name: write_length(mm) for name, mm in self.lengths_mm.items()})
