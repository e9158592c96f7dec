"""Readings: for every shape that has passes, in both units, and what they say of the passes to come."""

import math
import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.forming import FORMS
from jobs.models import Panel, Reading
from jobs.panels import add_mirrored_hand, save_panel, work_of
from jobs.passes import tick_pass
from jobs.reading_log import FarOff, ReadingRefused, log_reading, take_back_reading
from jobs.reading_words import ON_THE_OUTSIDE
from jobs.readings import next_check, plan_of, standing_of, stepped
from shop.lengths import format_length
from shop.models import AuditEntry, Shop
from tests.conftest import ARCH


def make(job, metal, owner, form, **dimensions):
    given = {each.name: each.example for each in FORMS[form].dimensions} | dimensions
    panel = Panel(
        job=job, name=form, metal=metal, thickness_mm=1.6, form=form, dimensions=given, trim_mm=19.05,
        line_count=3, gather_mm=5.0, die_width_mm=25.0,
    )  # fmt: skip
    return save_panel(panel, owner)


def readings_of(panel):
    return list(panel.readings.all())


@pytest.mark.parametrize("form", sorted(FORMS))
@pytest.mark.parametrize("units", ["mm", "in"])
def test_every_shape_stands_at_the_bench(form, units, job, aluminium, owner, shaper):
    panel, shop = make(job, aluminium, owner, form), Shop(units=units, name="")
    standing = standing_of(panel, [], shop)
    if standing is None:
        assert not plan_of(panel)[0].passes or not plan_of(panel)[0].edges
        return
    for kind, _, _ in next_check(panel, standing, 1, shop).kinds:
        check = next_check(panel, standing, 1, shop, kind)
        assert check.drawing is not None
        log_reading(panel, shaper, 1, kind, check.target)
        standing = standing_of(panel, readings_of(panel), shop)
        assert "as planned" in standing.said[0]
        assert standing.answer.behind_mm == pytest.approx(0, abs=0.02)


@pytest.mark.parametrize("form", sorted(FORMS))
def test_every_shape_has_something_to_work_to_at_every_stage(
    form, job, aluminium, owner, shaper_client, give_stages, shop
):
    for stage in give_stages(make(job, aluminium, owner, form)).values():
        page = shaper_client.get(stage.get_absolute_url()).content.decode()
        assert "bench-check" in page
        assert page.count('class="drawing"') >= 3  # the stages, the rule, and what to work to


def test_what_is_left_is_shared_over_the_passes_to_come(panel, shaper, shop):
    work = plan_of(panel)[0]
    log_reading(panel, shaper, 1, "edge-length", work.passes[0].edge_length_mm + 10)
    standing = standing_of(panel, readings_of(panel), shop)
    coming = standing.passes[1:]
    left = work.passes[0].edge_length_mm + 10 - work.edges[0].finished_length_mm
    assert sum(one.take_up_mm for one in coming) == pytest.approx(left)
    assert coming[-1].edge_length_mm == pytest.approx(work.edges[0].finished_length_mm)
    assert sum(one.gathers for one in coming) > sum(one.gathers for one in work.passes[1:])
    assert f"{left:.1f}".removesuffix(".0") in standing.said[1]
    check = next_check(panel, standing, 2, shop)
    assert check.target == pytest.approx(coming[0].edge_length_mm)
    assert check.target != pytest.approx(work.passes[1].edge_length_mm)


def test_gone_past_says_so_and_what_to_do(panel, shaper, shop):
    work = plan_of(panel)[0]
    log_reading(panel, shaper, 3, "edge-length", work.edges[0].finished_length_mm - 4)
    standing = standing_of(panel, readings_of(panel), shop)
    assert standing.said[1] == (
        "Gone past: the edge is 4 mm shorter than finished, about 1 gather. Stretch it back before you go on."
    )


def test_a_stretched_edge_speaks_of_stretches(job, aluminium, owner, shaper, shop):
    panel = make(job, aluminium, owner, "arch", **ARCH | {"stretch": True})
    work = plan_of(panel)[0]
    log_reading(panel, shaper, 1, "edge-length", work.passes[0].edge_length_mm)
    said = standing_of(panel, readings_of(panel), shop).said[1]
    assert "still to gain" in said
    assert "stretches" in said


@pytest.mark.parametrize(
    ("number", "kind", "value", "words"),
    [
        (4, "edge-length", 500, "passes 1 to 3"),
        (1, "crown", 20, "no crown height to read"),
        (1, "angle", 3.2, "at most 180"),
        (1, "edge-length", 5, "far from the"),
        (1, "thickness", 16, "far from the"),
        (1, "edge-length", math.nan, "number"),
        (1, "edge-length", math.inf, "number"),
    ],
)
def test_a_reading_that_cannot_be_is_refused(panel, shaper, number, kind, value, words):
    with pytest.raises(ReadingRefused, match=words):
        log_reading(panel, shaper, number, kind, value)
    assert not Reading.objects.exists()


def test_a_reading_of_a_pass_the_shape_has_no_more_is_kept_but_not_used(panel, owner, shaper, shop):
    work = plan_of(panel)[0]
    log_reading(panel, shaper, 3, "edge-length", work.passes[2].edge_length_mm)
    panel.line_count = 2
    save_panel(panel, owner)
    standing = standing_of(panel, readings_of(panel), shop)
    assert (standing.answer, len(standing.passes)) == (None, 2)


def test_the_latest_reading_counts(panel, shaper, shop):
    work = plan_of(panel)[0]
    first = log_reading(panel, shaper, 1, "edge-length", work.passes[0].edge_length_mm)
    latest = log_reading(panel, shaper, 2, "edge-length", work.passes[1].edge_length_mm)
    assert standing_of(panel, [latest, first], shop).latest == latest


def test_the_second_hand_keeps_the_plan_where_nobody_counted(panel, owner, shaper):
    tick_pass(panel, 1, shaper)
    second = add_mirrored_hand(panel, owner)
    work, said = plan_of(second)
    assert work.passes == plan_of(panel)[0].passes
    assert said == ()


@pytest.mark.parametrize(
    ("units", "kind", "value", "more", "less"),
    [
        ("mm", "edge-length", 530.0, "530.5", "529.5"),
        ("in", "edge-length", 25.4, "1 1/32", "31/32"),
        ("mm", "angle", math.radians(67.5), "68", "67"),
        ("mm", "thickness", 1.7, "1.75", "1.65"),
        ("mm", "crown", 0.2, "0.7", "0"),
    ],
)
def test_plus_and_minus_take_the_shops_steps(units, kind, value, more, less):
    shop = Shop(units=units, name="")
    assert stepped(kind, value, 1, shop) == more
    assert stepped(kind, value, -1, shop) == less


def test_a_reading_taken_back_leaves_the_plan_as_it_was(panel, shaper, owner, shop):
    before = standing_of(panel, [], shop).passes
    reading = log_reading(panel, shaper, 1, "edge-length", plan_of(panel)[0].passes[0].edge_length_mm + 9)
    take_back_reading(reading, shaper)

    assert standing_of(panel, readings_of(panel), shop).passes == before
    entry = AuditEntry.objects.latest("id")
    assert (entry.what, entry.changes["value"][1]) == ("took back reading", None)


def test_a_reading_of_yesterday_is_only_the_owners_to_take_back(panel, shaper, owner, shop):
    edge = plan_of(panel)[0].passes[0].edge_length_mm
    reading = log_reading(panel, shaper, 1, "edge-length", edge, at=timezone.now() - timedelta(hours=25))

    with pytest.raises(ReadingRefused, match="within the day"):
        take_back_reading(reading, shaper)
    take_back_reading(reading, owner)
    assert not readings_of(panel)


def test_the_bench_takes_a_reading_back_in_one_press(panel, shaper, shaper_client, give_stages):
    stage = give_stages(panel)["gathering"]
    edge = plan_of(panel)[0].passes[0].edge_length_mm
    reading = log_reading(panel, shaper, 1, "edge-length", edge)
    address = reverse("reading-take-back", args=[stage.code, reading.pk])
    assert address in shaper_client.get(stage.get_absolute_url()).content.decode()

    assert shaper_client.post(address).status_code == 302
    assert shaper_client.post(address).status_code == 404
    assert not readings_of(panel)


def test_a_reading_far_from_the_plan_is_asked_about_once_and_kept_the_second_time(
    panel, shaper_client, give_stages
):
    stage = give_stages(panel)["gathering"]
    address = reverse("reading-add", args=[stage.code])
    typed = {"kind": "angle", "pass_number": "1", "value": "80"}  # 22.5 degrees are planned

    asked = shaper_client.post(address, typed)
    assert asked.status_code == 422
    assert "log it once more" in asked.content.decode()
    assert '<input type="hidden" name="sure" value="80">' in asked.content.decode()
    assert shaper_client.post(address, typed | {"value": "79", "sure": "80"}).status_code == 422
    assert not readings_of(panel)

    assert shaper_client.post(address, typed | {"sure": "80"}).status_code == 302
    assert Reading.objects.get().value == pytest.approx(math.radians(80))


def test_the_question_names_the_plan_that_the_bench_shows(panel, shaper, shop):
    """After a first reading the plan of the passes to come is another than at first."""
    first = work_of(panel).passes[0]
    log_reading(panel, shaper, 1, Reading.Kind.EDGE_LENGTH, first.edge_length_mm + 4, sure=True)
    standing = standing_of(panel, list(Reading.objects.all()), shop)
    shown = next_check(panel, standing, 2, shop).target_said
    assert shown != format_length(work_of(panel).passes[1].edge_length_mm)
    with pytest.raises(FarOff, match=f"far from the {shown} planned here"):
        log_reading(panel, shaper, 2, Reading.Kind.EDGE_LENGTH, first.edge_length_mm * 10)


def test_an_empty_field_logs_nothing(panel, shaper_client, give_stages):
    stage = give_stages(panel)["gathering"]
    page = shaper_client.get(stage.get_absolute_url()).content.decode()
    assert 'id="check-value" name="value" value=""' in page

    typed = {"kind": "edge-length", "pass_number": "1", "value": "", "plan": "500 mm"}
    assert shaper_client.post(reverse("reading-add", args=[stage.code]), typed).status_code == 422
    assert not readings_of(panel)


def test_the_tape_outranks_an_angle_read_after_the_same_pass(panel, shaper, shop):
    work = plan_of(panel)[0]
    log_reading(panel, shaper, 1, "edge-length", work.passes[0].edge_length_mm + 10)
    taped = standing_of(panel, readings_of(panel), shop).passes
    log_reading(panel, shaper, 1, "angle", work.passes[0].section_angle_rad)

    assert standing_of(panel, readings_of(panel), shop).passes == taped


def test_an_edge_can_be_read_on_its_outside_face_and_is_kept_in_the_middle_of_the_sheet(panel, shaper, shop):
    """θ t/2 sin φ more: 1.5 rad · 0.8 mm · sin 90° after the last pass, and as much less as the angle is less."""
    standing = standing_of(panel, [], shop)
    for pass_, share in zip(
        standing.passes, (math.sin(math.pi / 8), math.sin(3 * math.pi / 8), 1.0), strict=True
    ):
        check = next_check(panel, standing, pass_.number, shop, ON_THE_OUTSIDE)
        assert check.target == pytest.approx(pass_.edge_length_mm + 1.2 * share)
        reading = log_reading(panel, shaper, pass_.number, ON_THE_OUTSIDE, check.target)
        assert reading.kind == Reading.Kind.EDGE_LENGTH
        assert reading.value == pytest.approx(pass_.edge_length_mm)
        assert reading.note == f"{check.target_said} on the outside face."


def test_the_outside_face_is_one_of_the_things_to_measure_at_the_bench(panel, shaper_client, give_stages):
    code = give_stages(panel)["gathering"].code
    page = shaper_client.get(reverse("bench", args=[code])).content.decode()
    assert "Edge, outside face" in page
    given = {"kind": "edge-outside", "pass_number": 1, "value": "560"}
    page = shaper_client.post(reverse("reading-add", args=[code]), given, follow=True).content.decode()
    assert (
        "after pass 1: 560.0 mm on the outside face." in page
        or "after pass 1: 560 mm on the outside face." in page
    )
    assert "559.5 mm for the middle of the sheet is in the book" in page  # 560 - 1.2 sin 22.5°
    assert Reading.objects.get().value == pytest.approx(560 - 1.2 * math.sin(math.pi / 8))
    page = shaper_client.get(reverse("panel", args=[panel.job.number, panel.position])).content.decode()
    assert "a tape on the outside face of the finished edge reads 1.2 mm more" in page


def test_a_thin_sheet_that_hardly_turns_is_not_asked_for_its_outside_face(panel, owner, shop):
    panel.dimensions = ARCH | {"turn_rad": 0.2}
    save_panel(panel, owner)
    standing = standing_of(panel, [], shop)
    assert ON_THE_OUTSIDE not in [name for name, _, _ in next_check(panel, standing, 3, shop).kinds]


def test_an_edge_that_keeps_its_length_has_nothing_to_count_at_the_bench(
    job, aluminium, owner, shaper_client, give_stages
):
    panel = make(job, aluminium, owner, "dome", diameter_mm=300.0, height_mm=60.0, method="stretch")
    page = shaper_client.get(reverse("bench", args=[give_stages(panel)["gathering"].code])).content.decode()
    assert "until the crown stands" in page
    assert "0 stretches" not in page
    assert 'name="gathers_made"' not in page


def test_a_line_with_a_number_is_named_without_an_article(job, aluminium, owner, shaper, shop):
    panel = make(job, aluminium, owner, "dome", diameter_mm=300.0, height_mm=60.0)
    work = work_of(panel)
    log_reading(panel, shaper, 1, Reading.Kind.EDGE_LENGTH, work.passes[0].edge_length_mm)
    said = standing_of(panel, readings_of(panel), shop).said
    assert re.search(r"the next \d+ on ring 2\.$", said[1])
