"""No lettering touches another or leaves its drawing, whatever the panel."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobs.drawings.flats import at_the_edge, both_flats
from jobs.drawings.fullsize import full_size
from jobs.drawings.gauge import gauge
from jobs.drawings.letters import Box
from jobs.drawings.pattern import flat_pattern
from jobs.drawings.plot import PassValue, PastPoint, ThisOne, edge_plan, past_panels_plot, readings_plot
from jobs.drawings.scene import Circle, Path, Scene, Text, line, on_circle
from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.forming import FORMS, Work
from jobs.forming.errors import in_millimetres
from jobs.forming.result import Straight
from tests.jobs.drawings.panels import AWKWARD, awkward, panel, panels_by_lot


def inches(length_mm: float, *, up: bool = False) -> str:
    """The longest writing a shop has: inches with a fraction."""
    steps = length_mm / 25.4 * 32
    whole, parts = divmod(math.ceil(steps) if up else round(steps), 32)
    return f"{whole} {parts}/32 in" if parts else f"{whole} in"


def drawings(work: Work, *, mirrored: bool = False, write=in_millimetres) -> list[Scene]:
    """Every drawing in every size it is shown in: page, phone, builder, bench and both kinds of work order."""
    look = {"mirrored": mirrored, "write_length": write}
    made = [
        *(
            flat_pattern(work, width=wide, hand="right" if mirrored else "", **look)
            for wide in (820, 700, 562, 350)
        ),
        section(work, **look),
        section(work, width=356, height=240, **look),
        section(work, width=350, height=148, **look),
        section(work, width=280, height=148, lines=False, **look),
        side_view(work, **look),
        side_view(work, width=356, height=240, **look),
        side_view(work, width=280, height=148, **look),
        both_flats(work, **look),
        *([at_the_edge(work, **look)] if work.moved_area_mm2 else []),
        full_size(
            work, mirrored=mirrored, write_length=write, words=["117 L Mudguard skin, left", "aluminium 1.6"]
        ),
    ]
    numbers = {one.number for one in work.passes}
    made += [section(work, pass_number=number, **look) for number in numbers]
    return made


def level(text: Text) -> Text:
    """The same lettering with the whole drawing turned so that it lies level."""
    turn = math.radians(-text.rotate_deg)
    (x, y), cos, sin = text.at, math.cos(turn), math.sin(turn)
    return replace(text, at=(x * cos - y * sin, x * sin + y * cos), rotate_deg=0.0)


def touch(one: Text, other: Text) -> bool:
    """Exact for lettering that is turned alike, else by the upright rectangles round both."""
    if one.rotate_deg == other.rotate_deg:
        return level(one).box().meets(level(other).box())
    return one.box().meets(other.box())


def assert_clear(scene: Scene) -> None:
    for one, other in itertools.combinations(scene.texts(), 2):
        assert not touch(one, other), f"“{one.text}” touches “{other.text}” in {scene.title}"
    for text, box in [(text.text, text.box()) for text in scene.texts()]:
        slack = 0.01
        inside = (
            box.left >= -slack and box.top >= -slack
            and box.right <= scene.width + slack and box.bottom <= scene.height + slack
        )  # fmt: skip
        assert inside, f"“{text}” leaves {scene.title}: {box} in {scene.width} x {scene.height}"


CROSSED_BY_NONE = {
    "outline",
    "trim",
    "section",
    "dimension",
    "extension",
    "start",
    "centre",
    "stop",
    "pass",
    "bend",
}
"""Lines that say where the metal is or how long something is: words and figures keep clear of them altogether."""


def assert_legible(scene: Scene) -> None:
    """No line goes over lettering; behind it only leaders and ticks do, and what stands over them clears them.

    The numbers of gathers may stand on the trim line, which they clear too.
    """
    leaves = list(scene.leaves())
    drawn = [
        (place, leaf.role, a, b)
        for place, leaf in enumerate(leaves)
        if isinstance(leaf, Path)
        for run in leaf.runs
        for a, b in pieces(run)
    ]
    spans = np.array([(*map(min, a, b), *map(max, a, b)) for _, _, a, b in drawn]).reshape(-1, 4)
    for place, text in enumerate(leaves):
        if not isinstance(text, Text) or text.rotate_deg:
            continue
        box = core(text, scene.px)
        near = np.flatnonzero(
            (spans[:, 0] < box.right)
            & (spans[:, 2] > box.left)
            & (spans[:, 1] < box.bottom)
            & (spans[:, 3] > box.top)
        )
        for other, role, a, b in (drawn[index] for index in near):
            if enters(a, b, box):
                assert other < place, f"{role} is drawn over “{text.text}” in {scene.title}"
                assert text.halo, f"{role} goes through “{text.text}” in {scene.title}"
                names_its_line = (
                    scene.px < 1 and text.anchor == "middle"
                )  # at full size a name breaks its line
                if text.role != "number" and not names_its_line:
                    assert role not in CROSSED_BY_NONE, f"“{text.text}” on {role} in {scene.title}"


def core(text: Text, px: float) -> Box:
    """What ink a line of lettering has at least: figures without their air."""
    box = text.box()
    return Box(box.left + px, box.top + 2.5 * px, box.right - px, box.bottom - 2.5 * px)


def pieces(run) -> list[tuple]:
    """A run as straights hardly longer than a letter is wide."""
    if isinstance(run, Straight):
        return [(run.start, run.end)]
    count = min(400, max(2, math.ceil(abs(run.sweep_rad) * run.radius_mm / 4)))
    points = [
        on_circle(run.centre, run.radius_mm, run.start_rad + run.sweep_rad * step / count)
        for step in range(count + 1)
    ]
    return list(itertools.pairwise(points))


def enters(a, b, box: Box) -> bool:
    """Whether a straight has a part inside a rectangle (clipping against each side in turn)."""
    first, last = 0.0, 1.0
    dx, dy = b[0] - a[0], b[1] - a[1]
    for towards, room in (
        (-dx, a[0] - box.left),
        (dx, box.right - a[0]),
        (-dy, a[1] - box.top),
        (dy, box.bottom - a[1]),
    ):
        if towards == 0:
            if room < 0:
                return False
        elif towards < 0:
            first = max(first, room / towards)
        else:
            last = min(last, room / towards)
    return first < last


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("mirrored", [False, True])
def test_every_form_is_clear(form, mirrored):
    for scene in drawings(panel(form), mirrored=mirrored, write=inches):
        assert_clear(scene)
        assert_legible(scene)


@pytest.mark.parametrize("name", AWKWARD)
@pytest.mark.parametrize("mirrored", [False, True])
def test_awkward_panels_are_clear(name, mirrored):
    for scene in drawings(awkward(name), mirrored=mirrored):
        assert_clear(scene)
        assert_legible(scene)


@pytest.mark.parametrize("form", FORMS)
@settings(
    max_examples=10, deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow]
)
@given(data=st.data(), mirrored=st.booleans(), write=st.sampled_from([in_millimetres, inches]))
def test_any_panel_is_clear(form, data, mirrored, write):
    work = data.draw(panels_by_lot((form,))).work
    for scene in drawings(work, mirrored=mirrored, write=write):
        assert_clear(scene)
        assert_legible(scene)


def test_a_touch_would_be_seen():
    """The check above can fail."""
    one, other = Text("label", (10, 20), "start line"), Text("label", (40, 24), "stop line")
    with pytest.raises(AssertionError, match="touches"):
        assert_clear(Scene("Two labels", "", 200, 60, (one, other)))
    with pytest.raises(AssertionError, match="leaves"):
        assert_clear(Scene("One label", "", 30, 60, (one,)))


def test_a_line_through_lettering_would_be_seen():
    text, through = Text("label", (10, 20), "start line", halo="field"), line("leader", (0, 17), (90, 15))
    assert_legible(Scene("Behind", "", 200, 60, (through, text)))
    for items, words in (
        ((text, through), "drawn over"),
        ((through, replace(text, halo="")), "goes through"),
        ((replace(through, role="trim"), text), "on trim"),
    ):
        with pytest.raises(AssertionError, match=words):
            assert_legible(Scene("One label", "", 200, 60, items))


def cuts_of(scene: Scene) -> list[tuple[float, float]]:
    """The card's border and its hole as points hardly a millimetre apart, so that lettering across it meets some."""
    (border,) = (leaf for leaf in scene.leaves() if isinstance(leaf, Path) and leaf.role == "cut")
    (hole,) = (leaf for leaf in scene.leaves() if isinstance(leaf, Circle))
    points = [(hole.centre[0] + hole.radius * x, hole.centre[1] + hole.radius * y) for x, y in ROUND]
    for run in border.runs:
        if isinstance(run, Straight):
            count = max(1, round(math.dist(run.start, run.end)))
            points += [
                tuple(a + (b - a) * step / count for a, b in zip(run.start, run.end, strict=True))
                for step in range(count + 1)
            ]
        else:
            count = max(1, round(abs(run.sweep_rad) * run.radius_mm))
            points += [
                on_circle(run.centre, run.radius_mm, run.start_rad + run.sweep_rad * step / count)
                for step in range(count + 1)
            ]
    return points


ROUND = [(math.cos(angle / 10), math.sin(angle / 10)) for angle in range(63)]
GAUGED = [*((form, {}) for form in FORMS), *AWKWARD.values()]
NAMES = (["117 L"], ["2026-117.12 R Wing-root fairing, right", "right hand"], ["x" * 80, "right hand"])


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("words", NAMES, ids=["short", "usual", "long"])
@pytest.mark.parametrize(("form", "given_"), GAUGED, ids=[*FORMS, *AWKWARD])
def test_no_cut_of_a_gauge_goes_through_its_lettering(form, given_, words, mirrored):
    work = panel(form, **given_)
    for number in (None, *(one.number for one in work.passes)):
        scene = gauge(work, pass_number=number, words=words, mirrored=mirrored)
        cuts = cuts_of(scene)
        for text in scene.texts():
            upright = level(text).box()
            turn = math.radians(-text.rotate_deg)
            turned = [
                (x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn))
                for x, y in cuts
            ]
            assert not [point for point in turned if upright.holds(Box(*point, *point))], text.text
        assert_clear(scene)


@pytest.mark.parametrize("form", FORMS)
def test_gauges_are_clear(form):
    work = panel(form)
    for number in (None, *(one.number for one in work.passes)):
        assert_clear(gauge(work, pass_number=number, words=["117 L"]))


@settings(max_examples=25, deadline=None)
@given(
    lengths=st.lists(st.tuples(st.integers(0, 20), st.floats(0.5, 20000)), max_size=12),
    width=st.sampled_from([350.0, 520.0, 900.0]),
)
def test_readings_are_clear(lengths, width):
    plan = edge_plan(panel("arch", lines=15))
    assert_clear(readings_plot(plan, [PassValue(*one) for one in lengths], width=width))


@settings(max_examples=30, deadline=None)
@given(
    points=st.lists(st.tuples(st.floats(1e-3, 1e5), st.floats(1e-3, 1e5)), max_size=30),
    this=st.tuples(st.floats(1e-3, 1e5), st.floats(1e-3, 1e5), st.floats(1, 5)),
)
def test_past_panels_are_clear(points, this):
    driver, middle, wider = this
    scene = past_panels_plot(
        [PastPoint(*one) for one in points], ThisOne(driver, middle, middle * wider, "117 L")
    )
    assert_clear(scene)
