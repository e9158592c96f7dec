"""Lines, passes, gathers and the warnings that go with them."""

import json
import math
import re

import pytest

from jobs.forming import FORMS, Marking, Sheet, Work, build, work_out
from jobs.forming.outline import length
from jobs.forming.report import as_json
from jobs.forming.result import Arc


def worked(name: str, sheet: Sheet | None = None, marking: Marking | None = None, **changes: object) -> Work:
    values = {dimension.name: dimension.example for dimension in FORMS[name].dimensions} | changes
    return work_out(build(name, values), sheet or Sheet(1.2), marking or Marking())


def codes(work: Work) -> list[str]:
    return [caution.code for caution in work.warnings]


def test_three_lines_stand_at_a_quarter_three_quarters_and_the_whole_bend():
    work = worked("arch")
    assert [each.line for each in work.passes] == ["start", "centre", "stop"]
    angles = [math.degrees(each.section_angle_rad) for each in work.passes]
    assert angles == pytest.approx([22.5, 67.5, 90.0])


@pytest.mark.parametrize("count", [2, 3, 9])
@pytest.mark.parametrize("method", ["gather", "stretch"])
@pytest.mark.parametrize("height_mm", [1.0, 60.0, 150.0])
def test_a_domes_rim_stands_after_each_pass_as_its_wedges_have_it(method, height_mm, count):
    """Gauss-Bonnet: the curvature inside a rim that stands at α is 2π (1 - cos α), whatever lies inside."""
    work = worked("dome", marking=Marking(line_count=count), method=method, height_mm=height_mm)
    closed = 0.0
    for each in work.passes:
        closed += each.wedge_rad
        assert math.tau * (1 - math.cos(each.section_angle_rad)) == pytest.approx(closed, rel=1e-9)
    assert work.passes[-1].section_angle_rad == pytest.approx(2 * math.atan(height_mm / 150))


@pytest.mark.parametrize("count", [2, 3, 9])
def test_a_domes_gauge_tape_and_height_belong_to_one_shape(count):
    """The rings worked so far as hinges, each piece as steep as the wedges inside it have it (Gauss-Bonnet).

    The rim of that polygon loses the tape's share after every pass, and its height is the height to read.
    """
    work = worked("dome", marking=Marking(line_count=count), height_mm=75.0)
    whole = work.edges[0].flat_length_mm / math.tau
    lost, heights = [], []
    for done in range(1, count + 1):
        hinges = sorted(work.passes[:done], key=lambda each: each.from_start_mm)
        ends = [*(each.from_start_mm for each in hinges[1:]), whole]
        closed, reach, high = 0.0, hinges[0].from_start_mm, 0.0
        for hinge, end in zip(hinges, ends, strict=True):
            closed += hinge.wedge_rad
            steep = math.acos(1 - closed / math.tau)
            reach += (end - hinge.from_start_mm) * math.cos(steep)
            high += (end - hinge.from_start_mm) * math.sin(steep)
        assert work.passes[done - 1].section_angle_rad == pytest.approx(steep)
        lost.append(whole - reach)
        heights.append(high)
    for each, lost_mm, high in zip(work.passes, lost, heights, strict=True):
        taken = (work.edges[0].flat_length_mm - each.edge_length_mm) / work.edges[0].take_up_mm
        assert taken == pytest.approx(lost_mm / lost[-1], rel=1e-9)
        assert each.height_mm == pytest.approx(75.0 * high / heights[-1], rel=1e-9)


def test_passes_of_an_arch_by_hand():
    """Worked by hand: wedge θ(cos φ_{k-1} - cos φ_k), take-up in proportion to wedge times distance."""
    work = worked("arch")
    bend, edge = 25.6 * math.pi / 2, 25.6 * math.pi / 2 + 75 - 0.6 - 25.6
    stands = [1.0, math.cos(math.pi / 8), math.cos(3 * math.pi / 8), 0.0]
    levers = [
        math.pi / 2 * (stands[k] - stands[k + 1]) * (edge - s) for k, s in enumerate([0.0, bend / 2, bend])
    ]
    whole = math.pi / 2 * (299.4 - 25.6 + edge - 299.4)
    expected = [whole * lever / sum(levers) for lever in levers]
    assert [each.take_up_mm for each in work.passes] == pytest.approx(expected)
    assert [each.gathers for each in work.passes] == [math.ceil(take_up / 5) for take_up in expected]


def test_two_lines_and_many_lines():
    for count in (2, 4, 7, 50):
        work = worked("arch", marking=Marking(line_count=count))
        assert len(work.passes) == count
        assert sum(line.kind == "centre" for line in work.lines) == 1
        assert [line.from_start_mm for line in work.lines] == sorted(
            line.from_start_mm for line in work.lines
        )
        total = sum(each.take_up_mm for each in work.passes)
        assert total == pytest.approx(work.edges[0].take_up_mm)


def test_a_flange_that_is_all_bend_takes_nothing_up_on_its_edge():
    least = 0.6 + 25.6
    work = worked("arch", depth_mm=least)
    assert work.passes[-1].gathers == 0
    assert work.passes[-1].spacing_mm == 0
    assert work.passes[-1].edge_length_mm == pytest.approx(work.edges[0].finished_length_mm)


@pytest.mark.parametrize(
    ("name", "changes"),
    [
        ("arch", {"depth_mm": 26.2, "stretch": True}),
        ("dome", {"method": "stretch"}),
        ("crown", {"method": "stretch"}),
    ],
)
def test_nothing_to_gain_is_nothing_and_not_minus_nothing(name, changes):
    report = as_json(worked(name, **changes))
    del report["outline"]
    assert "-0.0," not in json.dumps(report) + ","
    assert report["passes"][-1]["take_up_mm"] == 0


def test_stretching_has_length_to_gain():
    work = worked("arch", stretch=True)
    assert work.edges[0].take_up_mm < 0
    assert work.edges[0].strain > 0
    assert all(each.take_up_mm < 0 for each in work.passes)
    assert work.thinnest_mm < 1.2 == work.thickest_mm
    assert work.gather_angle_rad == 0 < work.stretch_angle_rad


def test_gathers_are_wedges_that_close_the_whole_take_up():
    for name, alike in (("arch", 1), ("sweep", 2), ("tray", 4), ("dome", 1), ("crown", 2)):
        work = worked(name)
        widths = sum(math.dist(gather.left, gather.right) for gather in work.gathers)
        assert widths == pytest.approx(alike * work.edges[0].take_up_mm, rel=2e-3), name
        assert len(work.gathers) == alike * sum(each.gathers for each in work.passes)
        for each in work.passes:
            numbers = [gather.number for gather in work.gathers if gather.pass_number == each.number]
            assert numbers == list(range(1, alike * each.gathers + 1))


def test_apex_of_every_gather_lies_on_its_line():
    work = worked("arch")
    radius = {line.name: line.path[0].radius_mm for line in work.lines if isinstance(line.path[0], Arc)}
    by_number = {each.number: radius[each.line] for each in work.passes}
    for gather in work.gathers:
        assert math.hypot(*gather.apex) == pytest.approx(by_number[gather.pass_number])


def test_each_pass_has_the_length_of_its_line_on_the_flat():
    """The one that is drawn, of one side or one corner."""
    for name in ("arch", "sweep", "dome", "crown"):
        work = worked(name)
        drawn = {line.name: length(line.path) for line in work.lines}
        for each in work.passes:
            assert each.line_length_mm == pytest.approx(drawn[each.line]), (name, each.line)
    tray = worked("tray")
    drawn = {line.name: length(run for run in line.path if isinstance(run, Arc)) for line in tray.lines}
    assert [each.line_length_mm for each in tray.passes] == pytest.approx(
        [drawn[each.line] / 4 for each in tray.passes]
    )


def test_rings_of_a_gathered_dome_go_inwards_and_of_a_stretched_one_outwards():
    gathered, stretched = worked("dome", method="gather"), worked("dome", method="stretch")
    inwards = [each.from_edge_mm for each in gathered.passes]
    assert inwards == sorted(inwards)
    outwards = [each.from_edge_mm for each in stretched.passes]
    assert outwards == sorted(outwards, reverse=True)
    assert worked("dome").moved_area_mm2 == gathered.moved_area_mm2 < stretched.moved_area_mm2
    for work in (gathered, stretched):
        heights = [each.height_mm for each in work.passes]
        assert heights == sorted(heights)
        assert heights[-1] == pytest.approx(60.0)


def test_stretched_crown_keeps_its_edge_and_thins_its_middle():
    work = worked("crown", method="stretch")
    assert work.edges[0].take_up_mm == pytest.approx(0.0)
    assert work.thinnest_mm < work.thickest_mm == 1.2
    assert work.flat_area_by_length_mm2 < work.finished_area_mm2
    assert all(each.gathers == 0 for each in work.passes)


def test_a_large_gather_is_one_a_pass_and_a_warning():
    work = worked("arch", marking=Marking(gather_mm=5000.0))
    assert [each.gathers for each in work.passes] == [1, 1, 1]
    assert "coarse" in codes(work)
    assert "coarse" not in codes(worked("arch"))


def test_more_gathers_than_fit_are_further_rounds():
    narrow, wide = worked("arch"), worked("arch", marking=Marking(die_width_mm=100.0))
    assert [each.rounds for each in narrow.passes] == [1, 1, 1]
    centre = wide.passes[1]
    assert centre.rounds == math.ceil(centre.gathers / math.floor(math.pi / 2 * (273.8 + 20.106) / 100))
    assert centre.spacing_mm >= 100
    assert "crowded" in codes(wide)


def test_a_die_wider_than_the_line_makes_one_gather_a_round():
    work = worked("arch", marking=Marking(die_width_mm=2000.0))
    assert all(each.rounds == each.gathers for each in work.passes)
    assert "narrow" in codes(work)


def test_gathers_too_many_to_draw_are_counted_all_the_same():
    work = worked("arch", marking=Marking(gather_mm=0.05))
    assert sum(each.gathers for each in work.passes) > 600
    assert work.gathers == ()
    assert "undrawn" in codes(work)


@pytest.mark.parametrize("name", ["arch", "sweep", "tray", "dome", "crown"])
def test_strain_past_elongation_is_warned_of(name):
    strain = abs(worked(name).edges[0].strain)
    assert "strain" in codes(worked(name, Sheet(1.2, elongation=strain * 0.99)))
    assert "strain" not in codes(worked(name, Sheet(1.2, elongation=strain * 1.01)))
    assert "strain" not in codes(worked(name, Sheet(1.2)))


@pytest.mark.parametrize(
    ("name", "changes", "radius_mm"),
    [("arch", {}, 25.0), ("tray", {}, 6.0), ("roll", {"radius_mm": 40.0}, 40.0), ("fold", {}, 3.0)],
)
def test_bend_tighter_than_its_least_is_warned_of(name, changes, radius_mm):
    tighter, wider = (
        worked(name, Sheet(1.0, min_bend_radius_t=radius_mm * share), **changes) for share in (1.01, 0.99)
    )
    assert "bend" in codes(tighter)
    assert "bend" not in codes(wider)


@pytest.mark.parametrize("past", [1.3, 1.004, 1.0004, 1.00001])
def test_a_strain_is_never_written_like_the_limit_it_is_past(past):
    """“9 %, past its elongation of 9 %” says nothing: one digit more does, and no more than that."""
    strain = abs(worked("dome", Sheet(1.2)).edges[0].strain)
    said = " ".join(one.say() for one in worked("dome", Sheet(1.2, elongation=strain / past)).warnings)
    written, limit = re.search(r"by ([\d.]+) %, past its elongation of ([\d.]+) %", said).groups()
    assert float(written) > float(limit)
    assert max(len(one.partition(".")[2]) for one in (written, limit)) <= {1.3: 1, 1.004: 2, 1.0004: 3}.get(
        past, 5
    )
    outside = 1.0 / (2 * 5.0 + 1.0)
    bent = worked("fold", Sheet(1.0, elongation=outside / past), bend_radius_mm=5.0)
    told = " ".join(one.say() for one in bent.warnings)
    written, limit = re.search(r"by ([\d.]+) %, past the metal's elongation of ([\d.]+) %", told).groups()
    assert float(written) > float(limit)


def test_trim_that_does_not_cover_the_gap_is_warned_of():
    edge = worked("arch", depth_mm=150.0).edges[0]
    gap = edge.flat_radius_by_length_mm - edge.flat_radius_by_area_mm
    for trim, warned in ((gap * 0.99, True), (gap * 1.01, False)):
        work = worked("arch", marking=Marking(trim_mm=trim), depth_mm=150.0)
        assert ("trim" in codes(work)) is warned


def test_every_warning_says_reason_and_advice_in_any_unit():
    work = worked("arch", Sheet(1.2, elongation=0.02), Marking(trim_mm=0.1, gather_mm=0.4), depth_mm=150.0)
    assert {"strain", "trim", "crowded"} <= set(codes(work))
    for caution in work.warnings:
        said = caution.say(lambda mm, **_: f"<{mm / 25.4:.3f} in>")
        assert " mm" not in said
        assert caution.advice.split("{")[0].strip() in said


def test_a_strain_is_written_as_the_pages_write_it():
    work = worked("arch", Sheet(1.2, elongation=0.02))
    said = next(one.say() for one in work.warnings if one.code == "strain")
    assert f"gathered by {abs(work.edges[0].strain) * 100:.1f} %, past its elongation of 2 %" in said


@pytest.mark.parametrize(
    "more",
    [
        {"turn_rad": 0.05, "gather_mm": 5.0},
        {"turn_rad": 3.0, "gather_mm": 0.4},
    ],
    ids=["too coarse", "too many"],
)
def test_a_stretched_edge_is_warned_of_its_stretches_not_of_gathers(more):
    arch = build(
        "arch",
        {
            "outside_radius_mm": 300,
            "bend_radius_mm": 2,
            "depth_mm": 100,
            "stretch": True,
            "turn_rad": more["turn_rad"],
        },
    )
    work = work_out(arch, Sheet(1.2), Marking(gather_mm=more["gather_mm"]))
    said = " ".join(one.say() for one in work.warnings if one.code in ("coarse", "crowded", "undrawn"))
    assert "stretch" in said
    assert "gather" not in said
