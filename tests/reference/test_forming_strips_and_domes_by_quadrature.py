"""Sweeps, crowned panels and domes against surfaces measured by numerical integration in space.

Source: differential geometry of a parametrised surface r(u, v), written out here from the dimensions alone: area
∬ √(EG − F²), total curvature ∬ K √(EG − F²) with K from the second fundamental form, edge length ∫ |r'|; integrals
by scipy (QUADPACK). Derivatives are central differences; tolerance 1e-6 of area and length, 0.2 % of
curvature (second differences).
The smallest rectangle is sought at every tenth of a degree over the outline's points (brute force, 0.01 %).
"""

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import dblquad, quad

from jobs.forming import Marking, Sheet, Work, build, work_out
from jobs.forming.outline import flatten

CURVATURE = 2e-3
Surface = Callable[[float, float], np.ndarray]


def worked(name: str, trim_mm: float = 0.0, **given: object) -> Work:
    return work_out(build(name, given), Sheet(1.2), Marking(trim_mm))


def first(surface: Surface, u: float, v: float, du: float, dv: float) -> tuple[np.ndarray, np.ndarray]:
    return (
        (surface(u + du, v) - surface(u - du, v)) / (2 * du),
        (surface(u, v + dv) - surface(u, v - dv)) / (2 * dv),
    )


def element(surface: Surface, u: float, v: float, du: float, dv: float) -> float:
    ru, rv = first(surface, u, v, du, dv)
    return float(np.linalg.norm(np.cross(ru, rv)))


def curvature_element(surface: Surface, u: float, v: float, du: float, dv: float) -> float:
    """Return K dA: (LN − M²)/(EG − F²) times the area element."""
    ru, rv = first(surface, u, v, du, dv)
    here = surface(u, v)
    ruu = (surface(u + du, v) - 2 * here + surface(u - du, v)) / du**2
    rvv = (surface(u, v + dv) - 2 * here + surface(u, v - dv)) / dv**2
    ruv = (first(surface, u + du, v, du, dv)[1] - first(surface, u - du, v, du, dv)[1]) / (2 * du)
    size = float(np.linalg.norm(np.cross(ru, rv)))
    normal = np.cross(ru, rv) / size
    return float((ruu @ normal) * (rvv @ normal) - (ruv @ normal) ** 2) / size


def swept(crown_radius: float, flat: float, side: float, drop: float) -> Surface:
    """A point by turn u (rad) and length v along the section from its middle (mm): an arc tangent to a flat."""
    radius = (side**2 + drop**2) / (2 * drop)

    def at(u: float, v: float) -> np.ndarray:
        beyond = max(0.0, abs(v) - flat / 2)
        across = math.copysign(min(abs(v), flat / 2) + radius * math.sin(beyond / radius), v)
        out = crown_radius - radius * (1 - math.cos(beyond / radius))
        return np.array([out * math.cos(u), out * math.sin(u), across])

    return at


SWEEPS = [(330.0, 1.2, 180.0, 60.0, 40.0), (500.0, 3.0, 120.0, 0.0, 60.0), (90.0, 6.2, 100.0, 90.0, 3.0)]


@pytest.mark.parametrize(("crown_radius", "turn", "width", "flat", "drop"), SWEEPS)
def test_sweep_area_edge_and_curvature(crown_radius, turn, width, flat, drop):
    work = worked(
        "sweep", crown_radius_mm=crown_radius, turn_rad=turn, width_mm=width, flat_mm=flat, drop_mm=drop
    )
    side = (width - flat) / 2
    section = _arc_length(side, drop)
    surface = swept(crown_radius, flat, side, drop)
    edge = flat / 2 + section
    half = dblquad(lambda v, u: element(surface, u, v, 1e-5, 1e-4), 0, turn, flat / 2, edge, epsrel=1e-8)[0]
    assert work.finished_area_mm2 == pytest.approx(2 * half + turn * crown_radius * flat, rel=1e-6)
    at_edge = quad(lambda u: np.linalg.norm(first(surface, u, edge, 1e-5, 1e-4)[0]), 0, turn)[0]
    assert work.edges[0].finished_length_mm == pytest.approx(at_edge, rel=1e-6)
    # At one turn only: the surface is alike all round.
    inside = flat / 2 + 1e-6
    bent = quad(lambda v: curvature_element(surface, 1.0, v, 1e-3, 1e-2), inside, edge, limit=200)[0]
    assert work.gather_angle_rad == pytest.approx(2 * turn * bent, rel=CURVATURE)


def _arc_length(side: float, drop: float) -> float:
    """Length of an arc that starts level and falls by ``drop`` over ``side``, integrated along its chord."""
    radius = (side**2 + drop**2) / (2 * drop)
    return quad(lambda turned: radius, 0, math.acos(1 - drop / radius))[0]


@pytest.mark.parametrize(("across", "along"), [(20.0, 30.0), (90.0, 60.0), (6.0, 300.0)])
def test_crown_area_edge_and_curvature(across, along):
    work = worked("crown", width_mm=600.0, length_mm=900.0, width_height_mm=across, length_height_mm=along)
    radius = (450.0**2 + along**2) / (2 * along)
    turn = 2 * math.atan2(450.0, radius - along)
    surface, edge = swept(radius, 0.0, 300.0, across), _arc_length(300.0, across)
    area = dblquad(lambda v, u: element(surface, u, v, 1e-5, 1e-4), 0, turn, 1e-9, edge, epsrel=1e-8)[0]
    assert work.finished_area_mm2 == pytest.approx(2 * area, rel=1e-6)
    at_edge = quad(lambda u: np.linalg.norm(first(surface, u, edge, 1e-5, 1e-4)[0]), 0, turn)[0]
    assert work.edges[0].finished_length_mm == pytest.approx(at_edge, rel=1e-6)
    bent = quad(lambda v: curvature_element(surface, 0.5, v, 1e-3, 1e-1), 1e-3, edge)[0]
    assert work.gather_angle_rad == pytest.approx(2 * turn * bent, rel=CURVATURE)


@pytest.mark.parametrize("height", [3.0, 60.0, 149.0])
def test_dome_area_rim_and_curvature(height):
    work = worked("dome", diameter_mm=300.0, height_mm=height)

    ball = (150.0**2 + height**2) / (2 * height)
    rim = math.acos(1 - height / ball)

    def at(u: float, v: float) -> np.ndarray:
        """By turn u and angle v from the top, on the sphere through the rim and the top: a² + h² = 2Rh."""
        return ball * np.array([math.sin(v) * math.cos(u), math.sin(v) * math.sin(u), math.cos(v)])

    ring = quad(lambda v: element(at, 0.3, v, 1e-4, 1e-4), 0, rim)[0]
    assert work.finished_area_mm2 == pytest.approx(math.tau * ring, rel=1e-6)
    bent = quad(lambda v: curvature_element(at, 0.3, v, 1e-2, 1e-2 * rim), 1e-6, rim)[0]
    assert work.gather_angle_rad == pytest.approx(math.tau * bent, rel=CURVATURE)
    assert work.edges[0].finished_length_mm == pytest.approx(math.tau * at(0.0, rim)[0], rel=1e-9)


@pytest.mark.parametrize("height", [5.0, 60.0, 150.0])
def test_a_stretched_dome_holds_the_metal_of_its_disc(height):
    """Constant volume: thickness spread evenly over the cap's area is the disc's area at first thickness."""
    work = worked("dome", diameter_mm=300.0, height_mm=height, method="stretch")
    assert work.thinnest_mm * work.finished_area_mm2 == pytest.approx(1.2 * math.pi * 150.0**2, rel=1e-12)


PANELS = [
    ("arch", {"outside_radius_mm": 300.0, "turn_rad": turn, "bend_radius_mm": 20.0, "depth_mm": 80.0, "web_mm": web})
    for turn in (0.4, 1.1, 1.6, 2.5, 3.3, 5.0, 5.9, 6.2, math.tau)
    for web in (0.0, 120.0)
] + [
    ("arch", {"outside_radius_mm": 300.0, "turn_rad": 1.0, "bend_radius_mm": 20.0, "depth_mm": 80.0, "stretch": True}),
    # Nearly a whole turn round a small curve: its trim fills the opening.
    ("arch", {"outside_radius_mm": 60.0, "turn_rad": 5.8, "bend_radius_mm": 5.0, "depth_mm": 15.0}),
    ("arch", {"outside_radius_mm": 90.0, "turn_rad": 5.9, "bend_radius_mm": 5.0, "depth_mm": 15.0, "web_mm": 80.0}),
    ("tray", {"width_mm": 200.0, "length_mm": 350.0, "corner_radius_mm": 60.0, "bend_radius_mm": 5.0,
              "depth_mm": 30.0}),
    ("dome", {"diameter_mm": 300.0, "height_mm": 60.0}),
]  # fmt: skip


@pytest.mark.parametrize(("name", "given"), PANELS)
def test_the_blank_is_the_smallest_rectangle_round_the_flat_and_its_trim(name, given):
    work = worked(name, 19.05, **given)
    points = np.array(flatten(work.by_length.runs, 0.001))
    angles = np.radians(np.arange(0, 90, 0.1))
    across = points @ np.array([np.cos(angles), np.sin(angles)])
    along = points @ np.array([-np.sin(angles), np.cos(angles)])
    least = float(((np.ptp(across, axis=0) + 38.1) * (np.ptp(along, axis=0) + 38.1)).min())
    # The best angle may lie between two that were tried, never far below them.
    assert work.blank_width_mm * work.blank_length_mm == pytest.approx(least, rel=1e-3)
    assert work.blank_width_mm * work.blank_length_mm <= least * (1 + 1e-4)
