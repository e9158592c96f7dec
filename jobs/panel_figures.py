"""A panel's figures in words, and how each was figured."""

import math
import re
from dataclasses import dataclass
from functools import partial

from jobs.forming import Work, explain
from jobs.forming.result import Step
from jobs.models import Panel
from jobs.readings import plan_of
from shop.figures import figure
from shop.gauges import format_thickness
from shop.lengths import format_angle, format_length
from shop.models import Shop

IN2_MM2 = 25.4**2
DM2_MM2 = 1e4
THIN_MM = 10.0
NOTHING_RAD = math.radians(0.05)  # less would read as 0°

_NAME = re.compile(r"[^\W\d]\w*")
# What the letters of the formulas stand for, in the order in which they are explained.
SYMBOLS = {
    "θ": "turn: how far round the curve goes, seen from above",
    "φ": "bend angle: how far the flange is turned out of the flat",
    "ψ": "section angle: how far round the section's arc goes",
    "α": "angle at the centre of the curve",
    "t": "thickness of the sheet",
    "ρ": "bend radius at the middle of the sheet's thickness",
    "σ": "+1 where the edge has to be gathered, −1 where it has to be stretched",
    "r_in": "inside radius of the bend",
    "R_out": "outside radius of the curve",
    "R_mid": "radius of the curve at the middle of the web's thickness",
    "R₀": "radius of the start line",
    "R": "radius of the edge when finished, at the middle of the thickness",
    "F": "radius of the edge in the flat, with lengths along the section kept",
    "F_A": "radius of the edge in the flat, with the area kept",
    "L": "straight part beyond the bend",
    "s": "distance from the start line along the section",
    "s_e": "the same distance at the edge",
    "k": "k factor: where in the thickness the length stays the same",
}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: what it is, how much, and what it means where that helps."""

    name: str
    value: str
    note: str = ""


def format_area(area_mm2: float, shop: Shop) -> str:
    """An area in dm², or in² where the shop works in inches."""
    if shop.units == "in":
        return f"{figure(area_mm2 / IN2_MM2, 1)} in²"
    return f"{figure(area_mm2 / DM2_MM2, 2)} dm²"


def figures_of(work: Work, shop: Shop) -> tuple[Figure, ...]:
    """The figures of a panel, in the order in which a shaper asks for them."""
    length, thickness = partial(format_length, units=shop.units), partial(format_thickness, units=shop.units)
    blank = f"{length(work.blank_length_mm, with_unit=False)} × {length(work.blank_width_mm)}"
    found = [
        Figure("Blank, with trim", blank, f"{length(work.marking.trim_mm)} of trim all round"),
        Figure("Mass, finished", f"{figure(work.mass_kg, 2)} kg"),
        Figure("Area, finished", format_area(work.finished_area_mm2, shop)),
        *_angles(work),
        *_edges(work, shop),
        Figure("Thickest", thickness(work.thickest_mm), _against(work.thickest_mm, work)),
        Figure("Thinnest", thickness(work.thinnest_mm), _against(work.thinnest_mm, work)),
        Figure("Metal moved", format_area(work.moved_area_mm2, shop)),
    ]
    if work.bend_allowance_mm is not None:
        found.append(Figure("Bend allowance", length(work.bend_allowance_mm)))
    return tuple(found)


def _angles(work: Work) -> list[Figure]:
    """The shape's own measures of the work; left out where there is none."""
    angles = (("Gather angle", work.gather_angle_rad), ("Stretch angle", work.stretch_angle_rad))
    return [Figure(name, format_angle(angle)) for name, angle in angles if angle > NOTHING_RAD]


def _edges(work: Work, shop: Shop) -> list[Figure]:
    """What each edge has to lose or gain; edges that ask the same are said once."""
    said: dict[tuple[str, str], list[str]] = {}
    for edge in work.edges:
        verb = "to lose" if edge.take_up_mm >= 0 else "to gain"
        amount = format_length(abs(edge.take_up_mm), shop.units)
        share = f"{figure(abs(edge.strain) * 100, 1)} % of its length"
        said.setdefault((f"{amount} {verb}", share), []).append(edge.name)
    return [Figure(_edge_name(names), amount, share) for (amount, share), names in said.items()]


def _edge_name(names: list[str]) -> str:
    return f"At {len(names)} edges, each" if len(names) > 1 else "At the edge"


def _against(thickness_mm: float, work: Work) -> str:
    change = thickness_mm / work.sheet.thickness_mm - 1
    if abs(change) < 0.0005:
        return "as the sheet"
    return f"{figure(abs(change) * 100, 1)} % {'thicker' if change > 0 else 'thinner'} than the sheet"


@dataclass(frozen=True, slots=True)
class FiguredStep:
    """A step of the explanation with its result in the shop's units."""

    step: Step
    result: str


@dataclass(frozen=True, slots=True)
class Figured:
    """How a panel was figured: each step, and what the letters stand for."""

    steps: tuple[FiguredStep, ...]
    symbols: tuple[tuple[str, str], ...]


def figured(panel: Panel, shop: Shop) -> Figured:
    """Explain a panel's figures. Raises ``ImpossibleShape`` where its shape cannot be made."""
    work, _ = plan_of(panel)
    steps = tuple(FiguredStep(step, _result(step, shop)) for step in explain(work))
    used = {name for each in steps for name in _NAME.findall(each.step.formula)}
    return Figured(steps, tuple((letter, words) for letter, words in SYMBOLS.items() if letter in used))


def _result(step: Step, shop: Shop) -> str:
    match step.unit:
        case "mm":
            # A tenth of a millimetre is too coarse for a thickness.
            write = format_thickness if step.value < THIN_MM else format_length
            return write(step.value, shop.units)
        case "mm2":
            return format_area(step.value, shop)
        case "rad":
            return format_angle(step.value)
        case "kg":
            return f"{figure(step.value, 2)} kg"
        case _:
            return figure(step.value, 3)
