"""The check at the bench: the section as it should stand after a pass, and the gauge held to it."""

from __future__ import annotations

import itertools
import math

from jobs.drawings import letters
from jobs.drawings.courses import Course, Piece
from jobs.drawings.gauge import COURSES
from jobs.drawings.letters import Box
from jobs.drawings.place import Placement, fitted
from jobs.drawings.scene import Area, Circle, Item, Path, Run, Scene, Text, bounds, ends
from jobs.drawings.section import find_pass
from jobs.forming.result import Straight, Work

MARGIN = 12.0
BIG, WORDS, NAME = 26.0, 15.0, 13.0
BAND_SHARE = 0.36
"""How deep the gauge stands on the metal, as a share of the section's length."""
AIR_PX = 3.0
"""Between gauge and metal, so that both edges are seen."""
METAL_PX = 5.0
ROW = 20.0
BOLDER = 1.1
"""Bold lettering is wider than the plain that widths are reckoned for."""


def gauge_check(
    work: Work, pass_number: int, *, figure: str, words: str, remark: str = "", mirrored: bool = False,
    width: float = 354.0, height: float = 190.0,
) -> Scene:  # fmt: skip
    """Draw the section after a pass with its gauge on it; ``figure`` is what to read, ``words`` what it is;
    ``remark`` is one line more.

    The section is drawn level at its first end, to no scale that matters: the gauge itself is cut at 1:1.
    ``ValueError`` where the panel has no such pass.
    """
    after = find_pass(work, pass_number)
    course = COURSES[work.form.name](work, after)
    band_mm = course.length_mm * BAND_SHARE
    place, texts = _laid_out(course, band_mm, (figure, words, remark), mirrored, width, height)
    air_mm = (AIR_PX + METAL_PX / 2) / place.scale
    card = place.runs(_card(course, air_mm, band_mm))
    items: tuple[Item, ...] = (
        Area("kraft", card),
        Path("kraft-line", card, closed=True),
        Path("section", place.runs(course.runs()), width=METAL_PX),
        *_named(card, course, place, air_mm + band_mm * 0.25, f"gauge {pass_number}"),
        *texts,
    )
    said = f"The section after pass {pass_number} with gauge {pass_number} on it; {words} {figure}."
    return Scene(f"Check after pass {pass_number}", said, width, height, items)


def _laid_out(
    course: Course, band_mm: float, texts: tuple[str, str, str], mirrored: bool, width: float, height: float
) -> tuple[Placement, tuple[Text, ...]]:
    """Place the section, the figure beside it or under it: whichever leaves it larger."""
    figure, *words = (one for one in texts if one)
    figure_wide = letters.width(figure, BIG) * BOLDER
    column = max(figure_wide, *(letters.width(one, WORDS) for one in words)) + 2 * MARGIN
    rows = [", ".join(words)]
    if figure_wide + letters.width(rows[0], WORDS) + 3 * MARGIN > width:
        rows = words
    under_high = BIG + 8 + ROW * (len(rows) - 1)
    box = bounds((*course.runs(), *_card(course, 0.0, band_mm)))
    beside = fitted(box, Box(MARGIN, MARGIN, width - column, height - MARGIN), mirrored=mirrored)
    under = fitted(box, Box(MARGIN, MARGIN, width - MARGIN, height - MARGIN - under_high), mirrored=mirrored)
    right, foot = width - MARGIN, height - MARGIN
    if beside.scale >= under.scale:
        told = [
            Text("note", (right, height / 2 + 17 + ROW * row), one, "end", WORDS)
            for row, one in enumerate(words)
        ]
        return beside, (Text("label", (right, height / 2 - 6), figure, "end", BIG, bold=True), *told)
    last = len(rows) - 1
    told = [
        Text("note", (right, foot - ROW * (last - row)), one, "end", WORDS) for row, one in enumerate(rows)
    ]
    return under, (Text("label", (MARGIN, foot), figure, "start", BIG, bold=True), *told)


def _card(course: Course, off_mm: float, band_mm: float) -> tuple[Run, ...]:
    """The card over the second two thirds of the section, its back straight."""
    part = _part(course, course.length_mm * 0.3, course.length_mm * 0.94)
    inner = part.offset(off_mm)
    first, last = ends(inner[0])[0], ends(inner[-1])[1]
    back = [part.beside(0.0, off_mm + band_mm), part.beside(part.length_mm, off_mm + band_mm)]
    corner = _corner(part, off_mm + band_mm)
    points = [last, back[1], *([corner] if corner else []), back[0], first]
    return (*inner, *(Straight(a, b) for a, b in itertools.pairwise(points)))


def _corner(part: Course, off_mm: float) -> tuple[float, float] | None:
    """Where the backs of the card's two arms meet; nothing where they are as good as one line or turn away."""
    (_, first), (_, last) = part.at(0.0), part.at(part.length_mm)
    turn = last - first
    if not math.radians(5) < abs(turn) < math.radians(150) or turn > 0:
        return None
    (ax, ay), (bx, by) = part.beside(0.0, off_mm), part.beside(part.length_mm, off_mm)
    cross = math.sin(turn)
    along = ((bx - ax) * math.sin(last) - (by - ay) * math.cos(last)) / cross
    return ax + along * math.cos(first), ay + along * math.sin(first)


def _part(course: Course, start_mm: float, end_mm: float) -> Course:
    """The part of a course between two developed lengths."""
    point, heading = course.at(start_mm)
    pieces, passed = [], 0.0
    for piece in course.pieces:
        low, high = max(start_mm, passed), min(end_mm, passed + piece.length_mm)
        if high > low and piece.length_mm:
            share = (high - low) / piece.length_mm
            pieces.append(Piece(high - low, piece.turn_rad * share))
        passed += piece.length_mm
    return Course(point, heading, tuple(pieces))


def _named(
    card: tuple[Run, ...], course: Course, place: Placement, off_mm: float, name: str
) -> tuple[Item, ...]:
    """The gauge's name in the middle of its card, and the hole it hangs by."""
    # Towards the back: the middle of a bent card lies close to the metal.
    (x, y), (back_x, back_y) = _middle(card), place.point(course.beside(course.length_mm * 0.62, 4 * off_mm))
    x, y = x + 0.2 * (back_x - x), y + 0.2 * (back_y - y)
    hole = place.point(course.beside(course.length_mm * 0.89, off_mm))
    return (
        Text("label", (x, y + letters.MIDDLE * NAME), name, "middle", NAME, bold=True),
        Circle("kraft-line", hole, 5.0, filled=True),
    )


def _middle(card: tuple[Run, ...]) -> tuple[float, float]:
    """The middle of the card's area, its arcs taken as chords."""
    corners = [ends(run)[0] for run in card]
    twice = x = y = 0.0
    for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
        cross = ax * by - bx * ay
        twice, x, y = twice + cross, x + (ax + bx) * cross, y + (ay + by) * cross
    return x / (3 * twice), y / (3 * twice)
