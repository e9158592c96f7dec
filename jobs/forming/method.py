"""Whether a crowned panel is gathered from its edge or stretched from its middle."""

from __future__ import annotations

from jobs.forming.dimension import Dimension
from jobs.forming.result import Work

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


def kept_in_the_flat(work: Work) -> str:
    """Return what keeps its length in the first of the two flats, in words.

    >>> from jobs.forming import Marking, Sheet, build, work_out
    >>> dome = build("dome", {"diameter_mm": 300, "height_mm": 60, "method": "stretch"})
    >>> kept_in_the_flat(work_out(dome, Sheet(1.2), Marking()))
    'rim kept'
    """
    if not work.edges or work.edges[0].take_up_mm:
        return "lengths kept"
    return "rim kept" if work.edges[0].name == "rim" else "edges kept"
