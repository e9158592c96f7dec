"""The ends of every range: where a form turns into a simpler one, or just can be made."""

import math

import pytest

from jobs.forming import FORMS, Marking, Sheet, Work, build, work_out
from jobs.forming.outline import area, flatten
from jobs.forming.rectangle import extent
from jobs.forming.result import Arc
from jobs.forming.sector import trimmed_sector


def worked(name: str, marking: Marking | None = None, **changes: object) -> Work:
    values = {dimension.name: dimension.example for dimension in FORMS[name].dimensions} | changes
    return work_out(build(name, values), Sheet(1.2), marking or Marking())


def test_a_full_ring_is_cut_from_a_square():
    work = worked("arch", turn_rad=math.tau)
    side = 2 * (work.edges[0].flat_radius_by_length_mm + 19.05)
    assert (work.blank_width_mm, work.blank_length_mm) == pytest.approx((side, side))
    flat = work.edges[0].flat_radius_by_length_mm
    assert area(work.by_length) == pytest.approx(math.pi * (flat**2 - 273.8**2))
    assert flatten(work.by_length.runs)[0] == pytest.approx(flatten(work.by_length.runs)[-1])


def test_blank_of_half_a_ring_by_hand():
    work = worked("arch", turn_rad=math.pi)
    flat = work.edges[0].flat_radius_by_length_mm
    assert work.blank_length_mm == pytest.approx(2 * flat + 2 * 19.05)
    assert work.blank_width_mm == pytest.approx(flat + 2 * 19.05)


def test_trim_fills_a_narrow_opening_and_leaves_a_wide_one_open():
    closed = trimmed_sector(280.0, 350.0, math.tau - 0.05, 20.0)
    # A whole ring but for the dent between the round corners of the trim: 0.05 rad of it, a hair deep.
    assert area(closed) == pytest.approx(math.pi * (370**2 - 260**2), rel=1e-4)
    assert extent(closed, (1.0, 0.0)) == pytest.approx(740.0)
    assert extent(closed, (0.0, 1.0)) == pytest.approx(370 + 350 * math.cos(0.025) + 20)
    disc = trimmed_sector(3.0, 350.0, math.tau - 0.05, 20.0)
    assert math.pi * 369**2 < area(disc) < math.pi * 370**2
    notched = trimmed_sector(3.0, 350.0, math.radians(200), 20.0)
    # A disc would be wrong: 160 degrees of it are open.
    assert area(notched) < math.pi * 370**2 * 0.65
    assert area(notched) > area(trimmed_sector(3.0, 350.0, math.radians(200), 0.0))


def test_trim_closes_a_small_inner_curve_by_a_straight_cut():
    cut = trimmed_sector(15.0, 200.0, math.pi / 2, 20.0)
    assert all(run.sweep_rad > 0 for run in cut.runs if isinstance(run, Arc))
    sector = trimmed_sector(15.0, 200.0, math.pi / 2, 0.0)
    for direction in ((1.0, 0.0), (0.0, 1.0), (0.6, 0.8)):
        assert extent(cut, direction) == pytest.approx(extent(sector, direction) + 40.0)


def test_a_start_line_of_no_radius_is_a_cap_at_the_corner():
    """Plan radius that just fits the bend: the start line is a point, and the flat a whole sector."""
    work = worked("arch", outside_radius_mm=0.6 + 25.6)
    assert work.lines[0].path[0].radius_mm == pytest.approx(0.0, abs=1e-9)
    assert work.passes[0].spacing_mm == pytest.approx(0.0, abs=1e-9)
    assert area(work.by_length) == pytest.approx(math.pi / 4 * work.flat_length_mm**2)


def test_no_drop_is_a_rolled_strip():
    work = worked("sweep", drop_mm=0.0)
    assert work.moved_area_mm2 == work.worked_area_mm2 == work.gather_angle_rad == 0
    assert work.passes == work.edges == work.gathers == work.warnings == ()
    assert work.finished_area_mm2 == pytest.approx(math.pi / 2 * 330 * 180)
    assert worked("sweep", flat_mm=180.0, drop_mm=0.0).finished_area_mm2 == work.finished_area_mm2


def test_the_least_drop_is_next_to_no_drop():
    none, least = worked("sweep", drop_mm=0.0), worked("sweep", drop_mm=0.001)
    assert least.finished_area_mm2 == pytest.approx(none.finished_area_mm2, rel=1e-5)
    assert 0 < least.moved_area_mm2 < 1
    assert least.edges[0].take_up_mm == pytest.approx(0.001 * math.pi / 2, rel=1e-6)


def test_sides_turned_down_square():
    """A drop as deep as the side is wide: a quarter round, ψ = 90°."""
    work = worked("sweep", drop_mm=60.0)
    assert work.gather_angle_rad == pytest.approx(2 * math.pi / 2)
    assert work.blank_width_mm == pytest.approx(60 + 2 * 60 * math.pi / 2 + 2 * 19.05)


@pytest.mark.parametrize(("across", "along"), [(0.0, 30.0), (20.0, 0.0), (0.0, 0.0)])
def test_crown_one_way_is_a_roll_and_neither_way_flat(across, along):
    work = worked("crown", width_height_mm=across, length_height_mm=along)
    assert work.finished_area_mm2 == pytest.approx(work.flat_area_by_length_mm2)
    if not across and not along:
        assert work.finished_area_mm2 == 600 * 900


def test_crowns_as_small_as_can_be_typed_on_the_longest_sheet_keep_their_digits():
    work = worked("crown", width_mm=1e5, length_mm=1e5, width_height_mm=1e-3, length_height_mm=1e-3)
    # θ d, with θ = 8 h / c: 8e-8 × 1e-3.
    assert work.finished_area_mm2 == pytest.approx(1e10)
    assert work.gather_angle_rad == pytest.approx(8e-8 * 8e-8, rel=1e-6)
    # 2 θ times a flat arc's area under its crown, a h / 3 for half a chord a.
    assert work.moved_area_mm2 == pytest.approx(2 * 8e-8 * 5e4 * 1e-3 / 3, rel=1e-6)


def test_half_ball_is_the_deepest_dome():
    work = worked("dome", height_mm=150.0)
    assert work.gather_angle_rad == pytest.approx(math.tau)
    assert work.edges[0].flat_radius_by_length_mm == pytest.approx(150 * math.pi / 2)
    assert "swells" in [caution.code for caution in work.warnings]


def test_fold_at_90_degrees_joins_its_two_rules():
    below, above = (
        worked("fold", bend_angle_rad=math.pi / 2 + nudge).flat_length_mm for nudge in (-1e-9, 1e-9)
    )
    assert below == pytest.approx(above, abs=1e-6)


def test_tray_of_all_corner_is_a_round_pan():
    """Corners as large as half the sides: the arch right round, with a disc for a web."""
    pan = worked("tray", width_mm=300.0, length_mm=300.0, corner_radius_mm=150.0)
    ring = worked("arch", outside_radius_mm=150.0, turn_rad=math.tau, bend_radius_mm=6.0, depth_mm=25.0)
    disc = math.pi * (150 - 1.2 - 6.0) ** 2
    assert pan.finished_area_mm2 == pytest.approx(ring.finished_area_mm2 + disc)
    assert pan.moved_area_mm2 == pytest.approx(ring.moved_area_mm2)
    assert pan.gather_angle_rad == pytest.approx(ring.gather_angle_rad)
    assert pan.blank_width_mm == pytest.approx(2 * (ring.edges[0].flat_radius_by_length_mm + 19.05))


@pytest.mark.parametrize(
    ("sides", "corners", "width", "length"),
    [
        ("front right back left", 4, 2, 2),
        ("front right left", 2, 2, 1),
        ("front right back", 2, 1, 2),
        ("front back", 0, 0, 2),
        ("right left", 0, 2, 0),
        ("front right", 1, 1, 1),
        ("front", 0, 0, 1),
        ("right", 0, 1, 0),
    ],
)
def test_tray_grows_by_its_flanges_only_where_it_has_them(sides, corners, width, length):
    work = worked("tray", Marking(trim_mm=0.0), sides=sides)
    assert work.gather_angle_rad == pytest.approx(corners * math.pi / 2)
    grows = work.flat_length_mm - (1.2 + 6.0)
    assert work.blank_width_mm == pytest.approx(300 + width * grows)
    assert work.blank_length_mm == pytest.approx(400 + length * grows)
    assert bool(work.passes) is bool(corners)
    # One course for each unbroken run of flanged sides, on each of three lines.
    courses = {"front back": 2, "right left": 2}.get(sides, 1)
    assert len(work.lines) == 3 * courses


def test_bends_next_to_flat_and_next_to_shut():
    shallow = worked("arch", bend_angle_rad=math.radians(0.5), depth_mm=2.0, outside_radius_mm=3000.0)
    # Nearly flat: φ - sin φ is φ³/6 and 1 - cos φ is φ²/2, good to φ².
    phi, straight = math.radians(0.5), (2.0 - 0.6) / math.radians(0.5) - 25.6 * math.radians(0.5) / 2
    lost = math.pi / 2 * (25.6 * phi**3 / 6 + straight * phi**2 / 2)
    assert shallow.edges[0].take_up_mm == pytest.approx(lost, rel=phi**2)
    shut = worked("arch", bend_angle_rad=math.radians(179), depth_mm=52.0)
    assert math.degrees(shut.gather_angle_rad) == pytest.approx(90 * (1 - math.cos(math.radians(179))))
