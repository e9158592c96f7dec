"""One view laid out so that no two letterings touch.

Straight dimensions carry their own figures at the outside of the view. Everything else that is said (lines,
radii, angles) stands in a column beside it, tied to its place by a leader.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from jobs.drawings import labels
from jobs.drawings.labels import Label
from jobs.drawings.letters import Box
from jobs.drawings.place import Placement
from jobs.drawings.scene import (
    AngleDimension,
    Area,
    Circle,
    Dimension,
    Item,
    Leaf,
    Path,
    RadiusDimension,
    Scene,
    Text,
    along,
    bounds,
    leaves,
    line,
    on_circle,
)
from jobs.drawings.view import Mark, Round, Span, Turn, View
from jobs.forming.result import Point

PAD = 16.0
GAP = 26.0
THINNEST_PX = 3.0
THICKEST_PX = 14.0
TICK_PX = 9.0
TOO_WIDE = 1.1  # a little over is only drawn a little smaller
MOST_TAKEN = 0.6  # of the metal's width, to make room for labels
WORTH_IT = 1.5  # times as large without its radii's labels: then they are better read below
WORTH_TRYING = (
    0.85  # of a first guess: what makes a drawing smaller still is a figure that has changed its place
)
TRIED_STEP, TRIED_PART = 0.94, 0.5
SHORTEST_RADIUS_PX, LONGEST_RADIUS_PX = 24.0, 90.0


def lay_out(
    view: View, *, width: float, height: float, mirrored: bool = False, highlight: str | None = None
) -> Scene:
    """Draw a view as large as fits a width and a height (pixels), with its dimensions and labels.

    Where the labels of its radii would take most of the room, or more than there is, they stand below it as words.
    """
    tries, scale = _read_best(Tries(view, width, height, mirrored, highlight))
    first, scale = scale, tries.within(scale)
    box = tries.box(scale)
    full = max((box.right - box.left + 2 * PAD) / width, (box.bottom - box.top) / height)
    if scale < WORTH_TRYING * first or not WORTH_TRYING < full < 1.005:
        scale = tries.largest(otherwise=scale)
        box = tries.box(scale)
    drawn = box.right - box.left + 2 * PAD
    left = PAD - box.left + max(0.0, (width - drawn) / 2)
    items = _items(tries.view, Placement(scale, left, PAD - box.top, mirrored), highlight)
    under = box.bottom - box.top + PAD + 8
    words = labels.notes(tries.view.remarks, PAD, under, width - 2 * PAD)
    bottom = max([under, *(text.box().bottom for text in words)]) + PAD - 4
    return Scene(view.title, view.description, max(width, drawn), bottom, (*items, *words))


def _read_best(tries: Tries) -> tuple[Tries, float]:
    """The view and a first guess at its scale, with the labels of its radii or with them in words below."""
    view, scale = tries.view, tries.fitting()
    names = {one.name for one in view.rounds} | {one.name for one in view.marks}
    if tries.highlight in names and tries.highlight:
        return tries, scale
    words = _radii_below(view)
    if words is view:
        return tries, scale
    below = Tries(words, tries.width, tries.height, tries.mirrored, tries.highlight)
    larger = below.fitting()
    box = tries.box(scale)
    if larger > WORTH_IT * tries.within(scale) or box.right - box.left + 2 * PAD > TOO_WIDE * tries.width:
        return below, larger
    return tries, scale


class Tries:
    """One view laid out at one scale after another; each is laid out once, however often it is looked at."""

    def __init__(
        self, view: View, width: float, height: float, mirrored: bool, highlight: str | None
    ) -> None:
        self.view, self.width, self.height = view, width, height
        self.mirrored, self.highlight = mirrored, highlight
        metal = bounds(view.runs())
        self.wide, self.high = metal.right - metal.left, metal.bottom - metal.top
        self._boxes: dict[float, Box] = {}

    def box(self, scale: float) -> Box:
        """The room that drawing and labels take at a scale, about the place of the view's origin."""
        if scale not in self._boxes:
            place = Placement(scale, 0, 0, self.mirrored)
            self._boxes[scale] = _extent(_items(self.view, place, self.highlight))
        return self._boxes[scale]

    def fitting(self) -> float:
        """A first guess at the scale at which dimensions and labels and all fit the width and the height."""
        guess = self._scale(self.width / 2, self.height / 2)
        first = self.box(guess)
        beyond_x = first.right - first.left - self.wide * guess
        beyond_y = first.bottom - first.top - self.high * guess
        room = (
            max(self.width - beyond_x - 2 * PAD, self.width / 5),
            max(self.height - beyond_y, self.height / 4),
        )
        return _held(self.view, self._scale(*room))

    def within(self, scale: float) -> float:
        """A scale a little smaller where drawing and labels would be a little wider than their room.

        A drawing that is much too wide stays as it is and is scrolled, or made smaller with its lettering on paper.
        """
        for _ in range(3):
            box = self.box(scale)
            over, drawn = box.right - box.left + 2 * PAD - self.width, scale * self.wide
            if not 0.05 < over < MOST_TAKEN * drawn:
                break
            scale *= 1 - over / drawn
        return scale

    def largest(self, otherwise: float) -> float:
        """The largest scale at which the view fits its room, tried out; ``otherwise`` where none does that is worth it.

        A figure that finds no room in a short dimension stands beside it, so that a smaller drawing may be the wider
        one.
        """
        scale = _held(self.view, self._scale(self.width - 2 * PAD, self.height))
        while scale > TRIED_PART * otherwise:
            box = self.box(scale)
            if box.right - box.left + 2 * PAD <= self.width and box.bottom - box.top <= self.height:
                return scale
            scale *= TRIED_STEP
        return otherwise

    def _scale(self, width: float, height: float) -> float:
        """The scale at which the metal alone fits a room."""
        return min(
            width / self.wide if self.wide > 0 else math.inf,
            height / self.high if self.high > 0 else math.inf,
        )


def _radii_below(view: View) -> View:
    """The same view with its radii, and the turn of a curve, in words below it; their arrows stay."""
    turns = [one for one in view.marks if one.name == "turn_rad"]
    told = [*(one.text for one in view.rounds if one.text), *(one.text for one in turns)]
    if not told:
        return view
    words = ", ".join(told)
    rounds = tuple(replace(one, text="") for one in view.rounds)
    marks = tuple(one for one in view.marks if one not in turns)
    return replace(
        view, rounds=rounds, marks=marks, remarks=(f"{words[0].upper()}{words[1:]}.", *view.remarks)
    )


def _held(view: View, scale: float) -> float:
    """Keep thick metal from filling the drawing."""
    return min(scale, THICKEST_PX / view.thickness_mm) if view.thickness_mm else scale


def _extent(items: Iterable[Item]) -> Box:
    boxes = [_leaf_box(leaf) for leaf in leaves(items)]
    return Box(
        min(box.left for box in boxes),
        min(box.top for box in boxes),
        max(box.right for box in boxes),
        max(box.bottom for box in boxes),
    )


def _leaf_box(leaf: Leaf) -> Box:
    if isinstance(leaf, Text):
        return leaf.box()
    if isinstance(leaf, Circle):
        (x, y), r = leaf.centre, leaf.radius
        return Box(x - r, y - r, x + r, y + r)
    return bounds(leaf.runs).grown((leaf.width or 1.0) / 2 if isinstance(leaf, Path) else 0.0)


def _items(view: View, place: Placement, highlight: str | None) -> tuple[Item, ...]:
    thick = max(THINNEST_PX, view.thickness_mm * place.scale)
    drawn: list[Item] = [Area(role, place.runs(runs)) for role, runs in view.fills]
    drawn += [Path(role, place.runs(runs)) for role, runs in view.strokes]
    if view.metal:
        drawn.append(Path("section", place.runs(view.metal), width=thick))
    drawn += [_tick(mark, place) for mark in view.marks if mark.role]
    rows = [
        Label(place.point(mark.point), mark.text, role=_text_role(mark.name, highlight))
        for mark in view.marks
        if mark.text
    ]
    for turn in view.turns:
        parts, anchor = _turn(turn, place, highlight)
        drawn += parts
        rows.append(Label(anchor, turn.text, role=_text_role(turn.name, highlight)))
    high = bounds(view.runs())
    reach = min(LONGEST_RADIUS_PX, max(SHORTEST_RADIUS_PX, 0.85 * place.scale * (high.bottom - high.top)))
    for radius in view.rounds:
        shown, anchor = _round(radius, place, highlight, reach)
        drawn.append(shown)
        if radius.text:
            rows.append(Label(anchor, radius.text, role=_text_role(radius.name, highlight)))
    drawn += [Circle("point", place.point(point), 4.0, filled=True) for point in view.points]
    spans = [_span(span, place, highlight) for span in view.spans]
    box = _extent([*drawn, *spans])
    # The figures come last, so that a leader that runs past one gives way to it.
    return (*drawn, *_columns(rows, place, box, both=view.both_sides), *spans)


def _columns(rows: list[Label], place: Placement, box: Box, *, both: bool) -> tuple[Item, ...]:
    """The labels at the side of the section's end, or with ``both`` each at the side it is nearer to."""
    middle = (box.left + box.right) / 2
    near: dict[bool, list[Label]] = {False: [], True: []}
    for row in rows:
        leftward = row.anchor[0] < middle - 1 if both else place.mirrored
        near[leftward].append(row)
    return tuple(
        item
        for leftward, some in near.items()
        for item in labels.column(
            some, box.left - GAP if leftward else box.right + GAP, box.top + 8, leftward=leftward
        )
    )


def _tick(mark: Mark, place: Placement) -> Path:
    angle = _direction(mark.heading_rad + math.pi / 2, place)
    u = (math.cos(angle), math.sin(angle))
    point = place.point(mark.point)
    return line(mark.role, along(point, u, -TICK_PX), along(point, u, TICK_PX))


def _text_role(name: str, highlight: str | None) -> str:
    return "editing-text" if name and name == highlight else "label"


def _role(name: str, highlight: str | None) -> str:
    return "editing" if name and name == highlight else "dimension"


def _span(span: Span, place: Placement, highlight: str | None) -> Dimension:
    offset = -span.offset_px if place.mirrored else span.offset_px
    role = _role(span.name, highlight)
    return Dimension(place.point(span.start), place.point(span.end), span.text, offset, role)


def _direction(angle_rad: float, place: Placement) -> float:
    """Return a direction of the metal as an angle on the drawing."""
    return math.pi + angle_rad if place.mirrored else -angle_rad


def _round(radius: Round, place: Placement, highlight: str | None, reach: float) -> tuple[Item, Point]:
    centre, long = place.point(radius.centre), radius.radius_mm * place.scale
    angle = _direction(radius.angle_rad, place)
    inner = 0.0 if radius.whole else max(0.0, long - reach)
    if radius.outside:
        inner = long + reach
    shown = RadiusDimension(centre, long, angle, "", inner, role=_role(radius.name, highlight))
    return shown, on_circle(centre, inner + (long - inner) * 0.4, angle)


def _turn(turn: Turn, place: Placement, highlight: str | None) -> tuple[list[Item], Point]:
    centre, r = place.point(turn.centre), turn.radius_px
    start = _direction(turn.start_rad, place)
    sweep = turn.sweep_rad if place.mirrored else -turn.sweep_rad
    rays = max(r + 8, turn.ray_mm * place.scale)
    shown: list[Item] = [
        line("extension", centre, on_circle(centre, rays, angle)) for angle in (start, start + sweep)
    ]
    shown.append(AngleDimension(centre, r, start, sweep, "", role=_role(turn.name, highlight)))
    return shown, on_circle(centre, r, start + sweep / 2)
