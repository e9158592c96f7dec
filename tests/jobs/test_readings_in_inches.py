"""Readings in an inch shop: a tape with 32 parts to the inch, and what it cannot tell."""

import math

import pytest
from django.urls import reverse

from jobs.models import Reading
from jobs.rack import blank_size
from jobs.reading_log import log_reading, logged
from jobs.reading_words import difference, signed
from jobs.readings import next_check, plan_of, standing_of
from shop.lengths import format_blank, format_length, parse_length_mm
from tests.jobs.test_readings import make, readings_of

INCH = 25.4
EDGE, CROWN, ANGLE = Reading.Kind.EDGE_LENGTH, Reading.Kind.CROWN_HEIGHT, Reading.Kind.SECTION_ANGLE


@pytest.fixture
def inches(shop):
    shop.units = "in"
    shop.save()
    return shop


@pytest.fixture
def skin(job, aluminium, owner, inches):
    """A flange round a quarter of 13 in: edge flat 24 11/32 in, finished 20 3/8 in (design: θ R, θ (R₀ + s))."""
    return make(
        job, aluminium, owner, "arch", outside_radius_mm=13 * INCH, bend_radius_mm=INCH, depth_mm=3 * INCH,
        turn_rad=math.pi / 2, bend_angle_rad=math.pi / 2,
    )  # fmt: skip


def as_taped(length_mm):
    """What a tape shows of a length, mm."""
    return parse_length_mm(format_length(length_mm, "in"))


@pytest.mark.parametrize("number", [1, 2, 3])
def test_what_is_written_as_the_plan_is_leaves_the_plan_as_it_is(skin, shaper, inches, number):
    plan = plan_of(skin)[0].passes
    read = as_taped(plan[number - 1].edge_length_mm)
    assert read != plan[number - 1].edge_length_mm
    reading = log_reading(skin, shaper, number, EDGE, read)
    standing = standing_of(skin, readings_of(skin), inches)
    assert [one.gathers for one in standing.passes] == [one.gathers for one in plan]
    edges = [one.edge_length_mm for one in plan]
    assert [one.edge_length_mm for one in standing.passes] == pytest.approx(edges, abs=1e-9)
    assert standing.said[0].endswith(": as planned.")
    assert " is in the book, as planned. " in logged(reading, inches).words
    assert (standing.said[1] == "The edge has its finished length.") is (number == 3)


def test_a_thirty_second_more_than_finished_is_still_to_lose_and_less_has_gone_past(skin, shaper, inches):
    finished = as_taped(plan_of(skin)[0].edges[0].finished_length_mm)
    log_reading(skin, shaper, 3, EDGE, finished + INCH / 32)
    said = standing_of(skin, readings_of(skin), inches).said[1]
    assert said == "1/32 in still to lose: 1 gather, on the stop line."
    past = log_reading(skin, shaper, 3, EDGE, finished - 9 * INCH / 32)
    standing = standing_of(skin, readings_of(skin), inches)
    # 9/32 in are 7.1 mm, which is nearer to one gather of 5 mm than to two.
    assert standing.said[1] == (
        "Gone past: the edge is 9/32 in shorter than finished, about 1 gather. "
        "Stretch it back before you go on."
    )
    assert logged(past, inches).is_past


@pytest.mark.parametrize(
    ("value_in", "target_in", "said", "short"),
    [
        (12.40, 12.345, "1/16 in over", "+1/16"),  # 12 13/32 against 12 11/32: 0.055 in would be 1/16 too
        (21.60, 21.548, "1/32 in over", "+1/32"),  # 21 19/32 against 21 9/16: 0.052 in would be 1/16
        (12.375, 12.3799, "as planned", ""),
        (12.34, 12.38, "1/32 in under", "\u22121/32"),
    ],
)
def test_how_far_off_is_what_the_two_figures_written_give(inches, value_in, target_in, said, short):
    value, target = value_in * INCH, target_in * INCH
    assert difference(EDGE, value, target, inches) == said
    assert signed(EDGE, value, target, inches) == short


def test_a_reading_is_held_against_the_plan_that_the_bench_showed(skin, shaper, inches):
    """After a first pass that took too little the second has more to do, and its plan says so."""
    first, second = plan_of(skin)[0].passes[:2]
    log_reading(skin, shaper, 1, EDGE, first.edge_length_mm + 10)
    shown = next_check(skin, standing_of(skin, readings_of(skin), inches), 2, inches)
    assert shown.target_said != format_length(second.edge_length_mm, "in")
    reading = log_reading(skin, shaper, 2, EDGE, as_taped(shown.target))
    assert reading.target == pytest.approx(shown.target)
    standing = standing_of(skin, readings_of(skin), inches)
    assert standing.said[0].endswith("after pass 2: as planned.")
    # Read once more after the same pass, the plan is still the one that was shown.
    assert next_check(skin, standing, 2, inches).target_said == shown.target_said


def test_the_page_says_at_once_what_is_left_and_marks_what_has_gone_past(skin, shaper_client, give_stages):
    code = give_stages(skin)["gathering"].code
    edge = plan_of(skin)[0].passes[0].edge_length_mm
    given = {"kind": EDGE, "pass_number": 1, "value": format_length(edge + INCH / 8, "in", False)}
    page = shaper_client.post(reverse("reading-add", args=[code]), given, follow=True).content.decode()
    message = page[page.index('id="messages"') : page.index('id="bench"')]
    assert "1/8 in over the plan. 3\u00a021/32 in still to lose: " in message
    given |= {"value": "20 1/4"}
    page = shaper_client.post(reverse("reading-add", args=[code]), given, follow=True).content.decode()
    message = page[page.index('id="messages"') : page.index('id="bench"')]
    assert "Mind this." in message
    assert "Gone past: the edge is 1/8 in shorter than finished" in message


def test_an_angle_after_a_tape_says_that_the_tape_counts(skin, shaper, inches):
    first = plan_of(skin)[0].passes[0]
    log_reading(skin, shaper, 1, EDGE, first.edge_length_mm + 10)
    angle = log_reading(skin, shaper, 1, ANGLE, first.section_angle_rad)
    said = logged(angle, inches).words
    assert said.startswith(
        "22.5° is in the book, as planned. The plan goes by the edge length read after this pass: "
    )


def test_a_stretched_dome_says_how_far_its_crown_has_still_to_rise(job, aluminium, owner, shaper, inches):
    dome = make(job, aluminium, owner, "dome", diameter_mm=14 * INCH, height_mm=3 * INCH, method="stretch")
    log_reading(dome, shaper, 1, CROWN, 1.25 * INCH)
    assert standing_of(dome, readings_of(dome), inches).said == (
        "Crown height 1\u00a01/4 in after pass 1: 1/2 in under.",
        "1\u00a03/4 in still to rise: go on along ring 1.",
    )
    log_reading(dome, shaper, 2, CROWN, 2.75 * INCH)
    assert standing_of(dome, readings_of(dome), inches).said[1] == "1/4 in still to rise: go on along ring 3."
    log_reading(dome, shaper, 3, CROWN, 3.01 * INCH)
    assert standing_of(dome, readings_of(dome), inches).said[1] == "The crown has its finished height."
    log_reading(dome, shaper, 3, CROWN, 3.25 * INCH)
    assert standing_of(dome, readings_of(dome), inches).said[1] == (
        "Gone past: the crown is 1/4 in higher than finished. Bring it back before you go on."
    )
    log_reading(dome, shaper, 3, ANGLE, math.radians(44))
    assert standing_of(dome, readings_of(dome), inches).said[1] == "2.4° still to turn: go on along ring 3."


@pytest.mark.parametrize(
    ("form", "said"), [("tray", "at each corner"), ("sweep", "at either edge"), ("arch", "")]
)
def test_bench_and_panel_say_where_the_gathers_are_counted(
    form, said, job, aluminium, owner, shaper_client, give_stages, inches
):
    panel = make(job, aluminium, owner, form)
    for address in (give_stages(panel)["gathering"].get_absolute_url(), panel.get_absolute_url()):
        page = shaper_client.get(address).content.decode()
        assert (f"Gathers are counted, and the edge is read, {said}." in page) is bool(said)
        assert ("are counted" in page) is bool(said)


def test_a_pass_with_nothing_left_to_gather_is_only_bent(skin, shaper, shaper_client, give_stages):
    finished = plan_of(skin)[0].edges[0].finished_length_mm
    log_reading(skin, shaper, 2, EDGE, finished - INCH / 4)
    page = shaper_client.get(give_stages(skin)["gathering"].get_absolute_url()).content.decode()
    assert "nothing more to gather, only to bend" in page
    assert "0 gathers" not in page


def test_a_panel_that_keeps_its_edge_is_measured_by_its_crown_and_drawn_so(
    job, aluminium, owner, shaper, inches
):
    dome = make(job, aluminium, owner, "dome", diameter_mm=14 * INCH, height_mm=3 * INCH, method="stretch")
    assert next_check(dome, standing_of(dome, [], inches), 1, inches).kind == CROWN
    log_reading(dome, shaper, 1, CROWN, 1.5 * INCH)
    plot = standing_of(dome, readings_of(dome), inches).plot
    assert plot.title == "Crown height, read against plan"
    assert plot.description == "after pass 1: 1\u00a01/2 in where the plan says 1\u00a03/4 in."


@pytest.mark.parametrize(
    ("kind", "value", "figures"),
    [
        (ANGLE, math.radians(20), ["0°", "30°", "60°", "90°"]),
        (Reading.Kind.THICKNESS, 0.066 * INCH, ["0.060 in", "0.065 in", "0.070 in", "0.075 in", "0.080 in"]),
    ],
)
def test_what_no_tape_has_read_is_drawn_in_its_own_unit(skin, shaper, inches, kind, value, figures):
    log_reading(skin, shaper, 1, kind, value)
    plot = standing_of(skin, readings_of(skin), inches).plot
    written = [text.text for text in plot.texts()]
    assert [each for each in figures if each in written] == figures
    assert not [each for each in written if "mm" in each]


def test_the_bench_names_the_blank_as_every_other_page_does(skin, shaper_client, give_stages, inches):
    """Rounded up to the rule's next mark, never to the nearest: a blank cut a hair too small is scrap."""
    blank = blank_size(skin)
    said = format_blank(blank.length_mm, blank.width_mm, "in")
    nearest = f"{format_length(blank.length_mm, 'in', False)} × {format_length(blank.width_mm, 'in')}"
    assert said != nearest
    layout = give_stages(skin)["layout"]
    assert f"blank {said}" in shaper_client.get(reverse("bench", args=[layout.code])).content.decode()
    assert said in shaper_client.get(reverse("material-add", args=[layout.code])).content.decode()
