"""A plan after a reading: passes, gathers and their places all of one piece."""

import math
from collections import Counter

import pytest

from jobs.forming import FORMS, Marking, Reading, Sheet, Work, build, replan, work_out
from jobs.forming.replanned import replanned

CORNERS = {"tray": 4, "sweep": 2, "crown": 2}  # how many times over a pass is drawn


def worked(name: str) -> Work:
    values = {dimension.name: dimension.example for dimension in FORMS[name].dimensions}
    return work_out(build(name, values), Sheet(1.2), Marking())


def drawn(work: Work) -> dict[int, int]:
    return Counter(gather.pass_number for gather in work.gathers)


@pytest.mark.parametrize("name", ["arch", "sweep", "tray", "dome", "crown"])
@pytest.mark.parametrize("over_mm", [-6.0, 0.0, 17.0])
def test_as_many_gathers_are_drawn_as_the_passes_count(name, over_mm):
    work = worked(name)
    for done in range(1, len(work.passes)):
        answer = replan(work, done, Reading("edge", work.passes[done - 1].edge_length_mm + over_mm))
        now = replanned(work, answer)
        wanted = {each.number: each.gathers * CORNERS.get(name, 1) for each in now.passes if each.gathers}
        assert drawn(now) == wanted
        assert now.passes[done:] == answer.passes
        assert now.passes[:done] == work.passes[:done]


def test_gathers_open_as_far_as_what_is_left_asks():
    """All the gathers of a pass together take up what the pass does, as an angle at the edge's own radius."""
    work = worked("arch")
    now = replanned(work, replan(work, 1, Reading("edge", work.passes[0].edge_length_mm + 12)))
    edge_mm = work.edges[0].flat_radius_by_length_mm
    for each in now.passes:
        opened = sum(
            2 * math.asin(math.dist(gather.left, gather.right) / 2 / edge_mm) * edge_mm
            for gather in now.gathers
            if gather.pass_number == each.number
        )
        assert opened == pytest.approx(each.take_up_mm, rel=1e-3)  # a chord scaled is an arc scaled, nearly


def test_a_line_gone_over_again_stands_twice_and_is_drawn_twice():
    work = worked("arch")
    answer = replan(work, 3, Reading("edge", work.edges[0].finished_length_mm + 8))
    now = replanned(work, answer)
    assert [(each.number, each.gathers) for each in now.passes[3:]] == [(3, 2)]
    assert drawn(now)[3] == work.passes[2].gathers + 2


def test_gone_past_adds_no_empty_pass():
    work = worked("arch")
    answer = replan(work, 3, Reading("edge", work.edges[0].finished_length_mm - 5))
    assert replanned(work, answer).passes == work.passes


def test_no_gathers_of_a_pass_that_asks_for_none_are_drawn():
    work = worked("arch")
    now = replanned(work, replan(work, 1, Reading("edge", work.edges[0].finished_length_mm - 5)))
    assert [each.gathers for each in now.passes[1:]] == [0, 0]
    assert set(drawn(now)) == {1}
