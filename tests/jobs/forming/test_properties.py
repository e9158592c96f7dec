"""What holds for every form, whatever its dimensions."""

import json
import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from jobs.forming import FORMS, Marking, Sheet, Work, build, mirror, values, work_out
from jobs.forming.outline import area, end_of, flatten, length, start_of
from jobs.forming.rectangle import extent
from jobs.forming.report import as_json
from jobs.forming.result import Arc, Outline
from tests.jobs.forming.strategies import OF_FORM, arches, forms, markings, sheets, steps_of, work_or_none

close = pytest.approx
# A busy machine is no reason to fail: what is checked here is figures, not time.
unhurried = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])


def every_panel(test):
    """Run a test over panels of every form, in every sheet, marked every way."""
    return unhurried(given(form=forms, sheet=sheets, marking=markings)(test))


def worked(form: object, sheet: Sheet, marking: Marking) -> Work:
    work = work_or_none(form, sheet, marking)
    assume(work is not None)
    return work


@every_panel
def test_areas_and_blank_are_positive_and_the_blank_holds_the_flat(form, sheet, marking):
    work = worked(form, sheet, marking)
    assert work.finished_area_mm2 > 0
    assert work.flat_area_by_area_mm2 > 0
    assert work.flat_area_by_length_mm2 > 0
    assert work.moved_area_mm2 >= 0
    assert work.blank_width_mm * work.blank_length_mm >= work.flat_area_by_length_mm2 * (1 - 1e-9)
    assert work.thinnest_mm <= work.thickest_mm * (1 + 1e-12)
    assert work.layout_length_mm >= length(work.by_length.runs) * (1 - 1e-12)


@every_panel
def test_flat_by_length_is_larger_for_gathering_and_smaller_for_stretching(form, sheet, marking):
    work = worked(form, sheet, marking)
    gap = work.flat_area_by_length_mm2 - work.flat_area_by_area_mm2
    rounding = 1e-9 * work.flat_area_by_length_mm2
    if work.gather_angle_rad:
        assert gap >= -rounding
    if work.stretch_angle_rad:
        assert gap <= rounding
    if form.name != "fold":
        assert abs(gap) == close(work.moved_area_mm2, rel=1e-6, abs=10 * rounding)
        assert work.flat_area_by_area_mm2 == close(work.finished_area_mm2, rel=1e-9)


@every_panel
def test_passes_add_up_to_the_take_up_and_to_the_curvature(form, sheet, marking):
    work = worked(form, sheet, marking)
    assume(work.passes)
    edge = work.edges[0]
    assert math.fsum(each.take_up_mm for each in work.passes) == close(
        edge.take_up_mm, rel=1e-9, abs=1e-9 * edge.flat_length_mm
    )
    assert work.passes[-1].edge_length_mm == close(edge.finished_length_mm, rel=1e-9)
    curvature = work.gather_angle_rad + work.stretch_angle_rad
    alike = {"sweep": 2, "crown": 2, "tray": getattr(form, "corners", 1)}.get(form.name, 1)
    assert alike * math.fsum(each.wedge_rad for each in work.passes) == close(curvature, rel=1e-9, abs=1e-12)
    assert len(work.passes) == marking.line_count


@every_panel
def test_gathers_are_enough_and_stand_a_die_apart(form, sheet, marking):
    work = worked(form, sheet, marking)
    for each in work.passes:
        assert each.gathers * marking.gather_mm >= abs(each.take_up_mm) * (1 - 1e-6)
        assert (each.gathers - 1) * marking.gather_mm < abs(each.take_up_mm) or each.gathers <= 1
        line_mm = each.spacing_mm * each.gathers / each.rounds if each.gathers else 0.0
        if line_mm >= marking.die_width_mm:
            assert each.spacing_mm >= marking.die_width_mm * (1 - 1e-9)


@every_panel
def test_outlines_are_closed_and_run_counter_clockwise(form, sheet, marking):
    work = worked(form, sheet, marking)
    for outline in (work.by_length, work.by_area, work.trimmed):
        runs = outline.runs
        for run, following in zip(runs, runs[1:] + runs[:1], strict=True):
            assert math.dist(end_of(run), start_of(following)) < 1e-6
        assert area(outline) > 0
        points = flatten(runs)
        assert points[0] == points[-1]


@every_panel
def test_trim_leaves_its_margin_everywhere(form, sheet, marking):
    work = worked(form, sheet, marking)
    assert area(work.trimmed) >= area(work.by_length) * (1 - 1e-12)
    edge = flatten(work.by_length.runs, 0.5)
    for point in flatten(work.trimmed.runs, 20.0):
        nearest = min(_distance(point, a, b) for a, b in pairwise(edge))
        # A slit ring has its seam inside the metal; only its round edges have a margin.
        assert nearest >= marking.trim_mm - 0.51 or _is_on_seam(point, work)


def _distance(point, a, b) -> float:
    (x, y), (x0, y0), (x1, y1) = point, a, b
    long = (x1 - x0) ** 2 + (y1 - y0) ** 2
    along = 0.0 if long == 0 else max(0.0, min(1.0, ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / long))
    return math.hypot(x - x0 - along * (x1 - x0), y - y0 - along * (y1 - y0))


def _is_on_seam(point, work: Work) -> bool:
    return work.form.name == "arch" and work.form.turn_rad > math.pi and abs(point[0]) < 1e-6 and point[1] < 0


@every_panel
def test_blank_is_the_smallest_rectangle_at_any_angle(form, sheet, marking):
    work = worked(form, sheet, marking)
    blank_mm2 = work.blank_width_mm * work.blank_length_mm
    for step in range(90):
        x, y = math.cos(math.radians(step)), math.sin(math.radians(step))
        assert blank_mm2 <= extent(work.trimmed, (x, y)) * extent(work.trimmed, (-y, x)) * (1 + 1e-3)


@every_panel
def test_mirrored_twice_is_the_same(form, sheet, marking):
    work = worked(form, sheet, marking)
    other = mirror(work)
    assert area(other.trimmed) == close(area(work.trimmed))
    assert start_of(other.by_length.runs[0])[0] == close(-end_of(work.by_length.runs[-1])[0], abs=1e-6)
    again = mirror(other)
    assert _numbers(again.trimmed) == close(_numbers(work.trimmed), abs=1e-6)
    assert _numbers(again.by_area) == close(_numbers(work.by_area), abs=1e-6)
    assert again.gathers == work.gathers
    assert [line.name for line in again.lines] == [line.name for line in work.lines]
    for line, same in zip(work.lines, again.lines, strict=True):
        assert _numbers(Outline(line.path)) == close(_numbers(Outline(same.path)), abs=1e-6)


def _numbers(outline: Outline) -> list[float]:
    """Return the coordinates of an outline's runs, arcs by end points, so that whole turns do not count."""
    return [c for run in outline.runs for point in (start_of(run), end_of(run)) for c in point]


@every_panel
def test_twice_the_size_is_twice_the_lengths_and_four_times_the_areas(form, sheet, marking):
    small = worked(form, sheet, marking)
    large = work_out(
        build(form.name, _scaled(form)),
        replace(sheet, thickness_mm=2 * sheet.thickness_mm),
        Marking(2 * marking.trim_mm, 2 * marking.gather_mm, 2 * marking.die_width_mm, marking.line_count),
    )
    _compare_scaled(as_json(small), as_json(large))


def _scaled(form) -> dict[str, object]:
    double = {}
    for dimension in form.dimensions:
        value = getattr(form, dimension.name)
        if dimension.kind == "length":
            value = 2 * value
        elif dimension.kind == "lengths":
            value = tuple(2 * each for each in value)
        double[dimension.name] = value
    return double


def _compare_scaled(small: dict, large: dict) -> None:
    for key, value in small.items():
        if isinstance(value, dict):
            _compare_scaled(value, large[key])
        elif isinstance(value, list) and key in ("lines", "passes"):
            for one, other in zip(value, large[key], strict=True):
                _compare_scaled(one, other)
        elif isinstance(value, float) and key != "mass_kg":
            factor = 4 if key.endswith("m2") else 2 if key.endswith(("mm", "_m")) else 1
            assert large[key] == close(factor * value, rel=1e-7, abs=1e-7), key


@every_panel
def test_report_is_json_and_explanation_has_its_figures(form, sheet, marking):
    work = worked(form, sheet, marking)
    text = json.dumps(as_json(work), allow_nan=False)
    assert json.loads(text)["form"] == form.name
    steps = steps_of(work)
    assert steps
    for step in steps:
        assert math.isfinite(step.value)
        assert "nan" not in step.figures
        assert "inf" not in step.figures.split()
        assert step.unit in ("mm", "mm fine", "figure", "mm up", "mm2", "rad", "kg", "share", "1")


@unhurried
@given(form=forms)
def test_values_build_the_same_form_again(form):
    assert build(form.name, json.loads(json.dumps(values(form)))) == form


@every_panel
def test_steps_that_name_an_answer_give_that_answer(form, sheet, marking):
    work = worked(form, sheet, marking)
    given = {step.name: step.value for step in steps_of(work)}
    if "Metal moved" in given:
        assert given["Metal moved"] == work.moved_area_mm2
    if "Length laid flat" in given:
        assert given["Length laid flat"] == work.flat_length_mm


@unhurried
@given(arch=arches(), sheet=sheets, trim=st.floats(0.5, 500))
def test_no_arc_of_a_trimmed_ring_is_turned_inside_out(arch, sheet, trim):
    work = worked(arch, sheet, Marking(trim_mm=trim))
    for run in work.trimmed.runs:
        if isinstance(run, Arc):
            assert run.radius_mm >= 0
            assert abs(run.sweep_rad) <= math.tau * (1 + 1e-9)


def test_every_form_is_among_those_tried_here():
    assert list(OF_FORM) == list(FORMS)


def test_every_form_makes_a_sensible_panel_of_its_examples():
    for name, form in FORMS.items():
        panel = build(name, {dimension.name: dimension.example for dimension in form.dimensions})
        work = work_out(panel, Sheet(1.2, elongation=0.35), Marking())
        assert "strain" not in [caution.code for caution in work.warnings], name
