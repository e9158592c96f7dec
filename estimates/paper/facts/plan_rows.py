"""The rows of a work order's table: what each stage does to a panel and what to measure after it."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from estimates.paper.facts.held import Held
from estimates.paper.values import Row
from jobs.drawings.gathers import noun as noun_of
from jobs.drawings.strip import FOUR
from jobs.forming import Work
from jobs.forming.result import Pass
from jobs.forming.taped import at_each
from jobs.models import Panel
from jobs.reading_words import line_words
from shop.figures import counted
from shop.lengths import format_angle, format_length
from shop.models import GatherSize, Shop, StageKind

Driver = StageKind.Driver


def pattern_of(kind: StageKind) -> str:
    """The line pattern of a stage: one of the four, or the plain one of the shop's own stages."""
    return kind.slug if kind.slug in FOUR else "own"


def is_crowned(work: Work | None) -> bool:
    """Whether the height of the crown is read on the gauge, and not the section's angle."""
    return bool(work and work.passes and work.passes[0].height_mm is not None)


def gauge_head(work: Work | None) -> str:
    """What is read on the gauge: the section's angle, or the height of the crown."""
    return "crown" if is_crowned(work) else "gauge"


def noun(work: Work | None) -> str:
    """What a pass is made of."""
    return noun_of(work) if work else "gathers"


def count_head(work: Work | None) -> str:
    """What is counted in a pass, and where there is more than one such place, at which: gathers at each corner."""
    each = at_each(work) if work and any(one.gathers for one in work.passes) else ""
    return f"{noun(work)} {each}".strip()


def rows_for(
    kind: StageKind, panel: Panel, work: Work | None, held: Held, shop: Shop, *, is_done: bool = False
) -> tuple[Row, ...]:
    """The rows of one stage of a panel, with what is in the book already.

    A pass has a tick of its own; the other rows are ticked where the stage is done.
    """
    rows = _rows(kind, panel, work, held, shop)
    if not is_done or (work and work.passes and kind.driver == Driver.MOVED_DM2):
        return rows
    return tuple(replace(row, is_done=True) for row in rows)


def _rows(kind: StageKind, panel: Panel, work: Work | None, held: Held, shop: Shop) -> tuple[Row, ...]:
    passes = work.passes if work else ()
    last = _checks(passes[-1], shop) if passes else {}
    match kind.driver:
        case Driver.LAYOUT_M:
            flat = (
                format_length(work.edges[0].flat_length_mm, shop.units, False) if work and work.edges else ""
            )
            return (Row("1", "mark the lines, cut the blank", edge=flat, **held.after(0)),)
        case Driver.MOVED_DM2 if passes:
            return tuple(_gathering(passes, held, work, shop))
        case Driver.MOVED_DM2:
            return (Row("1", "nothing to gather: bend to the section"),)
        case Driver.WORKED_DM2:
            how = "under the hammer" if panel.method == GatherSize.Method.POWER else "over the stake"
            return (Row("1", f"{how}, coarse", **last), Row("2", f"{how}, fine", **last))
        case Driver.FINISHED_DM2:
            finish = panel.get_finish_display().lower()
            return (
                Row("1", f"planish all over, {finish}", **last),
                Row("2", "trim, dress the edges", **last),
            )
        case _:
            return (Row("1", kind.name.lower()),)


def _gathering(passes: Sequence[Pass], held: Held, work: Work | None, shop: Shop) -> Iterator[Row]:
    """A row a pass; one that stands twice is a line gone over again, of which nothing is in the book yet."""
    gone = set()
    for one in passes:
        row = _pass_row(one, work, shop)
        if one.number in gone:
            yield replace(row, words=f"again: {row.words}")
            continue
        gone.add(one.number)
        made = held.made(one.number)
        words = row.words if made is None or made == one.gathers else f"{row.words}, {made} made"
        yield replace(row, words=words, **held.after(one.number), **held.done(one.number))


def _pass_row(one: Pass, work: Work | None, shop: Shop) -> Row:
    stretched = noun(work) == "stretches"
    gathers = counted(one.gathers, "stretch" if stretched else "gather", "stretches" if stretched else "")
    if work and not any(each.gathers for each in work.passes):
        gathers = "until the crown stands"
    rounds = f" in {counted(one.rounds, 'round')}" if one.rounds > 1 else ""
    spacing = format_length(one.spacing_mm, shop.units, False) if one.gathers > 1 else ""
    return Row(str(one.number), f"{line_words(one.line)}, {gathers}{rounds}", spacing, **_checks(one, shop))


def _checks(one: Pass, shop: Shop) -> dict[str, str]:
    """What the gauge and the tape should read after a pass."""
    if one.height_mm is not None:
        gauge = format_length(one.height_mm, shop.units, False)
    else:
        gauge = format_angle(one.section_angle_rad)
    return {"gauge": gauge, "edge": format_length(one.edge_length_mm, shop.units, False)}
