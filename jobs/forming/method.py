"""Whether a crowned panel is gathered from its edge or stretched from its middle."""

from __future__ import annotations

from jobs.forming.dimension import Dimension

LEAST, GATHER, STRETCH = "least", "gather", "stretch"

METHOD = Dimension(
    "method",
    "method",
    "Made by",
    "choice",
    LEAST,
    LEAST,
    choices=(
        (LEAST, "Whichever moves less metal"),
        (GATHER, "Gathering from the edge inwards"),
        (STRETCH, "Stretching from the middle outwards"),
    ),
    help="Gathering thickens the edge; stretching thins the middle.",
)


def is_stretched(method: str, moved_by_gathering_mm2: float, moved_by_stretching_mm2: float) -> bool:
    """Return whether the panel is stretched, by the owner's choice or because that moves less.

    >>> is_stretched("least", 120.0, 300.0), is_stretched("stretch", 120.0, 300.0)
    (False, True)
    """
    if method == LEAST:
        return moved_by_stretching_mm2 < moved_by_gathering_mm2
    return method == STRETCH
