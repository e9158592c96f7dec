"""The full-size pattern, one unit a millimetre: the words stand on the piece, since it is cut out round them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Sequence

from jobs.drawings import letters
from jobs.drawings.gathers import fitting, noun, number_texts
from jobs.drawings.labels import Taken, off_the_drawing
from jobs.drawings.letters import Box
from jobs.drawings.marked import (
    NOT_CUT,
    centre_marks,
    edge_course,
    is_ring,
    letter,
    line_paths,
    line_text,
    measured_from,
    trim_text,
)
from jobs.drawings.piece import flattened
from jobs.drawings.piece_words import BORDER_MM, SIZE_MM, Rolling, Room, written
from jobs.drawings.place import Placement
from jobs.drawings.primitives import PX_MM
from jobs.drawings.scale_bar import check_bar
from jobs.drawings.scene import (
    Group,
    Item,
    Path,
    Run,
    Scene,
    Text,
    bounds,
    leaves,
    on_circle,
    polyline,
)
from jobs.forming.errors import WriteLength, in_millimetres
from jobs.forming.outline import length
from jobs.forming.result import Point, Straight, Work


def full_size(
    work: Work,
    *,
    write_length: WriteLength = in_millimetres,
    mirrored: bool = False,
    numbers: bool = True,
    words: Sequence[str] = (),
    rolling: Rolling = "",
    check: bool = False,
    seams: Callable[[float, float], Sequence[Box]] | None = None,
) -> Scene:
    """Draw the flat blank at 1:1 in millimetres.

    ``rolling`` is the way the sheet was rolled, ``along`` or ``across`` the drawing, shown by an arrow.
    ``words`` (panel, hand, metal ...) are written on the piece where it has room clear of all lines, or below it.
    ``seams`` gives, for the width and height of the drawing, where pages meet: words stand on one page where they can.
    With ``check`` a bar to measure stands below, for a file that comes without a page round it.

    The mirrored hand is reflected, its lettering is not.
    """
    box = bounds(work.trimmed.runs)
    side = -1.0 if mirrored else 1.0
    x = BORDER_MM - (box.left if not mirrored else side * box.right)
    place = Placement(1.0, x, BORDER_MM + box.bottom, mirrored)
    wide, high = box.right - box.left + 2 * BORDER_MM, box.bottom - box.top + 2 * BORDER_MM
    taken = Taken(off_the_drawing(wide, high))
    named, key = _line_names(work, place, write_length, taken, Box(0, 0, wide, high))
    numbering = _numbers(work, place, taken) if numbers else ()
    remarks = [*key, *_remarks(work)]
    told, below = _told(work, place, words, remarks, rolling, taken, high, seams(wide, high) if seams else ())
    items: tuple[Item, ...] = (
        Group("gathers", _gathers(work, place)),
        Path("outline", place.runs(work.by_length.runs), closed=True),
        Path("trim", place.runs(work.trimmed.runs), closed=True),
        Group("lines", line_paths(work, place)),
        centre_marks(bounds(place.runs(work.trimmed.runs)), 3.0),
        *named,
        Group("numbers", numbering),
        *told,
    )
    bar, below = check_bar(write_length, max(high, below)) if check else ((), below)
    wide = max(
        [wide, *(one.box().right + BORDER_MM for one in (*told, *leaves(bar)) if isinstance(one, Text))]
    )
    title = "Full-size pattern, mirrored hand" if mirrored else "Full-size pattern"
    size = f"{write_length(work.blank_width_mm, up=True)} by {write_length(work.blank_length_mm, up=True)}"
    return Scene(title, f"Flat blank {size}, drawn full size.", wide, max(high, below), (*items, *bar), PX_MM)


def _told(
    work: Work, place: Placement, words: Sequence[str], remarks: Sequence[str], rolling: Rolling, taken: Taken,
    high: float, seams: Sequence[Box],
) -> tuple[tuple[Item, ...], float]:  # fmt: skip
    """Write the words and return where they end: off the seams too, unless that would bring them below the piece."""
    piece = flattened(place.runs(work.by_length.runs))
    busy = [one for leaf in (*_gathers(work, place), *line_paths(work, place)) for one in _flat(leaf)]
    anywhere = written(words, remarks, rolling, Room(piece, busy, taken), high)
    if not seams:
        return anywhere
    off_seams = Room(piece, busy, Taken((*taken.boxes, *seams)))
    return min(written(words, remarks, rolling, off_seams, high), anywhere, key=lambda one: one[1])


def _remarks(work: Work) -> list[str]:
    """What nobody at the bench should have to guess: where the tape starts, and that no wedge is cut."""
    return [one for one in (measured_from(work.lines), NOT_CUT[noun(work)] if work.gathers else "") if one]


def _flat(path: Path) -> list[Sequence[Point]]:
    """A path as short straights."""
    return [pair for run in path.runs for pair in itertools.pairwise(flattened((run,)))]


def _gathers(work: Work, place: Placement) -> tuple[Path, ...]:
    sides = [
        run
        for one in work.gathers
        for run in polyline([place.point(point) for point in (one.left, one.apex, one.right)])
    ]
    return (Path("gather", tuple(sides)),) if sides else ()


# Names on the lines

PLACES = 24
"""How many places along a line are tried for its name."""


def _line_names(
    work: Work, place: Placement, write_length: WriteLength, taken: Taken, page: Box
) -> tuple[list[Text], list[str]]:
    """Write each line's name along it, at a place of its own; where the names would touch, letters and a key."""
    sides = [pair for leaf in _gathers(work, place) for pair in _flat(leaf)]
    courses = [(line_text(one, write_length), place.runs(one.path)) for one in work.lines if one.path]
    edge = edge_course(work)
    if edge:
        courses.append((edge[0], place.runs(edge[1][:1])))
    if work.marking.trim_mm:
        courses.append((trim_text(work, write_length), place.runs(work.trimmed.runs)))
    texts: list[Text] = []
    key: dict[str, str] = {}
    for index, (name, runs) in enumerate(courses):
        share = (index + 0.5) / len(courses)
        written = _between(name, runs, share, taken, page, sides)
        if written is None:
            tag = key.setdefault(name, letter(len(key)))
            written = _between(tag, runs, share, taken, page, sides)
        if written is not None:
            texts.append(written)
    return texts, [f"{tag}: {name}" for name, tag in key.items()]


def _between(
    name: str, runs: Sequence[Run], share: float, taken: Taken, page: Box, sides: Sequence[Sequence[Point]]
) -> Text | None:
    """Write a name where it hides least of the gathers: between two of them wherever they leave it room."""
    free = [
        text for text in _places(name, runs, share) if page.holds(_room(text)) and taken.free(_room(text))
    ]
    text = min(free, key=lambda one: sum(_hides(one, side) for side in sides), default=None)
    if text is not None:
        taken.take(_room(text))
    return text


def _places(name: str, runs: Sequence[Run], share: float) -> Iterator[Text]:
    """A name at places along a line, the first of them at a share of its length."""
    total = length(runs)
    room = letters.width(name, SIZE_MM)
    if total < room:
        return
    # On an open line the whole name stays within its ends, clear of what begins there.
    margin = 0.0 if is_ring(runs) else room / 2
    for attempt in range(PLACES):
        middle = margin + (share + attempt / PLACES) % 1.0 * (total - 2 * margin)
        if _bends_away(runs, middle, room / 2):
            continue
        point, heading = at(runs, middle)
        turn = (math.degrees(heading) + 90) % 180 - 90
        drop = math.radians(turn + 90)
        half = letters.MIDDLE * SIZE_MM
        spot = (point[0] + half * math.cos(drop), point[1] + half * math.sin(drop))
        yield Text("label", spot, name, "middle", SIZE_MM, rotate_deg=turn, halo="field")


def _room(text: Text) -> Box:
    return text.box().grown(0.4)


def _hides(text: Text, side: Sequence[Point]) -> bool:
    """Whether a straight runs under a text that is written about its middle; both are looked at along the text."""
    turn = math.radians(text.rotate_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    half = letters.width(text.text, text.size) / 2
    lowest, highest = -letters.ASCENT * text.size, letters.DESCENT * text.size
    (ax, ay), (bx, by) = (
        ((x - text.at[0]) * cos + (y - text.at[1]) * sin, (y - text.at[1]) * cos - (x - text.at[0]) * sin)
        for x, y in side
    )
    enters, leaves_at = 0.0, 1.0
    for start, end, low, high in ((ax, bx, -half, half), (ay, by, lowest, highest)):
        if start == end:
            if not low < start < high:
                return False
            continue
        first, last = sorted(((low - start) / (end - start), (high - start) / (end - start)))
        enters, leaves_at = max(enters, first), min(leaves_at, last)
    return enters < leaves_at


def _bends_away(runs: Sequence[Run], middle: float, half: float) -> bool:
    """Whether a line leaves a straight name in its middle by more than half a letter at either of its ends."""
    total = length(runs)
    (x, y), heading = at(runs, middle)
    for side in (middle - half, middle + half):
        (ax, ay), _ = at(runs, side % total if is_ring(runs) else side)
        if abs((ay - y) * math.cos(heading) - (ax - x) * math.sin(heading)) > SIZE_MM / 2:
            return True
    return False


def at(runs: Iterable[Run], distance: float) -> tuple[Point, float]:
    """Return the point at a distance along some runs and the heading there (scene coordinates)."""
    last: tuple[Point, float] = ((0.0, 0.0), 0.0)
    for run in runs:
        size = length((run,))
        part = min(1.0, distance / size) if size else 0.0
        if isinstance(run, Straight):
            (ax, ay), (bx, by) = run.start, run.end
            last = ((ax + (bx - ax) * part, ay + (by - ay) * part), math.atan2(by - ay, bx - ax))
        else:
            angle = run.start_rad + run.sweep_rad * part
            heading = angle + math.copysign(math.pi / 2, run.sweep_rad)
            last = (on_circle(run.centre, run.radius_mm, angle), heading)
        if distance <= size:
            return last
        distance -= size
    return last


# Numbers and words


def _numbers(work: Work, place: Placement, taken: Taken) -> tuple[Text, ...]:
    """At full size a number that has no room is left out; its neighbours of the same pass carry theirs."""
    return tuple(fitting(number_texts(work.gathers, place, work.marking.trim_mm, PX_MM), taken)[0])
