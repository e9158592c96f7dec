"""Shapes that cannot be are refused in words a person can act on, with the dimension to blame."""

import math
import re
from functools import partial

import pytest

from jobs.forming import FORMS, ImpossibleShape, Marking, Sheet, build, work_out
from shop.lengths import format_length, parse_length_mm

SHEET, MARKING = Sheet(1.2), Marking()


def example(name: str, **changes: object) -> dict[str, object]:
    return {dimension.name: dimension.example for dimension in FORMS[name].dimensions} | changes


def refused(name: str, sheet: Sheet = SHEET, **changes: object) -> ImpossibleShape:
    with pytest.raises(ImpossibleShape) as refusal:
        work_out(build(name, example(name, **changes)), sheet, MARKING)
    return refusal.value


@pytest.mark.parametrize(
    ("name", "changes", "field", "words"),
    [
        ("arch", {"depth_mm": 10.0}, "depth_mm", "no room for the bend"),
        ("arch", {"bend_angle_rad": math.pi}, "bend_angle_rad", "180 degrees or more"),
        ("arch", {"bend_angle_rad": 4.0}, "bend_angle_rad", "180 degrees or more"),
        ("arch", {"outside_radius_mm": 20.0}, "outside_radius_mm", "too small for this bend"),
        ("arch", {"depth_mm": 500.0, "stretch": True}, "depth_mm", "deeper than the opening"),
        ("arch", {"depth_mm": 240.0, "stretch": True}, "depth_mm", "more metal than the opening"),
        (
            "arch",
            {"bend_angle_rad": 3.0, "outside_radius_mm": 40.0, "depth_mm": 75.0},
            "depth_mm",
            "closes over the middle",
        ),
        (
            "arch",
            {"bend_angle_rad": 1e-3, "depth_mm": 900.0, "outside_radius_mm": 9000.0},
            "bend_angle_rad",
            "metal along the section",
        ),
        ("sweep", {"flat_mm": 200.0}, "flat_mm", "wider than the whole width"),
        ("sweep", {"drop_mm": 61.0}, "drop_mm", "past 90 degrees"),
        ("sweep", {"flat_mm": 180.0}, "drop_mm", "past 90 degrees"),
        ("sweep", {"crown_radius_mm": 40.0}, "drop_mm", "past the middle"),
        ("sweep", {"crown_radius_mm": 9e4}, "turn_rad", "more than"),
        ("crown", {"width_height_mm": 301.0}, "width_height_mm", "more than half the width"),
        ("crown", {"length_height_mm": 451.0}, "length_height_mm", "more than half the length"),
        (
            "crown",
            {"width_height_mm": 300.0, "length_mm": 300.0, "length_height_mm": 150.0},
            "width_height_mm",
            "reaches the middle",
        ),
        ("dome", {"height_mm": 151.0}, "height_mm", "more than half the diameter"),
        ("roll", {"radius_mm": 9e4}, "radius_mm", "more than"),
        ("fold", {"leg_mm": (60.0,)}, "leg_mm", "two or more legs"),
        ("fold", {"leg_mm": (60.0, 5.0, 60.0)}, "leg_mm", "Leg 2 of 5 mm has no room"),
        ("fold", {"leg_mm": ()}, "leg_mm", "one or more"),
        ("fold", {"leg_mm": (1.0,) * 51}, "leg_mm", "at most 50"),
        ("fold", {"leg_mm": (9e4, 9e4)}, "leg_mm", "together"),
        ("fold", {"bend_angle_rad": math.pi}, "bend_angle_rad", "a hem, not a fold"),
        ("fold", {"k": 0.7}, "k", "twice as large"),
        ("fold", {"bend_radius_mm": 0.0}, "bend_radius_mm", "DIN 6935"),
        ("fold", {"measured": "inside"}, "measured", "one of: outside, straight"),
        ("tray", {"corner_radius_mm": 151.0}, "corner_radius_mm", "do not fit a side of 300 mm"),
        ("tray", {"corner_radius_mm": 5.0}, "corner_radius_mm", "too small for this bend"),
        ("tray", {"sides": "top"}, "sides", "must be one of"),
    ],
)
def test_contradictions_name_their_dimension(name, changes, field, words):
    refusal = refused(name, **changes)
    assert refusal.field == field
    assert words in str(refusal)
    assert "\n" not in str(refusal)


@pytest.mark.parametrize("name", FORMS)
@pytest.mark.parametrize(
    "nonsense", [math.nan, math.inf, -math.inf, -5.0, 1e9, 1e-9, 10**400, "7 in", None, True, [1.0], {}]
)
def test_nonsense_in_any_length_or_angle_is_refused(name, nonsense):
    for dimension in FORMS[name].dimensions:
        if dimension.kind in ("length", "angle"):
            with pytest.raises(ImpossibleShape) as refusal:
                build(name, example(name, **{dimension.name: nonsense}))
            assert refusal.value.field == dimension.name
            assert dimension.label in str(refusal.value)


def test_zero_is_refused_only_where_it_means_nothing():
    for name, form in FORMS.items():
        for dimension in form.dimensions:
            if dimension.kind == "length" and not dimension.may_be_zero:
                with pytest.raises(ImpossibleShape, match="must be more than 0"):
                    build(name, example(name, **{dimension.name: 0.0}))


def test_unknown_form_unknown_dimension_and_missing_dimension():
    with pytest.raises(ImpossibleShape, match="There is no form of this name"):
        build("scan", {})
    with pytest.raises(ImpossibleShape, match="has no such dimension"):
        build("dome", example("dome") | {"colour": 3})
    for name, form in FORMS.items():
        for dimension in form.dimensions:
            if dimension.required and dimension.default is None:
                values = example(name)
                del values[dimension.name]
                with pytest.raises(ImpossibleShape, match=f"{dimension.label} is missing") as refusal:
                    build(name, values)
                assert refusal.value.field == dimension.name


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"thickness_mm": 0.0}, "thickness_mm"),
        ({"thickness_mm": math.nan}, "thickness_mm"),
        ({"density_kg_m3": 0.0}, "density_kg_m3"),
        ({"elongation": 25.0}, "elongation"),
        ({"elongation": 0.0}, "elongation"),
        ({"min_bend_radius_t": -1.0}, "min_bend_radius_t"),
    ],
)
def test_impossible_sheet(changes, field):
    with pytest.raises(ImpossibleShape) as refusal:
        Sheet(**({"thickness_mm": 1.0} | changes))
    assert refusal.value.field == field


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"trim_mm": -1.0}, "trim_mm"),
        ({"gather_mm": 0.0}, "gather_mm"),
        ({"die_width_mm": math.inf}, "die_width_mm"),
        ({"line_count": 1}, "line_count"),
        ({"line_count": 3.0}, "line_count"),
        ({"line_count": 51}, "line_count"),
    ],
)
def test_impossible_marking(changes, field):
    with pytest.raises(ImpossibleShape) as refusal:
        Marking(**changes)
    assert refusal.value.field == field


def test_refusal_is_said_in_the_shops_own_units():
    refusal = refused("dome", height_mm=254.0)
    assert "10.0 in" in refusal.say(lambda mm, **_: f"{mm / 25.4:.1f} in")
    assert "254 mm" in str(refusal)


TIGHT = [
    ("arch", {"depth_mm": 20.0}, "depth_mm"),
    ("arch", {"outside_radius_mm": 20.0}, "outside_radius_mm"),
    ("arch", {"outside_radius_mm": 30.0, "stretch": True}, "depth_mm"),
    ("arch", {"outside_radius_mm": 111.0, "stretch": True}, "depth_mm"),
    ("arch", {"outside_radius_mm": 100.0, "bend_angle_rad": 2.6, "depth_mm": 300.0}, "depth_mm"),
    ("arch", {"web_mm": 400.0}, "web_mm"),
    ("tray", {"corner_radius_mm": 2.0}, "corner_radius_mm"),
    ("tray", {"corner_radius_mm": 160.03, "width_mm": 300.03}, "corner_radius_mm"),
    ("sweep", {"drop_mm": 70.0, "width_mm": 180.07}, "drop_mm"),
    ("dome", {"height_mm": 200.0, "diameter_mm": 300.13}, "height_mm"),
    ("crown", {"width_height_mm": 400.0, "width_mm": 600.77}, "width_height_mm"),
]


def typed_back(said: str, bound: str) -> float:
    """What somebody types who does as a refusal says: the length after "at most" or "at least"."""
    return parse_length_mm(re.search(rf"at {bound} ([\d \u00a0/.]+ (?:mm|in))", said)[1])


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize(("form", "changes", "field"), TIGHT)
@pytest.mark.parametrize("thickness_mm", [1.0, 1.27, 1.6002, 1.631])
def test_what_a_refusal_says_would_fit_does_fit_as_it_is_written(form, changes, field, units, thickness_mm):
    """Half a step of the rule off, the advice would be refused in its turn."""
    sheet = Sheet(thickness_mm)
    refusal = refused(form, sheet, **changes)
    assert refusal.field == field
    said = refusal.say(partial(format_length, units=units))
    for bound in ("least", "most"):
        if bound not in refusal.lengths_mm:
            continue
        fits = typed_back(said, bound)
        blamed = (
            "outside_radius_mm"
            if field == "depth_mm" and "outside radius at" in said and bound == "least"
            else field
        )
        work = work_out(build(form, example(form, **(changes | {blamed: fits}))), sheet, MARKING)
        assert work.finished_area_mm2 > 0
        # It is the border: a tenth further and nothing fits.
        beyond = fits * (0.9 if bound == "least" else 1.1)
        assert refused(form, sheet, **(changes | {blamed: beyond}))


def test_least_depth_that_is_named_is_possible():
    """What the refusal says would fit does fit."""
    refusal = refused("arch", depth_mm=10.0)
    least = refusal.lengths_mm["least"]
    work = work_out(build("arch", example("arch", depth_mm=least)), SHEET, MARKING)
    assert work.lines[-1].from_edge_mm == pytest.approx(0.0, abs=1e-9)


def test_least_plan_radius_that_is_named_is_possible():
    refusal = refused("arch", outside_radius_mm=20.0)
    least = refusal.lengths_mm["least"]
    work = work_out(build("arch", example("arch", outside_radius_mm=least)), SHEET, MARKING)
    assert work.edges[0].flat_radius_by_length_mm == pytest.approx(work.flat_length_mm)


def test_thickness_counts_where_the_dimensions_are_outside_ones():
    """A depth that takes 1 mm sheet has no room for 5 mm sheet."""
    values = example("arch", depth_mm=27.5, bend_radius_mm=25.0)
    assert work_out(build("arch", values), Sheet(1.0), MARKING)
    assert refused("arch", Sheet(5.0), depth_mm=27.5, bend_radius_mm=25.0).field == "depth_mm"
