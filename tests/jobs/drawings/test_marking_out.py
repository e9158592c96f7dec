"""A blank can be laid out from its drawing alone: what the words say is read back and held against the outline.

The outline is flattened to points; circles are put through three of them, so that no figure comes from where the
words have theirs. Tolerance 0.1 mm, as the words round to that.
"""

import itertools
import math
import re

import pytest

from jobs.drawings.marking_out import marking_out
from jobs.drawings.pattern import flat_pattern
from jobs.drawings.scale_bar import LONGEST_PX, bar_mm
from jobs.drawings.scene import Path, bounds
from jobs.forming import FORMS
from jobs.forming.errors import in_millimetres
from jobs.forming.outline import flatten
from tests.jobs.drawings.panels import AWKWARD, awkward, panel
from tests.jobs.drawings.test_no_overlap import inches

NEAR = 0.11


def told(work) -> str:
    return " ".join(marking_out(work, in_millimetres))


def figure(said: str, before: str) -> float:
    """The length that follows some words."""
    return float(re.search(re.escape(before) + r" (-?[\d.]+) mm", said).group(1))


def circle_through(a, b, c) -> tuple[tuple[float, float], float]:
    """Centre and radius of the circle through three points (from the perpendicular bisectors)."""
    d = 2 * (a[0] * (b[1] - c[1]) + b[0] * (c[1] - a[1]) + c[0] * (a[1] - b[1]))
    squares = [x * x + y * y for x, y in (a, b, c)]
    x = (squares[0] * (b[1] - c[1]) + squares[1] * (c[1] - a[1]) + squares[2] * (a[1] - b[1])) / d
    y = (squares[0] * (c[0] - b[0]) + squares[1] * (a[0] - c[0]) + squares[2] * (b[0] - a[0])) / d
    return (x, y), math.dist((x, y), a)


def curve(work, *, outer: bool) -> list[tuple[float, float]]:
    """The points of the outline's outer or inner arc: those as far from the middle of its top as the others of it."""
    points = flatten(work.by_length.runs)
    distances = [math.hypot(x, y) for x, y in points]
    wanted = max(distances) if outer else min(distances)
    return sorted(p for p, d in zip(points, distances, strict=True) if abs(d - wanted) < 1e-6)


ARCHES = {
    "gathered": {},
    "stretched": {"stretch": True, "turn_rad": 0.5, "outside_radius_mm": 200.0},
    "great": {"outside_radius_mm": 4000.0, "turn_rad": 0.35, "depth_mm": 60.0},
    "with its web": {"web_mm": 60.0},
    "half round": {"turn_rad": math.pi},
    "all round": {"turn_rad": math.tau},
}


@pytest.mark.parametrize("name", ARCHES)
def test_radii_and_centre_of_a_curved_edge(name):
    work = panel("arch", **ARCHES[name])
    said = told(work)
    edge = curve(work, outer=not ARCHES[name].get("stretch", False))
    centre, radius = circle_through(edge[0], edge[len(edge) // 2], edge[-1 if name != "all round" else 3])
    assert figure(said, "Radii about one centre: edge") == pytest.approx(radius, abs=NEAR)
    lowest = min(y for _, y in flatten(work.trimmed.runs)) - centre[1]
    assert f"mm {'below' if lowest > 0 else 'above'} the blank's lower side" in said
    assert figure(said, "the middle line,") == pytest.approx(abs(lowest), abs=NEAR)
    assert centre[0] == pytest.approx(
        (bounds(work.trimmed.runs).left + bounds(work.trimmed.runs).right) / 2, abs=1e-6
    )
    assert ("the ends run to it" in said) == (name != "all round")


@pytest.mark.parametrize("name", ["gathered", "stretched", "great", "with its web"])
def test_chord_and_rise_where_the_centre_is_off_the_sheet(name):
    work = panel("arch", **ARCHES[name])
    said = told(work)
    for outer in (True, False):
        points = curve(work, outer=outer)
        (left, foot), (right, _), top = points[0], points[-1], max(y for _, y in points)
        is_edge = outer != bool(ARCHES[name].get("stretch"))
        words = "Edge:" if is_edge else "End of the web:" if name == "with its web" else "Start line:"
        sentence = said[said.index(words) :].partition(" mm.")[0] + " mm"
        assert figure(sentence, "end to end") == pytest.approx(right - left, abs=NEAR)
        assert figure(sentence, "rise") == pytest.approx(top - foot, abs=NEAR)
        (_, y_c), radius = circle_through(points[0], points[len(points) // 2], points[-1])
        high = y_c + math.sqrt(radius**2 - ((right - left) / 4) ** 2) - foot
        assert figure(sentence, "at a quarter") == pytest.approx(high, abs=NEAR)


def test_no_chord_is_told_where_the_centre_lies_on_the_sheet():
    assert "from end to end" not in told(panel("arch", turn_rad=math.pi))


@pytest.mark.parametrize("form", ["arch", "sweep", "dome", "crown", "tray"])
@pytest.mark.parametrize("lines", [2, 3, 4, 9, 20])
def test_lines_from_the_edge_and_from_each_other(form, lines):
    """Read back, the first line and the steps lead to the last."""
    work = panel(form, lines=lines)
    said = told(work).partition(". ")[0].rstrip(".")
    listed, _, steps = said.removeprefix("From the edge: ").partition("; ")
    far = [float(one) for one in re.findall(r"([\d.]+) mm", listed)]
    known = sorted({round(one.from_edge_mm, 6) for one in work.lines})
    assert far[0] == pytest.approx(known[0], abs=NEAR)
    assert far[-1] == pytest.approx(known[-1], abs=NEAR)
    gaps = [float(one) for one in re.findall(r"([\d.]+) mm", steps)]
    assert len(gaps) <= 2  # even lines are told by one step, and by the last where it is another
    even = [one for one in known if lines < 4 or one in (known[0], known[-1]) or _on_step(one, known)]
    reached = far[0]
    for step, after in enumerate(even[1:]):
        reached += gaps[-1] if step == len(even) - 2 and "the last" in steps else gaps[0]
        assert reached == pytest.approx(after, abs=NEAR * (step + 2))


def _on_step(one: float, known: list[float]) -> bool:
    """A centre line between two of an even number of lines is off their step."""
    step = known[1] - known[0]
    return abs((one - known[0]) / step - round((one - known[0]) / step)) < 0.2


def test_bends_of_a_fold():
    work = panel("fold", leg_mm=(20.0, 500.0, 40.0, 200.0, 30.0))
    said = told(work)
    x = sorted(one.path[0].start[0] for one in work.lines)
    gaps = [in_millimetres(b - a) for a, b in itertools.pairwise(x)]
    assert f"From bend to bend {gaps[0]}, {gaps[1]} and {gaps[2]}" in said
    edge = max(px for px, _ in flatten(work.by_length.runs))
    assert figure(said, "the last edge") == pytest.approx(edge - x[-1], abs=NEAR)


@pytest.mark.parametrize("form", ["sweep", "crown", "roll", "fold", "tray"])
def test_the_size_without_trim(form):
    work = panel(form)
    points = flatten(work.by_length.runs)
    wide, high = (max(p[axis] for p in points) - min(p[axis] for p in points) for axis in (0, 1))
    said = told(work).replace("\u00a0", " ")
    found = re.search(r"Without trim ([\d.]+) mm × ([\d.]+) mm", said)
    assert [float(one) for one in found.groups()] == pytest.approx([wide, high], abs=NEAR)
    assert "No trim: the outline is the cut." in told(panel(form, trim=0.0))


def test_the_circles_of_a_dome():
    work = panel("dome")
    said = told(work)
    assert figure(said, "radius of the edge") == pytest.approx(
        max(x for x, _ in flatten(work.by_length.runs)), abs=NEAR
    )
    assert figure(said, "trim line") == pytest.approx(max(x for x, _ in flatten(work.trimmed.runs)), abs=NEAR)


def test_the_corners_of_a_tray():
    work = panel("tray")
    said = told(work)
    right = max(x for x, _ in flatten(work.by_length.runs))
    top = max(y for _, y in flatten(work.by_length.runs))
    on_arc = [p for p in flatten(work.by_length.runs) if 0 < right - p[0] < 20 and top - p[1] > 0
              and p[0] > 0 and p[1] > 0]  # fmt: skip
    (x, y), radius = circle_through(on_arc[0], on_arc[len(on_arc) // 2], on_arc[-1])
    assert figure(said, "radius of the edge") == pytest.approx(radius, abs=NEAR)
    assert figure(said, "about a point") == pytest.approx(right - x, abs=NEAR)
    assert right - x == pytest.approx(top - y, abs=0.01)


# On the drawing


def words(scene) -> str:
    return " ".join(text.text for text in scene.texts())


@pytest.mark.parametrize("form", FORMS)
def test_the_words_stand_under_the_pattern(form):
    """All of them, whatever the rows they are broken into."""
    scene = flat_pattern(panel(form))
    for one in marking_out(panel(form), in_millimetres):
        assert one in words(scene)


@pytest.mark.parametrize("form", ["arch", "dome", "tray"])
def test_in_a_narrow_drawing_each_way_begins_a_row_of_its_own(form):
    scene = flat_pattern(panel(form), width=350)
    rows = [text.text for text in scene.texts()]
    for one in marking_out(panel(form), in_millimetres):
        assert any(len(row) > 20 and one.startswith(row) for row in rows)


def pattern_scale(scene, work) -> float:
    drawn = next(
        bounds(leaf.runs) for leaf in scene.leaves() if isinstance(leaf, Path) and leaf.role == "trim"
    )
    metal = bounds(work.trimmed.runs)
    return (drawn.right - drawn.left) / (metal.right - metal.left)


@pytest.mark.parametrize("width", [350, 562, 820])
@pytest.mark.parametrize("name", [*AWKWARD, *FORMS])
def test_the_scale_bar_is_true(name, width):
    work = panel(name) if name in FORMS else awkward(name)
    scene = flat_pattern(work, width=width)
    group = next(item for item in scene.items if getattr(item, "name", "") == "scale")
    path, text = group.items
    long = path.runs[0].end[0] - path.runs[0].start[0]
    said = float(text.text.removesuffix(" mm to scale"))
    assert long / pattern_scale(scene, work) == pytest.approx(said, rel=1e-9)
    assert 0 < long <= LONGEST_PX


def test_the_scale_bar_is_round_in_the_shops_units():
    assert bar_mm(0.5, in_millimetres) == 100.0
    assert inches(bar_mm(0.5, inches)) == "6 in"


def test_the_edge_and_the_trim_line_are_named():
    told_ = words(flat_pattern(panel("arch")))
    work = panel("arch")
    assert f"edge: {in_millimetres(work.flat_length_mm)}" in told_
    assert "trim line: 19.1 mm out" in told_
    assert "trim line" not in words(flat_pattern(panel("arch", trim=0.0)))


@pytest.mark.parametrize("form", ["arch", "sweep", "dome", "tray"])
def test_the_edge_is_named_on_the_outline(form):
    """The label's dot lies on the by-length outline, not on the trim line."""
    from jobs.drawings.marked import tags_of
    from jobs.drawings.place import Placement

    work = panel(form)
    (edge,) = (
        tag for tag in tags_of(work, Placement(1.0, 0.0, 0.0), in_millimetres) if tag.text.startswith("edge")
    )
    x, y = edge.anchor[0], -edge.anchor[1]
    points = flatten(work.by_length.runs)
    assert min(_to_side((x, y), a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True)) < 0.1


def _to_side(point, a, b) -> float:
    long = math.dist(a, b)
    if not long:
        return math.dist(point, a)
    along = ((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / long**2
    along = min(1.0, max(0.0, along))
    return math.dist(point, (a[0] + along * (b[0] - a[0]), a[1] + along * (b[1] - a[1])))


def test_the_centre_is_shown_where_it_lies_on_the_sheet():
    assert "centre of the arcs" in words(flat_pattern(panel("arch", turn_rad=4.0)))
    assert "centre of the arcs" not in words(flat_pattern(panel("arch", turn_rad=1.0)))


def test_gathers_of_several_passes_at_one_place_share_their_number():
    """Three passes of one gather each on a slim flange: all in the middle."""
    work = panel("arch", turn_rad=0.05)
    assert [one.gathers for one in work.passes] == [1, 1, 1]
    scene = flat_pattern(work)
    assert [text.text for text in scene.texts() if text.role == "number"] == ["1–3"]
    assert "Each gather carries the number of its pass." in words(scene)


def test_the_hand_is_named_in_words():
    assert "Right hand." in words(flat_pattern(panel("arch"), mirrored=True, hand="right"))
    assert " hand." not in words(flat_pattern(panel("arch")))
