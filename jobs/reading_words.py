"""Readings as the bench writes and says them: in the shop's units, with what they ask for."""

from jobs.forming.passes import the_line
from jobs.forming.readings import Replan
from jobs.forming.result import Work
from jobs.models import Reading
from shop.figures import counted
from shop.gauges import format_thickness
from shop.lengths import MINUS, Unreadable, format_angle, format_length, parse_angle_rad, parse_length_mm
from shop.models import Shop

# How an edge may be read: on the outside face, but kept as what it is in the middle of the sheet.
ON_THE_OUTSIDE = "edge-outside"
ON_THE_OUTSIDE_SAID = "Edge, outside face"
NOTHING_MM = 0.05  # what a tape cannot show


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


def difference(kind: str, value: float, target: float, shop: Shop) -> str:
    """How far a reading is from its target, in words: 2.5 mm over, as planned."""
    off = written(kind, abs(value - target), shop)
    if off.startswith(("0 ", "0°")) or off in ("0.000 in",):
        return "as planned"
    return f"{off} {'over' if value > target else 'under'}"


def label_of(kind: str) -> str:
    """What a reading is called: Edge length."""
    return ON_THE_OUTSIDE_SAID if kind == ON_THE_OUTSIDE else str(Reading.Kind(kind).label)


def signed(kind: str, off: float, shop: Shop) -> str:
    """How far off, as short as it can be said: +1, −0.5; nothing where a tape shows none."""
    size = written(kind, abs(off), shop, with_unit=False)
    if not size.strip("0."):
        return ""
    return f"{'+' if off > 0 else MINUS}{size}"


def meaning(work: Work, reading: Reading, answer: Replan, shop: Shop) -> tuple[str, ...]:
    """What a reading asks for: against the plan, what is left, and where the next gathers go."""
    after = f"after pass {reading.pass_number}" if reading.pass_number else "before the first pass"
    against = difference(reading.kind, reading.value, answer.target, shop)
    head = f"{reading.get_kind_display()} {written(reading.kind, reading.value, shop)} {after}: {against}."
    return (head, _what_is_left(work, answer, shop))


def _what_is_left(work: Work, answer: Replan, shop: Shop) -> str:
    gathered = work.edges[0].take_up_mm >= 0
    left = format_length(abs(answer.left_mm), shop.units)
    if abs(answer.left_mm) < NOTHING_MM:
        return "The edge has its finished length."
    if answer.is_past:
        way = "shorter" if gathered else "longer"
        undo = "Stretch it back" if gathered else "Gather it back"
        return f"Gone past: the edge is {left} {way} than finished. {undo} before you go on."
    noun = "gather" if gathered else "stretch"
    many = "gathers" if gathered else "stretches"
    to = "lose" if gathered else "gain"
    said = f"{left} still to {to}: {counted(answer.gathers_left, noun, many)}"
    if answer.gathers == answer.gathers_left:
        return f"{said}, on {the_line(answer.line)}."
    return f"{said}, the next {answer.gathers} on {the_line(answer.line)}."


def line_words(line: str) -> str:
    """What a line is called in a sentence: centre line, line 2."""
    return line if " " in line or line[-1:].isdigit() else f"{line} line"
