"""Strain along the section: it ends in the edge's own strain, and a stretched dome keeps its area on the way."""

import itertools
import math

import pytest
from hypothesis import HealthCheck, assume, given, settings

from jobs.forming.along import strain_along
from tests.jobs.drawings.panels import any_panel, panel

SLOW = [HealthCheck.filter_too_much, HealthCheck.too_slow]


@settings(max_examples=80, deadline=None, suppress_health_check=SLOW)
@given(work=any_panel())
def test_a_gathered_section_ends_in_the_strain_of_its_edge(work):
    assume(not work.stretch_angle_rad and work.edges)
    along = strain_along(work)
    assert along is not None
    assert along.strains[-1][1] == pytest.approx(work.edges[0].strain, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(("form", "given_"), [("arch", {}), ("sweep", {}), ("dome", {}), ("tray", {})])
def test_gathering_begins_with_nothing_and_only_grows(form, given_):
    strains = [strain for _, strain in strain_along(panel(form, **given_)).strains]
    assert strains[0] == pytest.approx(0)
    assert all(after <= before + 1e-12 for before, after in itertools.pairwise(strains))


def test_a_stretched_flange_is_stretched_at_its_edge():
    work = panel("arch", stretch=True)
    assert strain_along(work).largest == pytest.approx(work.edges[0].strain)
    assert strain_along(work).largest > 0


def test_a_stretched_crown_stretches_most_in_the_middle():
    along = strain_along(panel("crown", method="stretch"))
    assert along.strains[0][1] == along.largest > 0
    assert along.strains[-1][1] == pytest.approx(0, abs=1e-12)


def test_a_dome_stretched_evenly_is_as_high_as_it_should_be():
    # Summing the meridian's strain over the disc gives the length of the meridian, R α: geometry of the sphere.
    work = panel("dome", method="stretch")
    a, h = work.form.diameter_mm / 2, work.form.height_mm
    along = strain_along(work).strains
    steps = itertools.pairwise(along)
    meridian = sum((after[0] - before[0]) * (1 + (before[1] + after[1]) / 2) for before, after in steps)
    assert meridian == pytest.approx((a * a + h * h) / (2 * h) * 2 * math.atan2(h, a), rel=1e-4)


@pytest.mark.parametrize("form", ["roll", "fold"])
def test_what_is_only_bent_has_no_strain_along_it(form):
    assert strain_along(panel(form)) is None


@pytest.mark.parametrize("sides", ["front", "front back", "right left"])
def test_a_tray_without_a_gathered_corner_is_only_bent(sides):
    assert strain_along(panel("tray", sides=sides)) is None


def test_a_flat_sheet_has_none_either():
    assert strain_along(panel("sweep", drop_mm=0.0)) is None
