"""Gauges to cut out of card and hold against the metal, one unit a millimetre."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from jobs.drawings import letters
from jobs.drawings.bends import degrees
from jobs.drawings.courses import Course, Piece, symmetrical
from jobs.drawings.crowns import Crowned, crowned_of, roll_pieces
from jobs.drawings.letters import Box
from jobs.drawings.piece import flattened
from jobs.drawings.piece_words import SIZE_MM, holds
from jobs.drawings.place import Placement
from jobs.drawings.primitives import PX_MM
from jobs.drawings.scene import Circle, Item, Path, Run, Scene, Text, bounds, ends
from jobs.drawings.section import find_pass
from jobs.forming import values
from jobs.forming.errors import WriteLength, in_millimetres
from jobs.forming.result import Pass, Point, Straight, Work

BAND_MM = 45.0
"""How far the card reaches from the metal."""
ARM_MM = 60.0
"""The straight arms of a bend gauge; a longer arm would only need more card."""
MOST_TURN_RAD = math.pi
BORDER_MM = 5.0
HOLE_MM = 2.5
LEADING = 1.5
PARTS = (1.0, 0.85, 0.7)
"""Sizes of lettering on the card that are tried, in parts of the usual one; smaller is not read on card."""
STEPS = 40
FINE_RAD = math.radians(0.5)
"""On the flattest card a chord of this much is less than a tenth of a millimetre off its arc."""


def gauge(
    work: Work,
    *,
    pass_number: int | None = None,
    write_length: WriteLength = in_millimetres,
    mirrored: bool = False,
    words: Sequence[str] = (),
) -> Scene:
    """Draw the card that fits the outside of the section, finished or after a pass, at 1:1.

    It is true to the outside face: half the sheet's thickness beyond the mid-surface. A bend's gauge has arms
    of at most ``ARM_MM``; a round one spans at most a half turn. ``words`` (panel, hand) are written on the
    card. ``ValueError`` where the panel has no such pass.
    """
    after = None if pass_number is None else find_pass(work, pass_number)
    course = COURSES[work.form.name](work, after)
    told = ["finished" if after is None else f"after pass {after.number}", _says(work, after, write_length)]
    title = "Gauge, finished section" if after is None else f"Gauge after pass {after.number}"
    return card(title, course, work.sheet.thickness_mm / 2, [*words, *[one for one in told if one]], mirrored)


def radius_gauge(radius_mm: float, chord_mm: float, *, write_length: WriteLength = in_millimetres) -> Scene:
    """Draw a card whose hollow fits the outside of a radius over a chord, at 1:1.

    ``ValueError`` where the chord is wider than the circle.
    """
    if not 0 < chord_mm <= 2 * radius_mm:
        raise ValueError(
            f"A chord of {write_length(chord_mm)} does not fit a radius of {write_length(radius_mm)}."
        )
    half = math.asin(chord_mm / (2 * radius_mm))
    words = [f"radius {write_length(radius_mm)}", f"chord {write_length(chord_mm)}"]
    return card("Radius gauge", symmetrical((Piece(radius_mm * half, -half),)), 0.0, words, False)


def crown_gauge(chord_mm: float, height_mm: float, *, write_length: WriteLength = in_millimetres) -> Scene:
    """Draw a card whose hollow fits a crown of a height over a chord, at 1:1.

    ``ValueError`` where the height is more than half the chord.
    """
    if not 0 <= height_mm <= chord_mm / 2:
        raise ValueError(
            f"A crown of {write_length(height_mm)} is more than half of {write_length(chord_mm)}."
        )
    words = [f"crown {write_length(height_mm)}", f"over {write_length(chord_mm)}"]
    return card("Crown gauge", Crowned(0.0, chord_mm / 2, height_mm).course(), 0.0, words, False)


def _says(work: Work, after: Pass | None, write: WriteLength) -> str:
    given = values(work.form)
    if after and after.height_mm is not None:
        return f"height {write(after.height_mm)}"
    if after:
        return degrees(after.section_angle_rad)
    return degrees(given["bend_angle_rad"]) if "bend_angle_rad" in given else ""


# The course that each form's gauge follows


def _bend(work: Work, after: Pass | None) -> Course:
    """The first bend with its arms, turning down."""
    given = values(work.form)
    angle = after.section_angle_rad if after else given["bend_angle_rad"]
    rho = given["bend_radius_mm"] + work.sheet.thickness_mm / 2
    flange = ARM_MM
    if work.form.name != "fold":
        flange = min(ARM_MM, max(1.0, (work.flat_length_mm or 0.0) - rho * angle))
    return Course((-ARM_MM, 0.0), 0.0, (Piece(ARM_MM), Piece(rho * angle, -angle), Piece(flange)))


def _crowned(work: Work, after: Pass | None) -> Course:
    crowned = crowned_of(work)
    if after is None:
        return crowned.course()
    return crowned.course_after(work, after)


def _roll(work: Work, after: Pass | None) -> Course:
    (piece,) = roll_pieces(work)
    share = min(1.0, MOST_TURN_RAD / 2 / abs(piece.turn_rad))
    return symmetrical((Piece(piece.length_mm * share, piece.turn_rad * share),))


COURSES: dict[str, Callable[[Work, Pass | None], Course]] = {
    "arch": _bend,
    "tray": _bend,
    "fold": _bend,
    "sweep": _crowned,
    "dome": _crowned,
    "crown": _crowned,
    "roll": _roll,
}


# The card


def card(title: str, course: Course, face_mm: float, words: Sequence[str], mirrored: bool) -> Scene:
    """Draw a band of card along the left of a course, ``face_mm`` away from it, with words and a hang hole."""
    inner, outer = course.offset(face_mm), course.offset(face_mm + BAND_MM)
    back = tuple(_reversed(run) for run in reversed(outer))
    shape = (*inner, Straight(_end(inner), _start(back)), *back, Straight(_end(back), _start(inner)))
    box = bounds(shape)
    side = -1.0 if mirrored else 1.0
    x = BORDER_MM - (box.left if side > 0 else -box.right)
    place = Placement(1.0, x, BORDER_MM + box.bottom, mirrored)
    wide, high = box.right - box.left + 2 * BORDER_MM, box.bottom - box.top + 2 * BORDER_MM
    hole = place.point(course.beside(course.length_mm * 0.94, face_mm + BAND_MM * 0.6))
    texts = _words(words, place.runs(shape), course, face_mm, place, hole)
    if not texts:
        texts = _words_below(words, high)
        high = texts[-1].box().bottom + BORDER_MM
        wide = max(wide, *(text.box().right + BORDER_MM for text in texts))
    items: tuple[Item, ...] = (
        Path("cut", place.runs(shape), closed=True),
        Path("outline", place.runs(inner)),
        Circle("cut", hole, HOLE_MM),
        *texts,
    )
    return Scene(title, ", ".join(words), wide, high, items, PX_MM)


def _words(
    words: Sequence[str], shape: Sequence[Run], course: Course, face_mm: float, place: Placement, hole: Point
) -> tuple[Text, ...]:
    """Write the words along the card at the first place from its first end where no cut touches them.

    Smaller where they would not fit; nothing where the card has no room for them at all.
    """
    piece = flattened(shape, FINE_RAD)
    for size in (SIZE_MM * part for part in PARTS):
        wide = max(letters.width(word, size) for word in words)
        tall = size * (LEADING * (len(words) - 1) + letters.ASCENT + letters.DESCENT)
        for step in range(STEPS):
            along = 4.0 + wide / 2 + course.length_mm * step / STEPS
            turn = _upright(-course.at(along)[1], place.mirrored)
            middle = place.point(course.beside(along, face_mm + BAND_MM / 2))
            box = Box(-wide / 2, -tall / 2, wide / 2, tall / 2).grown(2.0)
            seen = [_turned(point, middle, -turn) for point in piece]
            if holds(seen, box) and not box.grown(HOLE_MM).meets(_dot(_turned(hole, middle, -turn))):
                return tuple(
                    _line(words, index, size, (wide, tall), middle, turn) for index in range(len(words))
                )
    return ()


def _line(
    words: Sequence[str], index: int, size: float, block: tuple[float, float], middle: Point, turn: float
) -> Text:
    """One line of a block of words about a point, all of them turned alike."""
    x, y = -block[0] / 2, -block[1] / 2 + size * (letters.ASCENT + index * LEADING)
    spot = _turned((middle[0] + x, middle[1] + y), middle, turn)
    at = (middle[0] + spot[0], middle[1] + spot[1])
    return Text("label", at, words[index], size=size, bold=index == 0, rotate_deg=math.degrees(turn))


def _words_below(words: Sequence[str], top: float) -> tuple[Text, ...]:
    """The words under a card that has no room for them."""
    return tuple(
        Text("label", (BORDER_MM, top + SIZE_MM * LEADING * (index + 1)), word, size=SIZE_MM, bold=index == 0)
        for index, word in enumerate(words)
    )


def _upright(turn_rad: float, mirrored: bool) -> float:
    """The turn of lettering along a heading, so that it is never read upside down."""
    turn = -turn_rad if mirrored else turn_rad
    return (turn + math.pi / 2) % math.pi - math.pi / 2


def _turned(point: Point, middle: Point, turn_rad: float) -> Point:
    """A point as seen from another, turned about it."""
    x, y, cos, sin = point[0] - middle[0], point[1] - middle[1], math.cos(turn_rad), math.sin(turn_rad)
    return (x * cos - y * sin, x * sin + y * cos)


def _dot(point: Point) -> Box:
    return Box(point[0], point[1], point[0], point[1]).grown(0.1)


def _reversed(run: Run) -> Run:
    if isinstance(run, Straight):
        return Straight(run.end, run.start)
    return type(run)(run.centre, run.radius_mm, run.start_rad + run.sweep_rad, -run.sweep_rad)


def _start(runs: Sequence[Run]) -> Point:
    return ends(runs[0])[0]


def _end(runs: Sequence[Run]) -> Point:
    return ends(runs[-1])[1]
