"""A panel's figures in words, and how each was figured."""

import math
from dataclasses import dataclass
from functools import partial

from django.utils.text import slugify

from jobs.drawings.flats import at_the_edge, both_flats
from jobs.drawings.scene import Scene
from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.forming import Step, Work, explain
from jobs.forming.figured.words import fine, num
from jobs.formula_letters import letters_used
from jobs.formula_sources import sources_used
from jobs.models import Panel
from jobs.readings import plan_of
from shop.figures import area, figure, mass
from shop.gauges import format_thickness
from shop.lengths import NO_BREAK, format_angle, format_blank, format_length
from shop.models import Shop

THIN_MM = 10.0
VIEW_PX, VIEW_HIGH_PX = 330.0, 260.0  # as wide as a phone
NOTHING_MM2 = 50.0  # less would read as 0.00 dm²
NOTHING_RAD = math.radians(0.05)  # less would read as 0°


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: what it is, how much, and what it means where that helps."""

    name: str
    value: str
    note: str = ""


def figures_of(work: Work, shop: Shop) -> tuple[Figure, ...]:
    """The figures of a panel, in the order in which a shaper asks for them."""
    length, thickness = partial(format_length, units=shop.units), partial(format_thickness, units=shop.units)
    blank = format_blank(work.blank_length_mm, work.blank_width_mm, shop.units)
    found = [
        Figure("Blank, with trim", blank, f"{length(work.marking.trim_mm)} of trim all round"),
        Figure("Mass of the blank", mass(work.blank_mass_kg, shop.units)),
        Figure("Mass, finished", mass(work.mass_kg, shop.units)),
        Figure("Area, finished", area(work.finished_area_mm2, shop.units)),
        *_angles(work),
        *_edges(work, shop),
        Figure("Thickest", thickness(work.thickest_mm), _against(work.thickest_mm, work)),
        Figure("Thinnest", thickness(work.thinnest_mm), _against(work.thinnest_mm, work)),
    ]
    if work.moved_area_mm2 > NOTHING_MM2:
        found.append(Figure("Metal moved", area(work.moved_area_mm2, shop.units)))
    if work.bend_allowance_mm is not None:
        found.append(Figure("Bend allowance", fine_length(work.bend_allowance_mm, shop)))
    return tuple(found)


def fine_length(length_mm: float, shop: Shop) -> str:
    """A length that is figured with; a tenth of a millimetre, or 1/32 in, is too coarse for a thin one."""
    write = format_thickness if length_mm < THIN_MM else format_length
    return write(length_mm, shop.units)


def _angles(work: Work) -> list[Figure]:
    """The shape's own measures of the work; left out where there is none."""
    angles = (("Gather angle", work.gather_angle_rad), ("Stretch angle", work.stretch_angle_rad))
    return [Figure(name, format_angle(angle)) for name, angle in angles if angle > NOTHING_RAD]


def _edges(work: Work, shop: Shop) -> list[Figure]:
    """What each edge has to lose or gain; edges that ask the same are said once."""
    said: dict[tuple[str, str], list[str]] = {}
    for edge in work.edges:
        verb = "to lose" if edge.take_up_mm >= 0 else "to gain"
        amount = f"{format_length(abs(edge.take_up_mm), shop.units)} {verb}"
        share = f"{figure(abs(edge.strain) * 100, 1)} % of its length"
        if format_length(abs(edge.take_up_mm), shop.units, with_unit=False) == "0":
            amount, share = f"next to nothing {verb}" if edge.take_up_mm else "keeps its length", ""
        told = (amount, share)
        said.setdefault(told, []).append(edge.name)
    return [Figure(_edge_name(names), amount, share) for (amount, share), names in said.items()]


def _edge_name(names: list[str]) -> str:
    if len(names) > 1:
        return f"At {len(names)} edges, each"
    return f"At {names[0]}" if " " in names[0] else f"At the {names[0]}"


def _against(thickness_mm: float, work: Work) -> str:
    change = thickness_mm / work.sheet.thickness_mm - 1
    if abs(change) < 0.0005:
        return "as the sheet"
    return f"{figure(abs(change) * 100, 1)} % {'thicker' if change > 0 else 'thinner'} than the sheet"


@dataclass(frozen=True, slots=True)
class FiguredStep:
    """A step of the explanation with its result in the shop's units.

    ``plain`` is the result as the next formula takes it, where that is in another unit: millimetres, their squares.
    """

    step: Step
    result: str
    plain: str = ""


@dataclass(frozen=True, slots=True)
class FiguredChapter:
    """Steps that belong together, with what to know before reading them and the address of their place."""

    title: str
    words: str
    steps: tuple[FiguredStep, ...]

    @property
    def place(self) -> str:
        return slugify(self.title)


@dataclass(frozen=True, slots=True)
class Figured:
    """How a panel was figured: its views with the letters on them, chapter by chapter, letters and sources in words."""

    views: tuple[Scene, ...]
    chapters: tuple[FiguredChapter, ...]
    symbols: tuple[tuple[str, str], ...]
    sources: tuple[tuple[str, str], ...]


def figured(panel: Panel, shop: Shop) -> Figured:
    """Explain a panel's figures. Raises ``ImpossibleShape`` where its shape cannot be made."""
    work, _ = plan_of(panel)
    chapters = explain(work)
    shown = tuple(
        FiguredChapter(
            each.title,
            each.words,
            tuple(FiguredStep(step, _result(step, shop), _plain(step, shop)) for step in each.steps),
        )
        for each in chapters
    )
    steps = [step for each in chapters for step in each.steps]
    return Figured(
        _views(work, panel, shop),
        shown,
        letters_used(panel.form, steps),
        sources_used(steps),
    )


def _views(work: Work, panel: Panel, shop: Shop) -> tuple[Scene, ...]:
    write = partial(format_length, units=shop.units, with_unit=False)
    look = {"write_length": write, "mirrored": panel.is_mirrored, "letters": True}
    room = {"width": VIEW_PX, "height": VIEW_HIGH_PX}
    # A flange is figured from line to line; rings and lines of a crown are only where it is worked.
    lines = work.bend_allowance_mm is not None
    views = section(work, lines=lines, **look, **room), side_view(work, **look, **room)
    if work.moved_area_mm2 <= NOTHING_MM2:
        return views
    flats = {"write_length": write, "mirrored": panel.is_mirrored, **room}
    return (*views, both_flats(work, **flats), at_the_edge(work, **flats))


def _result(step: Step, shop: Shop) -> str:
    match step.unit:
        case "mm":
            return format_length(step.value, shop.units)
        case "mm fine":
            return fine_length(step.value, shop)
        case "mm up":
            return format_length(step.value, shop.units, up=True)
        case "mm2":
            return area(step.value, shop.units)
        case "rad":
            return format_angle(step.value)
        case "kg":
            return mass(step.value, shop.units)
        case "figure":
            return fine(step.value)
        case "share":
            return f"{figure(step.value * 100, 1)} %"
        case _:
            return figure(step.value, 0 if step.value == int(step.value) else 4)


def _plain(step: Step, shop: Shop) -> str:
    """A result in the millimetres of the formulas, where the shop's unit is another."""
    if step.unit == "mm2":
        return f"{num(step.value)}{NO_BREAK}mm²"
    if shop.units == "mm":
        return ""
    if step.unit == "kg":
        return f"{fine(step.value)}{NO_BREAK}kg"
    return f"{num(step.value)}{NO_BREAK}mm" if step.unit.startswith("mm") else ""
