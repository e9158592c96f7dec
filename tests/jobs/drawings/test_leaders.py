"""Labels stand beside what they name: no leader crosses another, and none runs across the metal to the far side."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.drawings.labels import Label, column
from jobs.drawings.pattern import flat_pattern
from jobs.drawings.scene import Circle, Path
from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.forming import FORMS
from jobs.forming.result import Straight
from tests.jobs.drawings.panels import AWKWARD, panel


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
