"""The strain along a section as a small plot: how much the metal is gathered or stretched, against what it takes."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from jobs.drawings import letters
from jobs.drawings.axes import linear_ticks, plain
from jobs.drawings.scene import Area, Item, Path, Scene, Text, line, polyline
from jobs.forming.along import Along

RIGHT, TOP, BOTTOM = 6.0, 10.0, 24.0
DROP = letters.MIDDLE * 12


def strain_plot(
    along: Along, *, limit: float | None = None, width: float = 210.0, height: float = 128.0
) -> Scene:
    """Draw the size of the strain in per cent along the section, and the metal's elongation as a level line.

    ``limit`` is the elongation as a fraction, ``None`` where it is not known. A line so far above the curve that
    it would flatten it is not drawn; the words of the drawing say it all the same.
    """
    most = abs(along.largest) * 100
    drawn_limit = limit * 100 if limit is not None and limit * 100 <= max(4 * most, 10) else None
    # Some headroom, and one more tick above a limit that is passed.
    ticks = linear_ticks(0.0, max(most, drawn_limit or 0.0, 0.1) * 1.04, 5)
    bottom, right = height - BOTTOM, width - RIGHT
    left = 9 + max(letters.width(text, 12) for text in _percents(ticks))
    length = along.marks[-1][0]

    def x(at_mm: float) -> float:
        return left + (right - left) * at_mm / length

    def y(percent: float) -> float:
        return bottom - (bottom - TOP) * percent / ticks[-1]

    curve = [(x(at), y(abs(strain) * 100)) for at, strain in along.strains]
    items: list[Item] = [
        Area("dye-wash", polyline([(curve[0][0], bottom), *curve, (curve[-1][0], bottom)], closed=True)),
        Path("this", polyline(curve)),
        *_axes(ticks, y, left, right),
        *_places(along.marks, x, bottom),
    ]
    if drawn_limit is not None:
        items += _limit(drawn_limit, most, y(drawn_limit), left, right)
    return Scene("Strain along the section", _words(along, limit), width, height, tuple(items))


def _percents(ticks: Sequence[float]) -> list[str]:
    """The figures of the scale, the last with its unit."""
    return [plain(tick) + (" %" if tick == ticks[-1] else "") for tick in ticks]


def _axes(ticks: Sequence[float], y: Callable[[float], float], left: float, right: float) -> list[Item]:
    """The scale of per cent at the left and the section's own length below."""
    bottom = y(0.0)
    made: list[Item] = [
        line("axis", (left, bottom), (right, bottom)),
        line("axis", (left, bottom), (left, y(ticks[-1]))),
    ]
    for tick, text in zip(ticks, _percents(ticks), strict=True):
        made.append(line("tick", (left, y(tick)), (left - 4, y(tick))))
        made.append(Text("axis-text", (left - 7, y(tick) + DROP), text, "end"))
    return made


def _places(marks: Sequence[tuple[float, str]], x: Callable[[float], float], bottom: float) -> list[Item]:
    """Names under the axis; one that would touch its neighbour is left to the drawing's words."""
    made: list[Item] = []
    free = 0.0
    for index, (at, name) in enumerate(marks):
        wide = letters.width(name, 12)
        last = index == len(marks) - 1
        left = min(max(x(at) - wide / 2, 0.0), x(marks[-1][0]) + RIGHT - wide)
        end = x(marks[-1][0]) + RIGHT - letters.width(marks[-1][1], 12) - 6
        if not last and (left < free or left + wide > end):
            continue
        made += [
            line("tick", (x(at), bottom), (x(at), bottom + 5)),
            Text("axis-text", (left, bottom + 19), name),
        ]
        free = left + wide + 6
    return made


def _limit(percent: float, most: float, at: float, left: float, right: float) -> list[Item]:
    """The level of the metal's elongation; past it the line and the words are those of what is over."""
    over = most > percent * (1 + 1e-9)
    text = f"{'past ' if over else ''}elongation {plain(round(percent, 1))} %"
    above = at - 5 if at - TOP > 8 else at + 14
    return [
        line("over-line" if over else "plan", (left, at), (right, at)),
        Text("over-text" if over else "note", (left + 6, above), text, halo="field"),
    ]


def _words(along: Along, limit: float | None) -> str:
    how = "gathered" if along.largest < 0 else "stretched"
    known = f" The metal's elongation is {plain(round(limit * 100, 1))} %." if limit is not None else ""
    most = plain(round(abs(along.largest) * 100, 1))
    return f"From {along.marks[0][1]} to {along.marks[-1][1]}, at most {most} % {how}.{known}"
