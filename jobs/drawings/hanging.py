"""What hangs below a rule: a triangle, a thin line and a label, on two levels that never touch.

The right one of a close pair is placed first, so that the left one goes lower and its label runs beneath.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from jobs.drawings import letters
from jobs.drawings.letters import Box
from jobs.drawings.scene import Area, Group, Item, Text, line, polyline
from jobs.forming.result import Straight

SIZE = 13.0
LEVELS = (19.0, 38.0)
"""Baselines of the two levels below the face, pixels."""
GAP = 6.0
"""Between the thin line and its label."""
AIR = 3.0
"""Between two labels, and between a label and a foreign line."""


@dataclass(frozen=True, slots=True)
class Hanging:
    """A mark at ``x``: a bold name, a few words after it, and whether it is too tight."""

    x: float
    name: str
    words: str = ""
    tight: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a label found room. Without a ``side`` it found none, and only its triangle is drawn."""

    mark: Hanging
    level: int = 0
    side: str = ""
    with_words: bool = True

    @property
    def text(self) -> str:
        """What is written."""
        mark = self.mark
        said = f"{mark.name} {mark.words}".strip() if self.with_words else mark.name
        return f"{said}, tight" if mark.tight else said

    @property
    def depth(self) -> float:
        """How far the thin line hangs down."""
        return LEVELS[self.level] + 3 if self.side else 0.0

    def box(self) -> Box:
        """Return the rectangle of the label, from the rule's lower edge downwards."""
        wide = letters.width(self.text, SIZE)
        left = self.mark.x + GAP if self.side == "right" else self.mark.x - GAP - wide
        base = LEVELS[self.level]
        return Box(left, base - letters.ASCENT * SIZE, left + wide, base + letters.DESCENT * SIZE)

    def thin_line(self) -> Box:
        """Return the thin line as a narrow rectangle."""
        return Box(self.mark.x - 0.5, 0.0, self.mark.x + 0.5, self.depth)


def place(marks: Sequence[Hanging], width: float) -> list[Placed]:
    """Find room for every label from right to left; the shorter form and then none where it is too close."""
    placed: list[Placed] = []
    for mark in sorted(marks, key=lambda mark: mark.x, reverse=True):
        placed.append(next((way for way in _ways(mark) if _fits(way, placed, width)), Placed(mark)))
    return placed


def _ways(mark: Hanging) -> list[Placed]:
    """All ways to write a mark, best first: whole before short, right before left, high before low."""
    forms = (True, False) if mark.words else (False,)
    return [
        Placed(mark, level, side, with_words)
        for with_words, side, level in itertools.product(forms, ("right", "left"), (0, 1))
    ]


def _fits(way: Placed, placed: Sequence[Placed], width: float) -> bool:
    box = way.box()
    if box.left < 0 or box.right > width:
        return False
    aired = box.grown(AIR)
    for other in placed:
        if not other.side:
            continue
        same_line = abs(other.mark.x - way.mark.x) < 0.5
        if aired.meets(other.box()):
            return False
        if not same_line and (
            aired.meets(other.thin_line()) or way.thin_line().meets(other.box().grown(AIR))
        ):
            return False
    return True


def hang(marks: Sequence[Hanging], top: float, width: float) -> tuple[Item, ...]:
    """Return the drawn marks below a face whose lower edge is at ``top``."""
    return tuple(
        Group("tight" if one.mark.tight else "hanging", _drawn(one, top)) for one in place(marks, width)
    )


def _drawn(one: Placed, top: float) -> tuple[Item, ...]:
    x, tight = one.mark.x, one.mark.tight
    head = Area("over-head" if tight else "reached", triangle(x, top))
    if not one.side:
        return (head,)
    box = one.box()
    role = "over-text" if tight else "label"
    base = top + LEVELS[one.level]
    rest = one.text.removeprefix(one.mark.name).lstrip(" ")
    after = box.right - letters.width(rest, SIZE)  # a leading space would be swallowed
    words = (Text(role, (after, base), rest, size=SIZE),) if rest else ()
    return (
        head,
        line("over-line" if tight else "mark", (x, top), (x, top + one.depth)),
        Text(role, (box.left, base), one.mark.name, size=SIZE, bold=True),
        *words,
    )


def triangle(x: float, top: float) -> tuple[Straight, ...]:
    """Return a triangle that points down from an edge, 11 wide and 8 high."""
    return polyline(((x - 5.5, top), (x + 5.5, top), (x, top + 8)), closed=True)
