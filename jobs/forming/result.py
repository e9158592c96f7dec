"""What a form answers: frozen value objects, millimetres, square millimetres, radians and kilograms.

Every form fills the same objects, so that a page, a paper, a script and a test read them alike.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from jobs.forming.errors import WriteLength, in_millimetres, written

if TYPE_CHECKING:
    from jobs.forming.form import Form
    from jobs.forming.sheet import Marking, Sheet

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight run of an outline, from one point to the next, millimetres."""

    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular run of an outline.

    Angles are radians, counter-clockwise from the x axis; ``sweep_rad`` is negative for a clockwise run.
    """

    centre: Point
    radius_mm: float
    start_rad: float
    sweep_rad: float


Run = Straight | Arc


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed outline: runs that follow one another counter-clockwise, y upwards."""

    runs: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """A line to mark on the flat sheet.

    ``path`` is the line's course on the by-length flat; the drawings and the DXF file use it as it is.
    ``kind`` is one of ``start``, ``centre``, ``stop``, ``pass``, ``edge``, ``bend``.
    """

    name: str
    kind: str
    from_start_mm: float
    from_edge_mm: float
    path: tuple[Run, ...] = ()


@dataclass(frozen=True, slots=True)
class Gather:
    """One gather (or stretch) on the flat: a wedge, apex first, whose sides end at the edge."""

    number: int
    pass_number: int
    apex: Point
    left: Point
    right: Point


@dataclass(frozen=True, slots=True)
class Pass:
    """One pass along one line, and what to measure after it.

    ``take_up_mm`` is positive where length is to be lost (gathered), negative where it is to be gained.
    ``line_length_mm`` is the line's own length on the flat; along it stand ``gathers`` in so many ``rounds``,
    ``spacing_mm`` from one to the next of the same round.
    ``section_angle_rad`` is the angle that the section stands at after the pass, to check with a gauge;
    ``edge_length_mm`` is the length to read on the tape along the edge; ``height_mm`` the crown height to
    read over the middle, for forms that have one.
    """

    number: int
    line: str
    from_start_mm: float
    from_edge_mm: float
    line_length_mm: float
    wedge_rad: float
    take_up_mm: float
    gathers: int
    rounds: int
    spacing_mm: float
    section_angle_rad: float
    edge_length_mm: float
    height_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Edge:
    """An edge that has to change its length: flat, finished, and what that does to the metal.

    A flat edge that is straight has a flat radius of ``math.inf``. ``take_up_mm`` is the length to lose (positive)
    or to gain: flat less finished, kept for itself because of two nearly equal lengths little is left to subtract.
    """

    name: str
    flat_length_mm: float
    finished_length_mm: float
    flat_radius_by_length_mm: float
    flat_radius_by_area_mm: float
    thickness_mm: float
    take_up_mm: float

    @property
    def strain(self) -> float:
        """Engineering strain along the edge: negative where gathered."""
        return 0.0 - self.take_up_mm / self.flat_length_mm  # never minus nought


@dataclass(frozen=True, slots=True)
class Caution:
    """Something that can be made but will go wrong if nobody minds it.

    ``code`` is stable and for programs (``strain``, ``bend``, ``trim``); ``advice`` says what to do about it.
    Lengths stand in the texts as ``{name}`` and are written by the caller's units.
    """

    code: str
    template: str
    advice: str
    lengths_mm: dict[str, float] = field(default_factory=dict)

    def say(self, write_length: WriteLength = in_millimetres) -> str:
        """Return reason and advice with lengths written by ``write_length``."""
        lengths = written(self.lengths_mm, write_length)
        return f"{self.template.format(**lengths)} {self.advice.format(**lengths)}"


@dataclass(frozen=True, slots=True)
class Step:
    """One line of "how this was figured": what it is, its formula, and the panel's own figures in it.

    ``value`` is in the unit that ``unit`` names: ``mm`` as a tape reads it, ``mm fine`` as a gauge does, ``mm up``
    (never to be read as less), ``mm2``, ``rad``, ``kg``, ``share`` (a fraction, read as a percentage), ``1`` (a count or
    a factor) or ``figure`` (one that is only reckoned with).
    ``words`` say it plainly; ``source`` names what it rests on.
    """

    name: str
    formula: str
    figures: str
    value: float
    unit: str
    words: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Chapter:
    """Steps that belong together, with what a person should know before reading them."""

    title: str
    steps: tuple[Step, ...]
    words: str = ""


@dataclass(frozen=True, slots=True)
class Work:
    """All that a shape asks of the metal.

    ``moved_area_mm2`` is what the flat with lengths kept has too much or too little of, ``worked_area_mm2`` the area
    that is hammered for it, ``layout_length_mm`` the outline and all lines to mark. ``by_length`` and ``by_area`` are
    the two flats, ``trimmed`` the first with its margin; ``blank_width_mm`` and ``blank_length_mm`` are the smallest
    rectangle round that one. ``flat_length_mm`` is the length laid flat: across the flange of an arch or a tray, along
    a strip, a roll or the legs of a fold. ``edges``, ``passes`` and ``gathers`` are empty where nothing is gathered or
    stretched; of several edges alike the first stands for all.
    """

    form: Form
    sheet: Sheet
    marking: Marking

    finished_area_mm2: float
    flat_area_by_length_mm2: float
    flat_area_by_area_mm2: float
    moved_area_mm2: float
    worked_area_mm2: float
    layout_length_mm: float
    gather_angle_rad: float
    stretch_angle_rad: float
    thinnest_mm: float
    thickest_mm: float
    bend_allowance_mm: float | None
    flat_length_mm: float | None

    blank_width_mm: float
    blank_length_mm: float
    by_length: Outline
    by_area: Outline
    trimmed: Outline

    edges: tuple[Edge, ...] = ()
    lines: tuple[Line, ...] = ()
    passes: tuple[Pass, ...] = ()
    gathers: tuple[Gather, ...] = ()
    warnings: tuple[Caution, ...] = ()

    @property
    def mass_kg(self) -> float:
        """Finished mass by mid-surface area, thickness and density."""
        return self.finished_area_mm2 * self.sheet.thickness_mm * self.sheet.density_kg_m3 * 1e-9

    @property
    def blank_mass_kg(self) -> float:
        """Mass of the blank's rectangle as it is cut from the sheet, before anything comes off."""
        area_mm2 = self.blank_width_mm * self.blank_length_mm
        return area_mm2 * self.sheet.thickness_mm * self.sheet.density_kg_m3 * 1e-9
