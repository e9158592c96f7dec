"""Chord and height, cap areas, torus areas and total curvature.

Sources: a² + h² = 2hR and A = π(a² + h²) for spherical caps (opentopia encyclopedia, "Spherical cap");
Pappus-Guldin (CRC Concise Encyclopedia of Mathematics, "Pappus's Centroid Theorem"; centroid of an arc 2r/π);
Gauss-Bonnet (T. Watkins, San Jose State University). Tolerance: the digits given.
"""

import math

import pytest

from jobs.forming import Marking, Sheet, Work, build, work_out
from jobs.forming.arcs import angle_from_chord, arc_from_chord, radius_from_chord

NO_THICKNESS = Sheet(0.001)


def worked(name: str, **values: object) -> Work:
    return work_out(build(name, values), NO_THICKNESS, Marking())


@pytest.mark.parametrize(
    ("chord", "height", "radius"),
    [(48, 1, 288.5), (48, 2, 145.0), (1000, 50, 2525), (600, 20, 2260), (10, 5, 5)],
)
def test_radius_from_chord_and_height(chord, height, radius):
    assert radius_from_chord(chord, height) == pytest.approx(radius, rel=1e-12)


@pytest.mark.parametrize(
    ("chord", "height", "arc"),
    [(48, 1, 48.05554), (48, 2, 48.22191), (1000, 50, 1006.65339), (600, 20, 601.77620)],
)
def test_arc_length(chord, height, arc):
    assert arc_from_chord(chord, height) == pytest.approx(arc, abs=5e-6)
    assert radius_from_chord(chord, height) * angle_from_chord(chord, height) == pytest.approx(arc, abs=5e-6)


@pytest.mark.parametrize(
    ("diameter", "height", "area"),
    [(48, 1, 1812.69896), (48, 2, 1822.12374), (1000, 50, 793252.145)],
)
def test_cap_area(diameter, height, area):
    assert worked("dome", diameter_mm=diameter, height_mm=height).finished_area_mm2 == pytest.approx(
        area, rel=1e-8
    )


@pytest.mark.parametrize(
    ("diameter", "height", "steradians"),
    [(48, 1, 0.021779), (48, 2, 0.086665), (1000, 50, 0.124420), (10, 5, 6.283185)],
)
def test_cap_curvature(diameter, height, steradians):
    work = worked("dome", diameter_mm=diameter, height_mm=height)
    assert work.gather_angle_rad == pytest.approx(steradians, abs=1e-6)


@pytest.mark.parametrize(
    ("rho", "tube", "area"), [(10, 2, 222.52483), (20, 5, 1144.04007), (100, 6, 6147.95731)]
)
def test_convex_quarter_torus_is_a_gathered_bend(rho, tube, area):
    """Bend of mid-surface radius ``tube`` round a centre circle ``rho``; a flange with no straight part."""
    work = worked(
        "arch",
        outside_radius_mm=rho + tube + 0.0005,
        turn_rad=math.tau,
        bend_radius_mm=tube - 0.0005,
        depth_mm=tube + 0.0005,
    )
    assert work.finished_area_mm2 == pytest.approx(area, abs=1e-4)
    assert work.gather_angle_rad == pytest.approx(math.tau)
    assert work.stretch_angle_rad == 0


@pytest.mark.parametrize(
    ("rho", "tube", "area"), [(10, 2, 172.25935), (20, 5, 829.88081), (100, 6, 5695.56797)]
)
def test_concave_quarter_torus_is_a_stretched_bend(rho, tube, area):
    work = worked(
        "arch",
        outside_radius_mm=rho - tube - 0.0005,
        turn_rad=math.tau,
        bend_radius_mm=tube - 0.0005,
        depth_mm=tube + 0.0005,
        stretch=True,
    )
    assert work.finished_area_mm2 == pytest.approx(area, abs=1e-4)
    assert work.stretch_angle_rad == pytest.approx(math.tau)


def test_only_the_tilt_at_the_rim_counts_for_curvature():
    """Dome and flange whose rims stand at the same tilt have the same curvature, 2π(1 - cos φ)."""
    tilt = math.radians(50)
    ball = worked("dome", diameter_mm=200 * math.sin(tilt), height_mm=100 * (1 - math.cos(tilt)))
    flange = worked(
        "arch",
        outside_radius_mm=400.0,
        turn_rad=math.tau,
        bend_radius_mm=10.0,
        depth_mm=30.0,
        bend_angle_rad=tilt,
    )
    assert ball.gather_angle_rad == pytest.approx(flange.gather_angle_rad)


def test_what_is_curved_one_way_has_no_curvature():
    assert worked("roll", width_mm=10, radius_mm=5, turn_rad=3.0).gather_angle_rad == 0
    for across, along in [(0.0, 30.0), (30.0, 0.0), (0.0, 0.0)]:
        work = worked("crown", width_mm=600, length_mm=900, width_height_mm=across, length_height_mm=along)
        assert work.gather_angle_rad == 0
        assert work.moved_area_mm2 == 0
        assert work.passes == ()


def test_shallow_perimeter_and_area_deficit():
    """Bertrand-Puiseux and Diquet for a ball of 100 mm: at s = 10 mm, 0.104667 mm and 0.261712 mm²."""
    angle = 10 / 100
    work = worked("dome", diameter_mm=200 * math.sin(angle), height_mm=100 * (1 - math.cos(angle)))
    assert work.edges[0].take_up_mm == pytest.approx(0.104667, abs=1e-6)
    assert work.moved_area_mm2 == pytest.approx(0.261712, abs=1e-6)
