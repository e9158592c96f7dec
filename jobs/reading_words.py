"""Readings as the bench writes and says them: in the shop's units, with what they ask for."""

import math
from fractions import Fraction

from jobs.forming.passes import NO_WORK_MM, the_line
from jobs.forming.readings import Replan
from jobs.forming.result import Work
from jobs.models import Reading
from shop.figures import counted
from shop.gauges import format_thickness
from shop.lengths import (
    INCH_MM,
    MINUS,
    Unreadable,
    format_angle,
    format_length,
    parse_angle_rad,
    parse_length_mm,
)
from shop.models import Shop

# How an edge may be read: on the outside face, but kept as what it is in the middle of the sheet.
ON_THE_OUTSIDE = "edge-outside"
ON_THE_OUTSIDE_SAID = "Edge, outside face"


def written(kind: str, value: float, shop: Shop, *, with_unit: bool = True) -> str:
    """A reading in the shop's units: 512.4 mm, 20 3/16 in, 67.5°, 1.72 mm."""
    if kind == Reading.Kind.SECTION_ANGLE:
        return format_angle(value, with_unit)
    if kind == Reading.Kind.THICKNESS:
        return format_thickness(value, shop.units, with_unit)
    return format_length(value, shop.units, with_unit)


def typed(kind: str, text: str, shop: Shop) -> float | None:
    """What was typed, in millimetres or radians; nothing where it cannot be read."""
    try:
        return read(kind, text, shop)
    except Unreadable:
        return None


def read(kind: str, text: str, shop: Shop) -> float:
    """What was typed, in millimetres or radians; raises ``Unreadable`` with words that say what fits."""
    if kind == Reading.Kind.SECTION_ANGLE:
        return parse_angle_rad(text)
    return parse_length_mm(text, bare=shop.units)


def step_of(kind: str, shop: Shop) -> float:
    """What a reading is written to: 1/32 in or 0.1 mm, 0.001 in or 0.01 mm of a thickness, 0.1°; mm, or radians."""
    if kind == Reading.Kind.SECTION_ANGLE:
        return math.radians(0.1)
    if kind == Reading.Kind.THICKNESS:
        return float(INCH_MM) / 1000 if shop.units == "in" else 0.01
    return float(INCH_MM) / 32 if shop.units == "in" else 0.1


def reads_as(kind: str, value: float, other: float, shop: Shop) -> bool:
    """Whether two readings are the same as they are written."""
    return written(kind, value, shop) == written(kind, other, shop)


def off_by(kind: str, value: float, target: float, shop: Shop) -> float:
    """How far a reading is from its target, both as they are written: what taking one from the other gives."""
    step = step_of(kind, shop)
    # Fractions: a float's speck must not turn a half, which is written away from nought.
    steps = [math.floor(Fraction(f"{each / step:.9f}") + Fraction(1, 2)) for each in (value, target)]
    return (steps[0] - steps[1]) * step


def difference(kind: str, value: float, target: float, shop: Shop) -> str:
    """How far a reading is from its target, in words: 2.5 mm over, as planned."""
    if reads_as(kind, value, target, shop):
        return "as planned"
    off = off_by(kind, value, target, shop)
    return f"{written(kind, abs(off), shop)} {'over' if off > 0 else 'under'}"


def label_of(kind: str) -> str:
    """What a reading is called: Edge length."""
    return ON_THE_OUTSIDE_SAID if kind == ON_THE_OUTSIDE else str(Reading.Kind(kind).label)


def signed(kind: str, value: float, target: float, shop: Shop) -> str:
    """How far off, as short as it can be said: +1, −0.5; nothing where a tape shows none."""
    if reads_as(kind, value, target, shop):
        return ""
    off = off_by(kind, value, target, shop)
    return f"{'+' if off > 0 else MINUS}{written(kind, abs(off), shop, with_unit=False)}"


def meaning(work: Work, reading: Reading, answer: Replan, shop: Shop) -> tuple[str, ...]:
    """What a reading asks for: against the plan, what is left, and where the next gathers go."""
    after = f"after pass {reading.pass_number}" if reading.pass_number else "before the first pass"
    target = answer.target if reading.target is None else reading.target
    against = difference(reading.kind, reading.value, target, shop)
    head = f"{reading.get_kind_display()} {written(reading.kind, reading.value, shop)} {after}: {against}."
    if abs(work.edges[0].take_up_mm) < NO_WORK_MM:
        return (head, _what_is_to_rise(reading, answer, shop))
    return (head, _what_is_left(work, answer, shop))


def _what_is_left(work: Work, answer: Replan, shop: Shop) -> str:
    """What the edge has still to lose or gain, and with how many gathers on which line."""
    if not answer.left_mm:
        return "The edge has its finished length."
    kind, finished_mm = Reading.Kind.EDGE_LENGTH, work.edges[0].finished_length_mm
    left = written(kind, abs(off_by(kind, answer.edge_length_mm, finished_mm, shop)), shop)
    gathered = work.edges[0].take_up_mm >= 0
    nouns = ("gather", "gathers") if gathered else ("stretch", "stretches")
    if answer.is_past:
        way, undo = ("shorter", "Stretch it back") if gathered else ("longer", "Gather it back")
        over = (
            f"about {counted(answer.gathers_over, *nouns)}"
            if answer.gathers_over
            else f"less than one {nouns[0]}"
        )
        return f"Gone past: the edge is {left} {way} than finished, {over}. {undo} before you go on."
    said = f"{left} still to {'lose' if gathered else 'gain'}: {counted(answer.gathers_left, *nouns)}"
    if answer.gathers == answer.gathers_left:
        return f"{said}, on {the_line(answer.line)}."
    return f"{said}, the next {answer.gathers} on {the_line(answer.line)}."


def _what_is_to_rise(reading: Reading, answer: Replan, shop: Shop) -> str:
    """What the crown has still to rise, or the section to turn, where the edge keeps its length."""
    last = reading.value + answer.left_to_read
    left = written(reading.kind, abs(off_by(reading.kind, last, reading.value, shop)), shop)
    is_crown = reading.kind == Reading.Kind.CROWN_HEIGHT
    if reads_as(reading.kind, reading.value, last, shop):
        return "The crown has its finished height." if is_crown else "The section has its finished angle."
    if answer.is_past:
        way = f"the crown is {left} higher" if is_crown else f"the section stands {left} further"
        return f"Gone past: {way} than finished. Bring it back before you go on."
    return f"{left} still to {'rise' if is_crown else 'turn'}: go on along {the_line(answer.line)}."


def line_words(line: str) -> str:
    """What a line is called in a sentence: centre line, line 2."""
    return line if " " in line or line[-1:].isdigit() else f"{line} line"
