"""A hair more of anything is a hair more of every answer: in every dimension, in the sheet and in the marking."""

import math
from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings

from jobs.forming import FORMS, ImpossibleShape, Marking, Sheet, Work, build, values, work_out
from jobs.forming.form import Form
from jobs.forming.report import as_json
from tests.jobs.forming.strategies import forms, markings, sheets, work_or_none

HAIR = 1e-8
# A busy machine is no reason to fail: what is checked here is figures, not time.
unhurried = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])


@unhurried
@given(form=forms, sheet=sheets, marking=markings)
def test_in_every_dimension(form, sheet, marking):
    work = _worked(form, sheet, marking)
    for name, changed in _nudged(form):
        _assert_near(work, work_or_none(changed, sheet, marking), name)


@unhurried
@given(form=forms, sheet=sheets, marking=markings)
def test_in_the_sheet_and_in_its_trim(form, sheet, marking):
    work = _worked(form, sheet, marking)
    thicker = replace(sheet, thickness_mm=sheet.thickness_mm * (1 + HAIR))
    _assert_near(work, work_or_none(form, thicker, marking), "thickness_mm")
    denser = work_out(form, replace(sheet, density_kg_m3=sheet.density_kg_m3 * (1 + HAIR)), marking)
    assert denser.mass_kg == pytest.approx(work.mass_kg, rel=2 * HAIR)
    _assert_near(work, denser, "density_kg_m3")
    wider = replace(marking, trim_mm=marking.trim_mm * (1 + HAIR) + (0 if marking.trim_mm else 0.001))
    _assert_near(work, work_out(form, sheet, wider), "trim_mm", blank=1e-3 if marking.trim_mm else 0.01)


NONE = [
    ("arch", "bend_radius_mm"),
    ("arch", "web_mm"),
    ("sweep", "flat_mm"),
    ("sweep", "drop_mm"),
    ("crown", "width_height_mm"),
    ("crown", "length_height_mm"),
    ("tray", "bend_radius_mm"),
    ("fold", "bend_radius_mm"),
    ("fold", "k"),
]


@pytest.mark.parametrize(("name", "dimension"), NONE)
def test_the_least_there_is_of_a_dimension_is_next_to_none_of_it(name, dimension):
    given = {each.name: each.example for each in FORMS[name].dimensions}
    given |= {"k": 0.4} if name == "fold" else {}
    none, least = (
        work_out(build(name, given | {dimension: value}), Sheet(1.2), Marking()) for value in (0.0, 0.001)
    )
    for key in ("finished_area_mm2", "flat_area_by_length_mm2", "flat_area_by_area_mm2", "moved_area_mm2"):
        assert getattr(least, key) == pytest.approx(getattr(none, key), abs=1e-4 * none.finished_area_mm2), (
            key
        )
    for key in ("blank_width_mm", "blank_length_mm", "thinnest_mm", "thickest_mm", "flat_length_mm"):
        assert getattr(least, key) == pytest.approx(getattr(none, key), abs=0.005), key
    for key in ("gather_angle_rad", "stretch_angle_rad"):
        assert getattr(least, key) == pytest.approx(getattr(none, key), abs=3e-4), key


def test_every_dimension_that_can_be_none_is_among_them():
    can = [(name, each.name) for name, form in FORMS.items() for each in form.dimensions if each.may_be_zero]
    assert sorted(pair for pair in NONE if pair[1] != "k") == sorted(can)


def _worked(form: Form, sheet: Sheet, marking: Marking) -> Work:
    work = work_or_none(form, sheet, marking)
    assume(work is not None)
    return work


def _nudged(form: Form) -> Iterator[tuple[str, Form]]:
    """Yield the form with a hair more of each figure that it has, one at a time."""
    for dimension in form.dimensions:
        value = getattr(form, dimension.name)
        changes = []
        if dimension.kind == "lengths":
            changes = [(*value[:at], value[at] * (1 + HAIR), *value[at + 1 :]) for at in range(len(value))]
        elif dimension.kind in ("length", "angle", "number") and value:
            changes = [value * (1 + HAIR)]
        for change in changes:
            try:
                yield dimension.name, build(form.name, {**values(form), dimension.name: change})
            except ImpossibleShape:
                continue


def _assert_near(work: Work, nudged: Work | None, name: str, blank: float = 1e-3) -> None:
    if nudged is None:
        return  # a hair more is past what can be made
    here, there = as_json(work), as_json(nudged)
    scale = max(here["blank_length_mm"], here["blank_width_mm"], 1.0)
    for key in ("blank_width_mm", "blank_length_mm", "thinnest_mm", "thickest_mm"):
        assert there[key] == pytest.approx(here[key], abs=blank * scale), (name, key)
    for key in ("finished_area_mm2", "flat_area_by_length_mm2", "flat_area_by_area_mm2", "moved_area_mm2"):
        assert there[key] == pytest.approx(here[key], abs=1e-5 * scale * scale), (name, key)
    for key in ("gather_angle_deg", "stretch_angle_deg"):
        assert there[key] == pytest.approx(here[key], abs=0.01), (name, key)
    if "edge" in here and "edge" in there:
        for key in ("take_up_mm", "finished_length_mm", "flat_length_mm"):
            assert there["edge"][key] == pytest.approx(here["edge"][key], abs=1e-5 * scale), (name, key)
        assert math.isclose(there["edge"]["thickness_mm"], here["edge"]["thickness_mm"], rel_tol=1e-4), name
    for one, other in zip(here["passes"], there["passes"], strict=False):
        for key in ("take_up_mm", "edge_length_mm"):
            assert other[key] == pytest.approx(one[key], abs=1e-5 * scale), (name, key)
        assert other["wedge_deg"] == pytest.approx(one["wedge_deg"], abs=0.01), name
        assert other["section_angle_deg"] == pytest.approx(one["section_angle_deg"], abs=0.01), name
