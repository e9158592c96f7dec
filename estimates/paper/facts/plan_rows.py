"""The rows of a work order's table: what each stage does to a panel and what to measure after it."""

from collections.abc import Collection, Sequence

from estimates.paper.work_order import Row
from jobs.drawings.strip import FOUR
from jobs.forming import Work
from jobs.forming.result import Pass
from jobs.models import Panel
from jobs.reading_words import line_words
from shop.figures import counted
from shop.lengths import format_angle, format_length
from shop.models import GatherSize, Shop, StageKind

Driver = StageKind.Driver


def pattern_of(kind: StageKind) -> str:
    """The line pattern of a stage: one of the four, or the plain one of the shop's own stages."""
    return kind.slug if kind.slug in FOUR else "own"


def gauge_head(work: Work | None) -> str:
    """What is read on the gauge: the section's angle, or the height of the crown."""
    return "crown" if work and work.passes and work.passes[0].height_mm is not None else "gauge"


def noun(work: Work | None) -> str:
    """What a pass is made of."""
    return "stretches" if work and work.stretch_angle_rad > 0 and not work.gather_angle_rad else "gathers"


def rows_for(
    kind: StageKind,
    panel: Panel,
    work: Work | None,
    passes: Sequence[Pass],
    done: Collection[int],
    shop: Shop,
) -> tuple[Row, ...]:
    """The rows of one stage of a panel."""
    last = _checks(passes[-1], shop) if passes else {}
    match kind.driver:
        case Driver.LAYOUT_M:
            flat = (
                format_length(work.edges[0].flat_length_mm, shop.units, False) if work and work.edges else ""
            )
            return (Row("1", "mark the lines, cut the blank", edge=flat),)
        case Driver.MOVED_DM2 if passes:
            return tuple(_pass_row(one, done, work, shop) for one in passes)
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


def _pass_row(one: Pass, done: Collection[int], work: Work | None, shop: Shop) -> Row:
    stretched = noun(work) == "stretches"
    gathers = counted(one.gathers, "stretch" if stretched else "gather", "stretches" if stretched else "")
    rounds = f" in {counted(one.rounds, 'round')}" if one.rounds > 1 else ""
    spacing = format_length(one.spacing_mm, shop.units, False) if one.gathers > 1 else ""
    return Row(
        str(one.number), f"{line_words(one.line)}, {gathers}{rounds}", spacing,
        done="ticked" if one.number in done else "", **_checks(one, shop),
    )  # fmt: skip


def _checks(one: Pass, shop: Shop) -> dict[str, str]:
    """What the gauge and the tape should read after a pass."""
    if one.height_mm is not None:
        gauge = format_length(one.height_mm, shop.units, False)
    else:
        gauge = format_angle(one.section_angle_rad)
    return {"gauge": gauge, "edge": format_length(one.edge_length_mm, shop.units, False)}
