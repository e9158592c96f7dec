"""The section of a panel, finished or after a pass, with its dimensions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from jobs.drawings.bends import arch_view
from jobs.drawings.crowns import crown_view, dome_view, roll_view, sweep_view
from jobs.drawings.folds import fold_view
from jobs.drawings.laid_out import lay_out
from jobs.drawings.lettered import with_letters
from jobs.drawings.marked import named
from jobs.drawings.scene import Scene
from jobs.drawings.view import Mark, View
from jobs.forming.errors import WriteLength, in_millimetres
from jobs.forming.result import Pass, Work

VIEWS: dict[str, Callable[[Work, WriteLength, Pass | None], View]] = {
    "arch": arch_view,
    "sweep": sweep_view,
    "dome": dome_view,
    "crown": crown_view,
    "roll": roll_view,
    "fold": fold_view,
    "tray": arch_view,
}


def section(
    work: Work,
    *,
    write_length: WriteLength = in_millimetres,
    pass_number: int | None = None,
    mirrored: bool = False,
    highlight: str | None = None,
    lines: bool = True,
    letters: bool = False,
    width: float = 520.0,
    height: float = 300.0,
) -> Scene:
    """Draw the section to scale.

    Parameters
    ----------
    work
        What the form asks of the metal.
    write_length
        Writes a length in the shop's units.
    pass_number
        Draw the section as it stands after this pass, the finished one dashed behind it. ``ValueError`` where
        the panel has no such pass.
    mirrored
        Draw the other hand.
    highlight
        Name of the dimension being edited; it is drawn thick.
    lines
        Name the lines; without, they are only ticked, for a place beside a pattern that names them.
    letters
        Set the letters of the formulas beside the dimensions they stand for.
    width, height
        Room for the drawing in pixels; dimensions and labels included.
    """
    after = None if pass_number is None else find_pass(work, pass_number)
    view = VIEWS[work.form.name](work, write_length, after)
    if not lines:
        view = _with_fewer_labels(view)
    elif any(mark.role for mark in view.marks):
        remark = named(work.lines)[1]
        view = replace(view, remarks=(*view.remarks, *([remark] if remark else [])))
    if letters:
        view = with_letters(view, work.form.name)
    return lay_out(view, width=width, height=height, mirrored=mirrored, highlight=highlight)


def _with_fewer_labels(view: View) -> View:
    """The view for a narrow place beside the pattern: lines are only ticked, and web, bend and legs are told below."""
    told = [turn.text for turn in view.turns if turn.text]
    told += [mark.text for mark in view.marks if mark.name == "web_mm"]
    if legs := [mark.text for mark in view.marks if mark.name == "leg_mm"]:
        told.append(", ".join(legs))
    if any(mark.role for mark in view.marks):
        told.append("lines as on the pattern")
    words = " ".join(f"{word[0].upper()}{word[1:]}." for word in told)
    return replace(
        view,
        marks=tuple(_shorter(mark) for mark in view.marks),
        turns=(),
        remarks=(*([words] if words else []), *view.remarks),
    )


def _shorter(mark: Mark) -> Mark:
    """A mark with no more at its place than tells it from others: a leg by its number."""
    if mark.role or mark.name == "web_mm":
        return replace(mark, text="")
    return replace(mark, text=mark.text.partition(":")[0]) if mark.name == "leg_mm" else mark


def find_pass(work: Work, pass_number: int) -> Pass:
    """Return the pass of this number, or raise ``ValueError``."""
    for one in work.passes:
        if one.number == pass_number:
            return one
    raise ValueError(f"There is no pass {pass_number}; the panel has {len(work.passes)}.")
