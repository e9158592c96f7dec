"""Labels stand beside what they name: no leader crosses another, and none runs across the metal to the far side."""

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.drawings.labels import Label, column
from jobs.drawings.pattern import flat_pattern
from jobs.drawings.scene import Circle, Path, bounds
from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.forming import FORMS
from jobs.forming.errors import in_millimetres
from jobs.forming.result import Straight
from tests.jobs.drawings.panels import AWKWARD, panel
from tests.jobs.drawings.test_no_overlap import core, inches


def slants(items) -> list[Straight]:
    """The first leg of each leader, from its place to its elbow."""
    return [item.runs[0] for item in items if isinstance(item, Path) and item.role == "leader"]


def side(a, b, point) -> float:
    return (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])


def cross(one: Straight, other: Straight) -> bool:
    """Whether two straights have a point inside both in common."""
    near = 1e-6
    ends = side(one.start, one.end, other.start) * side(one.start, one.end, other.end)
    others = side(other.start, other.end, one.start) * side(other.start, other.end, one.end)
    return ends < -near and others < -near


def assert_untangled(items) -> None:
    for one, other in itertools.combinations(slants(items), 2):
        assert not cross(one, other), (one, other)


places = st.tuples(st.integers(0, 4000), st.integers(0, 3000)).map(lambda one: (one[0] / 10, one[1] / 10))


@settings(max_examples=100, deadline=None)
@given(st.lists(places, max_size=20), st.booleans())
def test_leaders_of_a_column_never_cross(points, leftward):
    rows = [Label(point, str(index)) for index, point in enumerate(points)]
    assert_untangled(column(rows, -30.0 if leftward else 430.0, 0.0, leftward=leftward))


def test_a_crossing_would_be_seen():
    """The check above can fail."""
    tangled = [Path("leader", (Straight(a, b),)) for a, b in (((0, 0), (9, 9)), ((0, 9), (9, 0)))]
    with pytest.raises(AssertionError):
        assert_untangled(tangled)


CASES = [*((form, {}) for form in FORMS), *AWKWARD.values(),
         ("crown", {"lines": 12}), ("fold", {"leg_mm": (20.0, 500.0, 10.0, 40.0, 200.0, 15.0, 800.0, 12.0)})]  # fmt: skip


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize(("form", "given_"), CASES)
def test_leaders_of_a_drawing_never_cross(form, given_, mirrored):
    work = panel(form, **given_)
    for draw in (flat_pattern, section, side_view):
        assert_untangled(draw(work, mirrored=mirrored).leaves())


def test_the_legs_of_a_fold_are_named_at_their_own_side():
    """The example is a channel: its first leg hangs at the left, its last at the right."""
    scene = section(panel("fold"))
    dots = {text.text[:5]: text for text in scene.texts() if text.text.startswith("leg")}
    assert dots["leg 1"].anchor == "end"
    assert dots["leg 3"].anchor == "start"
    anchors = [leaf.centre[0] for leaf in scene.leaves() if isinstance(leaf, Circle) and leaf.role == "dot"]
    assert dots["leg 1"].at[0] < min(anchors)
    assert dots["leg 3"].at[0] > max(anchors)


def test_the_names_of_a_trays_sides_keep_off_the_figure_of_its_width():
    scene = side_view(panel("tray", sides="front right"))
    (width,) = (text.box() for text in scene.texts() if text.text == "300 mm")
    for leader in slants(scene.leaves()):
        low, high = sorted((leader.start[0], leader.end[0]))
        if low < width.right and high > width.left:
            assert not width.top < leader.start[1] < width.bottom


@pytest.mark.parametrize("width", [520.0, 356.0, 350.0])
@pytest.mark.parametrize("name", [*FORMS, *AWKWARD])
def test_a_view_keeps_to_its_room(name, width):
    """A little too wide is drawn a little smaller, so that a phone need not scroll it sideways."""
    work = panel(name) if name in FORMS else panel(AWKWARD[name][0], **AWKWARD[name][1])
    for draw in (section, side_view):
        assert draw(work, width=width, height=240.0).width <= width + 0.5


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("width", [820.0, 700.0, 562.0])
@pytest.mark.parametrize("lines", [3, 5, 7])
@pytest.mark.parametrize("form", ["arch", "sweep", "tray", "crown", "dome"])
def test_no_number_of_a_gather_stands_on_a_leader_or_a_dimension(form, lines, width, mirrored):
    """A figure on the line of a dimension is read as its length, one on a leader as what it names."""
    scene = flat_pattern(panel(form, lines=lines), width=width, mirrored=mirrored)
    thin = [
        run
        for leaf in scene.leaves()
        if isinstance(leaf, Path) and leaf.role in ("leader", "dimension", "extension")
        for run in leaf.runs
    ]
    numbers = [text for text in scene.texts() if text.role == "number"]
    assert numbers
    for text, run in itertools.product(numbers, thin):
        assert not _through(run, core(text, scene.px)), (
            f"“{text.text}” on a line from {run.start} to {run.end}"
        )


def _through(run: Straight, box) -> bool:
    """Whether a straight goes through a rectangle, tried every half pixel along it."""
    steps = max(1, math.ceil(math.dist(run.start, run.end) * 2))
    points = (
        [a + (b - a) * step / steps for a, b in zip(run.start, run.end, strict=True)]
        for step in range(steps + 1)
    )
    return any(box.left < x < box.right and box.top < y < box.bottom for x, y in points)


@pytest.mark.parametrize("width", [700.0, 562.0, 350.0])
@pytest.mark.parametrize("form", FORMS)
def test_a_scale_bar_has_air_over_the_words_below(form, width):
    scene = flat_pattern(panel(form), width=width)
    (bar,) = [text for text in scene.texts() if text.text.endswith("to scale")]
    below = [text.box().top for text in scene.texts() if text.role == "note" and text is not bar]
    assert min(top - bar.box().bottom for top in below if top > bar.box().top) >= 6


@pytest.mark.parametrize("write", [in_millimetres, inches], ids=["mm", "in"])
@pytest.mark.parametrize("form", FORMS)
def test_a_section_beside_the_pattern_is_large_enough_to_read(form, write):
    """It keeps to its room, so that its lettering is not made smaller, and the metal takes a third of that."""
    scene = section(panel(form), write_length=write, width=280.0, height=112.0, lines=False)
    box = bounds(
        run for leaf in scene.leaves() if getattr(leaf, "role", "") == "section" for run in leaf.runs
    )
    assert scene.width <= 281
    assert max(box.right - box.left, box.bottom - box.top) >= 280 / 3


def test_a_fold_beside_the_pattern_numbers_its_legs_and_tells_their_lengths_below():
    scene = section(panel("fold"), width=280.0, height=112.0, lines=False)
    said = [text.text for text in scene.texts()]
    assert {"leg 1", "leg 2", "leg 3"} <= set(said)
    assert "Leg 1: 60 mm, leg 2: 120 mm, leg 3: 60 mm." in " ".join(said)
