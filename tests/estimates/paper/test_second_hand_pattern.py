"""The pattern of a pair's second hand is the first hand's corrected plan, reflected, in every file it comes in."""

import io
import re

import ezdxf
import pytest
from django.urls import reverse

from estimates.paper.facts.panels import plan_or_404
from estimates.paper.facts.pattern import pattern_of
from jobs.drawings.scene import Path
from jobs.panels import add_mirrored_hand, work_of
from jobs.passes import tick_pass
from jobs.readings import plan_of


def address(name, panel) -> str:
    return reverse(name, args=[panel.job.number, panel.position])


@pytest.fixture
def pair(panel, owner, shaper):
    """A first hand that took three gathers more than planned in its second pass, and its second hand."""
    second = add_mirrored_hand(panel, owner)
    planned = work_of(panel).passes[1].gathers
    tick_pass(panel, 2, shaper, gathers_made=planned + 3)
    return panel, second


def dxf_gathers(data: bytes) -> list[tuple[float, float, float, float]]:
    lines = ezdxf.read(io.StringIO(data.decode())).modelspace().query('LINE[layer=="GATHERS"]')
    return sorted(
        tuple(round(part, 6) + 0.0 for part in (*one.dxf.start.vec2, *one.dxf.end.vec2)) for one in lines
    )


def test_the_dxf_holds_the_corrected_gathers_mirrored(shaper_client, pair):
    first, second = pair
    planned, corrected = work_of(first), plan_of(second)[0]
    assert len(corrected.gathers) != len(planned.gathers)
    assert sum(one.gathers for one in corrected.passes if one.number == 2) == planned.passes[1].gathers + 3
    shown = dxf_gathers(shaper_client.get(address("panel-dxf", second)).content)
    assert len(shown) == 2 * len(corrected.gathers)
    wanted = [
        (*start, *end) for one in corrected.gathers for start, end in ((one.left, one.apex), (one.apex, one.right))
    ]  # fmt: skip
    reflected = sorted(tuple(round(v, 6) + 0.0 for v in (-a, b, -c, d)) for a, b, c, d in wanted)
    # Mirroring may run a gather's sides the other way round: the same lines, whichever end comes first.
    assert _either_way(shown) == _either_way(reflected)


def _either_way(lines) -> list:
    return sorted(tuple(sorted((line[:2], line[2:]))) for line in lines)


def test_the_svg_holds_the_corrected_gathers(shaper_client, pair):
    first, second = pair
    page = shaper_client.get(address("panel-svg", second)).content.decode()
    (course,) = re.findall(r'class="d-gather"[^>]* d="([^"]*)"', page)
    assert course.count("M") == len(plan_of(second)[0].gathers)
    (before,) = re.findall(
        r'class="d-gather"[^>]* d="([^"]*)"', shaper_client.get(address("panel-svg", first)).content.decode()
    )
    assert before.count("M") == len(work_of(first).gathers) != course.count("M")


def test_the_pattern_and_its_page_name_the_hand(shaper_client, pair):
    _, second = pair
    assert "right hand" in shaper_client.get(address("panel-svg", second)).content.decode()
    assert "Right hand." in shaper_client.get(second.get_absolute_url()).content.decode()


def test_the_full_size_paper_holds_the_corrected_gathers(pair, shop):
    """What the pages of the pattern show: each gather two strokes, those of the first hand reflected."""
    first, second = pair
    drawn = {}
    for panel in (first, second):
        scene = pattern_of(panel, plan_or_404(panel), shop).drawing
        (path,) = (leaf for leaf in scene.leaves() if isinstance(leaf, Path) and leaf.role == "gather")
        drawn[panel.pk] = len(path.runs)
    assert drawn[first.pk] == 2 * len(work_of(first).gathers)
    assert drawn[second.pk] == 2 * len(plan_of(second)[0].gathers) > drawn[first.pk]
    title = pattern_of(second, plan_or_404(second), shop)
    assert title.hand == "RIGHT"
    assert title.drawing.title == "Full-size pattern, mirrored hand"
