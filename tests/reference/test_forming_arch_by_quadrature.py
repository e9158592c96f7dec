"""The flange on a curved edge against independent numerical integration.

Source: scipy.integrate.quad over the section walked by its slope, and mpmath at 40 digits where the bend is so
shallow that ordinary digits run out. Tolerance 1e-9.
"""

import math

import mpmath
import pytest
from scipy.integrate import quad

from jobs.forming import Marking, Sheet, build, work_out

THICKNESS = 1.5
CASES = [
    (sign, angle, turn)
    for sign in (1, -1)
    for angle in (math.radians(10), math.radians(75), math.pi / 2, math.radians(140))
    for turn in (0.4, math.pi, math.tau)
]


def section(sign: int, angle: float) -> tuple[float, float, float, float]:
    """Return R_mid, ρ, L and s_e for outside radius 600, inside bend radius 18, depth 55."""
    rho = 18 + THICKNESS / 2
    straight = (55 - THICKNESS / 2 - rho * (1 - math.cos(angle))) / math.sin(angle)
    return 600 - sign * THICKNESS / 2, rho, straight, rho * angle + straight


def slope(s: float, rho: float, angle: float) -> float:
    """Return the angle the section stands at, at a distance from the start line."""
    return min(s / rho, angle)


@pytest.mark.parametrize(("sign", "angle", "turn"), CASES)
def test_radii_areas_and_take_up(sign, angle, turn):
    middle, rho, _, whole = section(sign, angle)
    work = work_out(
        build(
            "arch",
            {
                "outside_radius_mm": 600.0,
                "turn_rad": turn,
                "bend_radius_mm": 18.0,
                "depth_mm": 55.0,
                "bend_angle_rad": angle,
                "stretch": sign < 0,
            },
        ),
        Sheet(THICKNESS),
        Marking(),
    )
    start = middle - sign * quad(lambda s: math.cos(s / rho), 0, rho * angle)[0]

    def radius(s: float) -> float:
        bend = quad(lambda u: math.cos(u / rho), 0, min(s, rho * angle))[0]
        return start + sign * (bend + max(0.0, s - rho * angle) * math.cos(angle))

    finished = turn * quad(radius, 0, whole, points=[rho * angle], epsabs=1e-10)[0]
    flat = turn * quad(lambda s: start + sign * s, 0, whole)[0]
    edge = work.edges[0]
    assert work.finished_area_mm2 == pytest.approx(finished, rel=1e-9)
    assert work.flat_area_by_length_mm2 == pytest.approx(flat, rel=1e-9)
    assert work.flat_area_by_area_mm2 == pytest.approx(finished, rel=1e-9)
    assert work.moved_area_mm2 == pytest.approx(abs(flat - finished), rel=1e-6)
    assert edge.finished_length_mm == pytest.approx(turn * radius(whole), rel=1e-9)
    assert edge.flat_length_mm == pytest.approx(turn * (start + sign * whole), rel=1e-9)
    by_area = math.sqrt(start**2 + 2 * sign * finished / turn)
    assert edge.flat_radius_by_area_mm == pytest.approx(by_area, rel=1e-9)
    # Total curvature as the integral of -R'' over the section, sign and all.
    curvature = turn * quad(lambda s: math.sin(slope(s, rho, angle)) / rho, 0, rho * angle)[0]
    assert work.gather_angle_rad + work.stretch_angle_rad == pytest.approx(curvature, rel=1e-9)


@pytest.mark.parametrize(("angle", "depth"), [(1e-3, 1), (1e-2, 1), (0.2, 10)])
def test_shallow_bends_keep_their_digits(angle, depth):
    """Take-up and moved area of a bend so shallow that they are differences of nearly equal figures."""
    arch = build(
        "arch",
        {
            "outside_radius_mm": 5000.0,
            "turn_rad": 1.0,
            "bend_radius_mm": 200.0,
            "depth_mm": float(depth),
            "bend_angle_rad": angle,
        },
    )
    work = work_out(arch, Sheet(1.0), Marking())
    with mpmath.workdps(40):
        phi, rho = mpmath.mpf(angle), mpmath.mpf("200.5")
        straight = (depth - mpmath.mpf("0.5") - rho * (1 - mpmath.cos(phi))) / mpmath.sin(phi)
        take_up = rho * (phi - mpmath.sin(phi)) + straight * (1 - mpmath.cos(phi))
        whole = rho * phi + straight
        reach = rho**2 * (1 - mpmath.cos(phi)) + straight * rho * mpmath.sin(phi)
        moved = whole**2 / 2 - reach - straight**2 * mpmath.cos(phi) / 2
    assert work.moved_area_mm2 == pytest.approx(float(moved), rel=1e-9)
    assert work.edges[0].take_up_mm == pytest.approx(float(take_up), abs=1e-8)


def test_thickness_keeps_the_volume_of_a_narrow_ring_at_the_edge():
    """Constant volume (plasticity: true strains add up to nothing): t · flat ring = t_edge · finished ring."""
    middle, rho, straight, whole = section(1, math.pi / 2)
    work = work_out(
        build(
            "arch",
            {"outside_radius_mm": 600.0, "turn_rad": 1.0, "bend_radius_mm": 18.0, "depth_mm": 55.0},
        ),
        Sheet(THICKNESS),
        Marking(),
    )
    ring, start = 1e-3, middle - rho
    flat = ((start + whole) ** 2 - (start + whole - ring) ** 2) / 2
    assert straight > ring
    assert work.thickest_mm * middle * ring == pytest.approx(THICKNESS * flat, rel=1e-5)
