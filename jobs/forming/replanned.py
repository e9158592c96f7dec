"""A plan with the passes as they are after a reading, its gathers placed anew to match them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from jobs.forming.correction import Correction, PassTaken
from jobs.forming.passes import NO_WORK_MM, gathers_needed
from jobs.forming.readings import Replan
from jobs.forming.result import Gather, Pass, Point, Work


def replanned(work: Work, answer: Replan, passes: Sequence[Pass] = ()) -> Work:
    """Return the plan as it is after a reading: one object for the drawing, the table and the words.

    The passes done stay as they were planned; ``passes`` are these where earlier readings had changed them. Where the
    last of them has to be gone over again for more gathers it stands twice, the second time with what is left. The
    gathers of every pass are those that its line is worked with now.

    >>> from jobs.forming import FORMS, Marking, Reading, Sheet, build, replan, work_out
    >>> arch = build("arch", {each.name: each.example for each in FORMS["arch"].dimensions})
    >>> work = work_out(arch, Sheet(1.2), Marking())
    >>> now = replanned(work, replan(work, 1, Reading("edge", work.passes[0].edge_length_mm + 10)))
    >>> [each.gathers for each in work.passes], [each.gathers for each in now.passes]
    ([3, 12, 6], [3, 14, 7])
    """
    done = [each for each in passes or work.passes if each.number <= answer.done_pass]
    rest = [each for each in answer.passes if each.gathers or each.number > answer.done_pass]
    return with_passes(work, (*done, *rest))


def with_passes(work: Work, passes: Sequence[Pass]) -> Work:
    """Return the plan with other passes along its lines and with the gathers that belong to them.

    A number that stands twice is a line gone over again. Limits: only passes that the plan has by number; where all
    together are more than a drawing holds, none are placed, as in the plan itself.
    """
    layers: list[list[Pass]] = []
    for each in passes:
        layer = next((one for one in layers if all(each.number != other.number for other in one)), None)
        if layer is None:
            layers.append(layer := [])
        layer.append(each)
    placed = tuple(gather for layer in layers for gather in _placed(work, layer))
    return replace(work, passes=tuple(passes), gathers=placed)


def _placed(work: Work, passes: Sequence[Pass]) -> Iterator[Gather]:
    """Place the gathers of passes of different numbers, each opening as far as its share of the take-up."""
    planned = {each.number: each for each in work.passes}
    fresh = work.form.work_out(work.sheet, work.marking, _correction(work, planned, passes))
    wanted = {each.number: each for each in passes if each.gathers}
    for gather in fresh.gathers:
        if each := wanted.get(gather.pass_number):
            was_mm = planned[each.number].take_up_mm
            yield _opened(gather, each.take_up_mm / was_mm if abs(was_mm) > NO_WORK_MM else 1.0)


def _correction(work: Work, planned: dict[int, Pass], passes: Sequence[Pass]) -> Correction:
    """What makes the form place so many gathers on each line."""
    return Correction(
        tuple(
            PassTaken(
                each.number,
                gathers_needed(planned[each.number].take_up_mm, work.marking.gather_mm),
                each.gathers,
            )
            for each in passes
        )
    )


def _opened(gather: Gather, share: float) -> Gather:
    """The same gather, its open end wider or narrower about its middle."""
    x, y = (gather.left[0] + gather.right[0]) / 2, (gather.left[1] + gather.right[1]) / 2

    def moved(point: Point) -> Point:
        return (x + (point[0] - x) * share, y + (point[1] - y) * share)

    return replace(gather, left=moved(gather.left), right=moved(gather.right))
