"""The flat pattern: what to mark and cut, to scale, with every line named and every gather numbered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from jobs.drawings import labels, letters
from jobs.drawings.gathers import noun, pass_numbers, readable, wedges
from jobs.drawings.labels import Label, Taken
from jobs.drawings.letters import Box
from jobs.drawings.marked import (
    NOT_CUT,
    Tag,
    centre_marks,
    letter,
    line_paths,
    line_text,
    measured_from,
    named,
    tags_of,
    trim_text,
)
from jobs.drawings.marking_out import marking_out
from jobs.drawings.place import Placement, fitted
from jobs.drawings.scale_bar import scale_bar
from jobs.drawings.scene import (
    Area,
    Dimension,
    Group,
    Item,
    Path,
    Scene,
    Text,
    bounds,
    cross_at,
    leaves,
)
from jobs.forming.errors import WriteLength, in_millimetres
from jobs.forming.result import Gather, Point, Straight, Work

NARROW = 560.0
"""Under this width the labels stand below the pattern as a key, and letters stand at the lines."""
SPREAD = "Spread evenly, half a space at the ends."
ROUND = "Spread evenly round."
BARS_PX = (90.0, 60.0, 40.0)
"""How long the bar may be beside the blank's dimension, the first that fits being taken."""
CENTRE = "centre of the arcs"
MARGIN = 26.0
"""Room round the blank for the gathers' numbers, pixels."""


def flat_pattern(
    work: Work,
    *,
    write_length: WriteLength = in_millimetres,
    mirrored: bool = False,
    numbers: bool = True,
    highlight: str | None = None,
    by_area: bool = False,
    width: float = 820.0,
    hand: str = "",
) -> Scene:
    """Draw the flat blank to scale.

    Parameters
    ----------
    work
        What the form asks of the metal.
    write_length
        Writes a length in the shop's units.
    mirrored
        Draw the other hand: the geometry is reflected, the lettering is not.
    numbers
        Write the number of its pass at each gather that has room for it; a remark says how many that is.
    highlight
        Name of the dimension being edited (``trim_mm``).
    by_area
        Show the flat that keeps area too, dotted: the true blank lies between the two.
    width
        Natural width in pixels; the height follows. Under ``NARROW`` the labels become a key below.
    hand
        The hand in words, written under the drawing: ``left`` or ``right``.
    """
    wide = width >= NARROW
    place = _placed(work, wide, width, mirrored, write_length)
    blank = bounds(place.runs(work.trimmed.runs))
    tags = [*tags_of(work, place, write_length), *_centre_tag(work, place)]
    measures = _blank_size(work, blank, place.scale, wide, write_length)
    column = _column(tags, wide, blank.right + 30)
    taken = Taken((*labels.off_the_drawing(width), *labels.places((*measures, *column))))
    shown = readable(work.gathers, place)
    numbering, number_remark = pass_numbers(work, shown, place, taken) if numbers else ((), "")
    drawing: tuple[Item, ...] = (
        *_blank(work, place, shown, "editing" if highlight == "trim_mm" else "trim", by_area),
        *column,
        *measures,  # after the leaders, so that one that runs past a figure gives way to it
        Group("numbers", numbering),
    )
    below = max(
        [blank.bottom + MARGIN + 30, *(text.box().bottom + 8 for text in _texts((*measures, *column)))]
    )
    key, below = ((), below) if wide else _key(tags, below)
    bar, below = _bar(place.scale, blank, taken, write_length, below, width)
    ways = marking_out(work, write_length)
    remarks = _remarks(
        work,
        [_joined(*ways)]
        if wide
        else ways,  # a narrow column of many sentences is hard to find one's place in
        size=_size_remark(work, blank, place.scale, write_length),
        numbers=number_remark,
        hand=hand,
        by_area=by_area,
    )
    if not any(text.role == "dimension-text" for text in _texts(measures)):
        size = [write_length(side, up=True) for side in (work.blank_width_mm, work.blank_length_mm)]
        remarks.insert(0, f"Blank {' × '.join(size)}.")
    words = labels.notes(remarks, MARGIN, below, width - 2 * MARGIN)
    height = max([below, *(text.box().bottom for text in words)]) + 12
    title = "Flat pattern, mirrored hand" if mirrored else "Flat pattern"
    return Scene(title, _describe(work, write_length), width, height, (*drawing, *key, bar, *words))


def _placed(work: Work, wide: bool, width: float, mirrored: bool, write_length: WriteLength) -> Placement:
    """Fit the blank between its height dimension and the column of labels; the drawing is as high as it needs."""
    box = bounds(work.trimmed.runs)
    beside = 40.0
    left = MARGIN
    if wide:
        texts = [line_text(one, write_length) for one in named(work.lines)[0]]
        beside = labels.column_width(
            [*texts, trim_text(work, write_length), CENTRE if _shows_centre(work) else ""]
        )
        left += MARGIN + letters.width(write_length(box.bottom - box.top, up=True), 12)
    room = Box(left, MARGIN, width - beside - 30, MARGIN + 0.6 * width)
    scale = fitted(box, room).scale
    bottom = MARGIN + scale * (box.bottom - box.top)
    return fitted(box, Box(room.left, MARGIN, room.right, bottom), mirrored=mirrored, scale=scale)


def _shows_centre(work: Work) -> bool:
    """Whether the centre of a curved edge's arcs lies on the blank's own sheet."""
    box = bounds(work.trimmed.runs)
    return work.form.name == "arch" and box.top < 0 < box.bottom


def _centre_tag(work: Work, place: Placement) -> tuple[Tag, ...]:
    return (Tag("dimension", place.point((0.0, 0.0)), 0.0, CENTRE),) if _shows_centre(work) else ()


def _centre_cross(work: Work, place: Placement) -> tuple[Path, ...]:
    if work.form.name != "dome" and not _shows_centre(work):
        return ()
    return (cross_at("dimension", place.point((0.0, 0.0)), 5.0),)


def _bar(
    scale: float, blank: Box, taken: Taken, write_length: WriteLength, below: float, width: float
) -> tuple[Item, float]:
    """The scale bar right of the blank's dimension where it is free there, else in a row of its own; and where the
    words below begin.
    """
    for longest in BARS_PX:
        bar, box = scale_bar(scale, write_length, (blank.right + 30, blank.bottom + MARGIN + 10), longest)
        if box.right <= width - 4 and taken.free(box.grown(3)) and box.bottom + 4 <= below:
            return bar, below
    bar, box = scale_bar(scale, write_length, (MARGIN, below + 8))
    return bar, box.bottom + 8


def _blank(
    work: Work, place: Placement, shown: Sequence[Gather], trim_role: str, by_area: bool
) -> Iterator[Item]:
    """The metal with what is marked on it, from the ground up."""
    outline, trimmed = place.runs(work.by_length.runs), place.runs(work.trimmed.runs)
    yield Area("kraft", outline)
    yield Group("gathers", wedges(shown, place))
    yield Path("outline", outline, closed=True)
    if by_area:
        yield Path("outline-area", place.runs(work.by_area.runs), closed=True)
    yield Path(trim_role, trimmed, closed=True)
    yield Group("lines", line_paths(work, place))
    yield centre_marks(bounds(trimmed), 6.0)
    yield from _centre_cross(work, place)


def _texts(items: Iterable[Item]) -> list[Text]:
    return [leaf for leaf in leaves(items) if isinstance(leaf, Text)]


# Words


def _joined(*sentences: str) -> str:
    return " ".join(one for one in sentences if one)


def _remarks(
    work: Work, ways: Sequence[str], *, size: str, numbers: str, hand: str, by_area: bool
) -> list[str]:
    """What stands below the drawing, a paragraph each."""
    told = [
        _joined(f"{hand.capitalize()} hand." if hand else "", _summary(work)),
        *ways,
        _joined(named(work.lines)[1], numbers, NOT_CUT[noun(work)] if work.gathers else ""),
        size,
        "Dotted: the flat if area is kept. The true blank lies between the two." if by_area else "",
    ]
    return [one for one in told if one]


def _describe(work: Work, write_length: WriteLength) -> str:
    names = ", ".join(dict.fromkeys(line_text(one, write_length) for one in work.lines)) or "no lines"
    size = f"{write_length(work.blank_width_mm, up=True)} by {write_length(work.blank_length_mm, up=True)}"
    gathers = sum(one.gathers for one in work.passes)
    passes = len({one.number for one in work.passes})
    worked = f" {gathers} {noun(work)} in {passes} passes." if work.passes else ""
    return f"Blank {size}. Lines: {names}, trim line.{worked}"


def _summary(work: Work) -> str:
    """How many gathers each pass has, and where the distances are measured from."""
    word = noun(work).capitalize()
    first = {one.number: one for one in reversed(work.passes)}  # a line gone over again stands twice
    counts = [str(first[number].gathers) for number in sorted(first)]
    again = [f"pass {one.number} again: {one.gathers}" for one in work.passes if one is not first[one.number]]
    told = "; ".join([f"{word} in passes 1 to {len(counts)}: {', '.join(counts)}", *again])
    spread = ROUND if work.form.name == "dome" else SPREAD
    gathers = f"{told}. {spread}" if any(one.gathers for one in work.passes) else ""
    return " ".join(part for part in (gathers, measured_from(work.lines)) if part)


def _size_remark(work: Work, blank: Box, scale: float, write_length: WriteLength) -> str:
    """Say the smallest sheet where it lies askew to the drawing."""
    drawn = sorted(((blank.right - blank.left) / scale, (blank.bottom - blank.top) / scale))
    sheet = sorted((work.blank_width_mm, work.blank_length_mm))
    if all(abs(a - b) <= 0.05 for a, b in zip(drawn, sheet, strict=True)):
        return ""
    return (
        f"It fits a sheet of {write_length(sheet[0], up=True)} by {write_length(sheet[1], up=True)}, turned."
    )


# Labels


def _column(tags: Sequence[Tag], wide: bool, left: float) -> tuple[Item, ...]:
    texts = [tag.text if wide else letter(index) for index, tag in enumerate(tags)]
    rows = [Label(tag.anchor, text, tag.order) for tag, text in zip(tags, texts, strict=True)]
    return labels.column(rows, left, 12.0)


def _key(tags: Sequence[Tag], top: float) -> tuple[tuple[Item, ...], float]:
    """Rows of letter, sample of the line and words, for drawings too narrow for a column."""
    made: list[Item] = []
    for index, tag in enumerate(tags):
        y = top + 8 + index * labels.LINE_HEIGHT
        drop = y + letters.MIDDLE * 12
        made.append(Text("label", (MARGIN, drop), letter(index), bold=True))
        made.append(Path(tag.role, (Straight((MARGIN + 24, y), (MARGIN + 66, y)),)))
        made.append(Text("label", (MARGIN + 74, drop), tag.text))
    return tuple(made), top + len(tags) * labels.LINE_HEIGHT + 4


# Blank size


def _blank_size(
    work: Work, blank: Box, scale: float, wide: bool, write_length: WriteLength
) -> tuple[Dimension | Text, ...]:
    across = write_length((blank.right - blank.left) / scale, up=True)
    high = write_length((blank.bottom - blank.top) / scale, up=True)
    corner = (blank.left, blank.bottom)
    text = f"blank {across}" if wide else f"{across} × {high}"
    below = _across(corner, blank.right, text)
    return (*below, Dimension(corner, (blank.left, blank.top), high, MARGIN)) if wide else below


def _across(corner: Point, right: float, text: str) -> tuple[Dimension | Text, ...]:
    """The dimension under the blank, its figure in the line or, where that is too short, under it.

    Where there is no room for the figure at all it is left to the remarks.
    """
    offset = MARGIN + 10
    room = right - corner[0]
    wide = letters.width(text, 12)
    if wide + 40 <= room:
        return (Dimension(corner, (right, corner[1]), text, -offset),)
    if wide > right + 6:
        return (Dimension(corner, (right, corner[1]), "", -offset),)
    # No further right than the leaders begin, so that it stays clear of the labels.
    middle = min(max(corner[0] + room / 2, wide / 2 + 4), right + 10 - wide / 2)
    under = Text("dimension-text", (middle, corner[1] + offset + 18), text, "middle", halo="field")
    return (Dimension(corner, (right, corner[1]), "", -offset), under)
