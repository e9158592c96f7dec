"""How each role looks: stroke, dash and pattern. Colours are the stylesheet's (``static/css/drawings.css``).

Strokes and dashes are in CSS pixels. Paper uses the same table in black, so that a drawing means the same
without colour; the stylesheet repeats the figures and a test holds the two together.
"""

from __future__ import annotations

from dataclasses import dataclass

Polyline = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line: its width and its dash, pixels."""

    width: float
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Pattern:
    """A filling that repeats: tile size, the lines in it, their stroke, all in pixels."""

    width: float
    height: float
    lines: tuple[Polyline, ...]
    stroke: float


CENTRE_DASH = (14.0, 3.0, 3.0, 3.0)

STROKES: dict[str, Stroke] = {
    "outline": Stroke(1.5),
    "outline-area": Stroke(1.0, (2, 2)),
    "trim": Stroke(1.2, (5, 3)),
    "start": Stroke(1.8),
    "centre": Stroke(1.2, CENTRE_DASH),
    "stop": Stroke(1.4, (7, 4)),
    "pass": Stroke(1.8, (1.8, 3.6)),
    "edge": Stroke(1.5),
    "bend": Stroke(1.2, (12, 3, 2, 3, 2, 3)),
    "gather": Stroke(1.1),
    "gather-now": Stroke(1.8),
    "dimension": Stroke(1.0),
    "extension": Stroke(0.8),
    "editing": Stroke(2.2),
    "leader": Stroke(0.8),
    "axis": Stroke(1.0),
    "tick": Stroke(1.0),
    "grid": Stroke(0.8, (1, 3)),
    "mark": Stroke(1.0),
    "section": Stroke(3.5),
    "section-before": Stroke(1.0, (4, 3)),
    "point": Stroke(1.5),
    "dot": Stroke(1.6),
    "ghost": Stroke(1.2, (4, 3)),
    "kraft-line": Stroke(1.4),
    "picked-line": Stroke(1.4),
    "frame": Stroke(1.5),
    "divider": Stroke(1.0),
    "cut": Stroke(1.2),
    "plan": Stroke(1.4, (6, 4)),
    "reading": Stroke(1.8),
    "over-line": Stroke(1.4),
    "past": Stroke(1.3),
    "past-out": Stroke(1.1, (2, 2)),
    "this": Stroke(2.2),
    "range-line": Stroke(1.6),
    "steel-tick": Stroke(1.0),
    "steel-line": Stroke(1.2),
    "waiting": Stroke(1.2, (4, 3)),
}

SOLID = frozenset(
    {
        "kraft", "picked", "used", "section-fill", "dimension-head", "editing-head", "reached", "steel-face",
        "dye-wash", "ground", "this-fill", "axis-head", "wax-wash", "over-head", "gather-fill",
    }
)  # fmt: skip
"""Fillings of one colour. On paper, ``PAPER_WHITE`` ones stay blank and the others are black."""
PAPER_WHITE = frozenset({"kraft", "steel-face", "dye-wash", "ground", "wax-wash", "gather-fill"})


def _hatch(pitch: float, *, back: bool = False) -> tuple[float, tuple[Polyline, ...]]:
    """A 45 degree hatch: the tile's side and its lines (two corner ends make the joins whole)."""
    side = round(pitch * 2**0.5, 2)
    rising: tuple[Polyline, ...] = (
        ((-1, 1), (1, -1)),
        ((0, side), (side, 0)),
        ((side - 1, side + 1), (side + 1, side - 1)),
    )
    if not back:
        return side, rising
    return side, tuple(tuple((side - x, y) for x, y in one) for one in rising)


def _hatching(pitch: float, stroke: float, *, back: bool = False) -> Pattern:
    side, lines = _hatch(pitch, back=back)
    return Pattern(side, side, lines, stroke)


def _cross_hatch(pitch: float, stroke: float) -> Pattern:
    side, rising = _hatch(pitch)
    return Pattern(side, side, rising + _hatch(pitch, back=True)[1], stroke)


def _paired_hatch() -> Pattern:
    side, first = _hatch(6.4)
    second = tuple(tuple((x + 2.6, y) for x, y in one) for one in first)
    wrapped = tuple(tuple((x - side, y) for x, y in one) for one in second)
    return Pattern(side, side, first + second + wrapped, 1.0)


def _broken_hatch() -> Pattern:
    """Every other line of the hatch is dots."""
    return Pattern(
        9, 9, (((-1, 1), (1, -1)), ((0, 9), (9, 0)), ((8, 10), (10, 8)), ((4.1, 0.4), (4.9, -0.4)),
               ((4.1, 9.4), (4.9, 8.6)), ((1.1, 3.4), (1.9, 2.6)), ((7.1, 6.4), (7.9, 5.6))), 1.0,
    )  # fmt: skip


def _hammer_row(y: float, shift: float) -> tuple[Polyline, ...]:
    """Shallow arcs of a row, 10 wide and 3.6 high, over the tile's width and a little more."""
    arc = ((-5.0, 0.0), (-3.9, 2.0), (-2.2, 3.2), (0.0, 3.6), (2.2, 3.2), (3.9, 2.0), (5.0, 0.0))
    return tuple(tuple((x + at + shift, y + dy) for x, dy in arc) for at in (0.0, 10.0))


PATTERNS: dict[str, Pattern] = {
    "layout": Pattern(13, 16, (((0, 8), (8, 8)), ((10, 8), (11.4, 8))), 1.4),
    "gathering": Pattern(8, 16, (((-4, 0), (0, 16), (4, 0), (8, 16), (12, 0)),), 1.25),
    "blending": Pattern(10, 16, _hammer_row(0.9, 0) + _hammer_row(6.2, 5) + _hammer_row(6.2, -5)
                        + _hammer_row(11.5, 0), 1.1),
    "smoothing": Pattern(16, 16, tuple(((0, y), (16, y)) for y in (1.6, 4.8, 8.0, 11.2, 14.4)), 0.95),
    "range": _hatching(5, 1.0),
    "over": _cross_hatch(4, 1.0),
    "no-work": _hatching(3, 0.6, back=True),
    "metal-aluminium": _hatching(6.4, 1.0),
    "metal-steel": _paired_hatch(),
    "metal-copper": _broken_hatch(),
    "drop": _hatching(8, 0.8),
    "own": Pattern(6, 16, (((3, 0), (3, 16)),), 0.95),  # a stage of the shop's own: plain upright lines
    "worked": Pattern(7, 7, (((3, 3.5), (4, 3.5)),), 1.0),
    "take-care": Pattern(16, 16, (((-4, 4), (4, -4)), ((-4, 20), (20, -4)), ((12, 20), (20, 12))), 5.6),
}  # fmt: skip

TEXTS = frozenset(
    {
        "label", "note", "name", "number", "dimension-text", "editing-text", "axis-text", "this-text",
        "over-text", "used-text", "steel-text", "on-dye-text",
    }
)  # fmt: skip


def known(role: str) -> bool:
    """Tell whether a role has a look."""
    return role in STROKES or role in SOLID or role in PATTERNS or role in TEXTS
