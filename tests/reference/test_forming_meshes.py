"""Every form's closed results against a fine triangle mesh of its finished mid-surface.

Source: the mesh library trimesh measures area and angle defects; the surfaces are built in ``surfaces.py`` from
the dimensions alone. Tolerance: area 0.1 %, total curvature 0.5 % (discrete Gauss-Bonnet, T. Watkins, San Jose
State University, "The Gauss-Bonnet theorem").
"""

import math

import numpy as np
import pytest
import trimesh

from jobs.forming import Marking, Sheet, Work, build, work_out
from tests.reference.surfaces import (
    bent_section,
    cap,
    developed,
    falling_section,
    revolved,
    total_curvature,
    trapezium,
)

AREA, CURVATURE = 1e-3, 5e-3
THICKNESS = 1.2


def worked(name: str, **values: object) -> Work:
    return work_out(build(name, values), Sheet(THICKNESS), Marking())


@pytest.mark.parametrize("stretch", [False, True])
@pytest.mark.parametrize("angle_deg", [20, 60, 90, 125])
@pytest.mark.parametrize("turn_deg", [35, 180, 360])
def test_arch(stretch, angle_deg, turn_deg):
    turn, angle, sign = math.radians(turn_deg), math.radians(angle_deg), -1 if stretch else 1
    work = worked(
        "arch",
        outside_radius_mm=260.0,
        turn_rad=turn,
        bend_radius_mm=24.4,
        depth_mm=60.0,
        bend_angle_rad=angle,
        stretch=stretch,
    )
    # Mid-surface of a 24.4 mm inside bend in 1.2 mm sheet: 25 mm. The depth is to the outer face.
    straight = (60.0 - 0.6 - 25 * (1 - math.cos(angle))) / math.sin(angle)
    start = 260.0 - sign * 0.6 - sign * 25 * math.sin(angle)
    flange = revolved(bent_section(start, sign, 25.0, angle, straight), turn)
    assert work.finished_area_mm2 == pytest.approx(flange.area, rel=AREA)
    assert work.edges[0].finished_length_mm == pytest.approx(_last_ring(flange, 65), rel=AREA)
    # A ring of web along the start line, so that the start line's own curvature is inside the mesh.
    web = [(start - sign * 5.0, 0.0)]
    whole = revolved(web + bent_section(start, sign, 25.0, angle, straight), turn, overhang=True)
    signed = work.gather_angle_rad - work.stretch_angle_rad
    assert signed == pytest.approx(total_curvature(whole), rel=CURVATURE)


def _last_ring(mesh: trimesh.Trimesh, columns: int) -> float:
    """Return the length of the mesh's last ring, its edge in space, chord by chord."""
    ring = mesh.vertices[columns - 1 :: columns]
    chords = np.linalg.norm(np.diff(ring, axis=0), axis=1)
    # A closed mesh has no second copy of where it began.
    is_closed = math.isclose(np.linalg.norm(ring[0] - ring[-1]), chords[0], rel_tol=1e-6)
    return float(chords.sum() + (chords[0] if is_closed else 0.0))


@pytest.mark.parametrize("stretch", [False, True])
def test_arch_with_its_web(stretch):
    sign = -1 if stretch else 1
    work = worked("arch", outside_radius_mm=260.0, turn_rad=2.0, bend_radius_mm=24.4, depth_mm=60.0, stretch=stretch,
                  web_mm=90.0)  # fmt: skip
    start = 260.0 - sign * 0.6 - sign * 25
    section = [(start - sign * 90.0, 0.0), *bent_section(start, sign, 25.0, math.pi / 2, 60 - 0.6 - 25)]
    assert work.finished_area_mm2 == pytest.approx(revolved(section, 2.0).area, rel=AREA)


@pytest.mark.parametrize(("flat", "drop"), [(60.0, 40.0), (0.0, 20.0), (150.0, 15.0), (20.0, 80.0)])
@pytest.mark.parametrize("turn_deg", [40, 170])
def test_sweep(flat, drop, turn_deg):
    turn = math.radians(turn_deg)
    work = worked("sweep", crown_radius_mm=330.0, turn_rad=turn, width_mm=180.0, flat_mm=flat, drop_mm=drop)
    side = (180 - flat) / 2
    mesh = revolved([(330 - below, at) for at, below in falling_section(flat, side, drop)], turn)
    assert work.finished_area_mm2 == pytest.approx(mesh.area, rel=AREA)
    beyond = [(330 - below, at) for at, below in falling_section(flat, side, drop, overhang=True)]
    curvature = total_curvature(revolved(beyond, turn, overhang=True))
    assert work.gather_angle_rad == pytest.approx(curvature, rel=CURVATURE)


@pytest.mark.parametrize(("across", "along"), [(20.0, 30.0), (5.0, 400.0), (150.0, 40.0)])
def test_crown(across, along):
    work = worked("crown", width_mm=600.0, length_mm=900.0, width_height_mm=across, length_height_mm=along)
    radius = (450.0**2 + along**2) / (2 * along)
    turn = 2 * math.atan2(450.0, radius - along)
    mesh = revolved([(radius - below, at) for at, below in falling_section(0.0, 300.0, across)], turn)
    assert work.finished_area_mm2 == pytest.approx(mesh.area, rel=AREA)
    beyond = [(radius - below, at) for at, below in falling_section(0.0, 300.0, across, overhang=True)]
    curvature = total_curvature(revolved(beyond, turn, overhang=True))
    assert work.gather_angle_rad == pytest.approx(curvature, rel=CURVATURE)


@pytest.mark.parametrize("height", [4.0, 60.0, 150.0])
def test_dome(height):
    work = worked("dome", diameter_mm=300.0, height_mm=height)
    assert work.finished_area_mm2 == pytest.approx(cap(300.0, height).area, rel=AREA)
    curvature = total_curvature(cap(300.0, height, overhang=True))
    assert work.gather_angle_rad == pytest.approx(curvature, rel=CURVATURE)


@pytest.mark.parametrize("turn_deg", [20, 180, 360])
def test_roll(turn_deg):
    turn = math.radians(turn_deg)
    work = worked("roll", width_mm=400.0, radius_mm=199.4, turn_rad=turn)
    path = [(200 * math.cos(turn * step / 600), 200 * math.sin(turn * step / 600)) for step in range(601)]
    mesh = developed(path, 400.0)
    assert work.finished_area_mm2 == pytest.approx(mesh.area, rel=AREA)
    assert total_curvature(mesh) == pytest.approx(work.gather_angle_rad, abs=1e-6)


@pytest.mark.parametrize("angle_deg", [30, 90, 120])
def test_fold(angle_deg):
    angle = math.radians(angle_deg)
    work = worked(
        "fold",
        width_mm=250.0,
        leg_mm=(40.0, 70.0, 30.0),
        bend_radius_mm=4.4,
        bend_angle_rad=angle,
        measured="straight",
    )
    mesh = developed(_walk((40.0, 70.0, 30.0), 5.0, angle), 250.0)
    assert work.finished_area_mm2 == pytest.approx(mesh.area, rel=AREA)
    assert work.gather_angle_rad == total_curvature(mesh) == 0


def _walk(legs: tuple[float, ...], radius: float, angle: float) -> list[tuple[float, float]]:
    """Return a path of straight legs joined by bends."""
    x, y, heading, path = 0.0, 0.0, 0.0, [(0.0, 0.0)]
    for number, leg in enumerate(legs):
        x, y = x + leg * math.cos(heading), y + leg * math.sin(heading)
        path.append((x, y))
        if number == len(legs) - 1:
            break
        for _ in range(60):
            chord, turned = 2 * radius * math.sin(angle / 120), angle / 60
            x, y = x + chord * math.cos(heading + turned / 2), y + chord * math.sin(heading + turned / 2)
            heading += turned
            path.append((x, y))
    return path


@pytest.mark.parametrize("angle_deg", [45, 90])
def test_tray(angle_deg):
    angle = math.radians(angle_deg)
    work = worked(
        "tray",
        width_mm=300.0,
        length_mm=400.0,
        corner_radius_mm=50.0,
        bend_radius_mm=5.4,
        depth_mm=30.0,
        bend_angle_rad=angle,
    )
    straight = (30.0 - 0.6 - 6 * (1 - math.cos(angle))) / math.sin(angle)
    start = 50.0 - 0.6 - 6 * math.sin(angle)
    mesh = _tray_mesh(400.0, 300.0, 50.0, bent_section(start, 1, 6.0, angle, straight, 60))
    assert work.finished_area_mm2 == pytest.approx(mesh.area, rel=AREA)
    assert work.gather_angle_rad == pytest.approx(total_curvature(mesh), rel=CURVATURE)


def _tray_mesh(
    long: float, wide: float, corner: float, section: list[tuple[float, float]]
) -> trimesh.Trimesh:
    """Return web and flange as one mesh: rings round the rounded rectangle, the web a fan to its middle."""
    steps, ring = 40, []
    for quarter, (sx, sy) in enumerate([(1, 1), (-1, 1), (-1, -1), (1, -1)]):
        centre = sx * (long / 2 - corner), sy * (wide / 2 - corner)
        for step in range(steps + 1):
            ring.append((*centre, math.pi / 2 * (quarter + step / steps)))
    points = [
        (x + radius * math.cos(angle), y + radius * math.sin(angle), height)
        for x, y, angle in ring
        for radius, height in section
    ]
    rows, columns = len(ring), len(section)
    faces = []
    for row in range(rows):
        below = (row + 1) % rows
        faces.append((rows * columns, row * columns, below * columns))
        for column in range(columns - 1):
            a, c = row * columns + column, below * columns + column
            faces += [(a, c, a + 1), (a + 1, c, c + 1)]
    return trimesh.Trimesh(np.array([*points, (0.0, 0.0, 0.0)]), np.array(faces), process=False)


def test_the_measuring_itself_on_a_whole_sphere():
    """A ball of radius 1: area 4π, curvature 4π; trimesh and the defects agree with both."""
    ball = trimesh.creation.icosphere(subdivisions=5)
    assert ball.area == pytest.approx(4 * math.pi, rel=AREA)
    assert float(ball.vertex_defects.sum()) == pytest.approx(4 * math.pi, rel=1e-9)


def test_moved_metal_is_what_the_mesh_lacks_of_the_flat():
    """Flat ring sector by trapezium rule less the meshed flange, within 0.1 % of the flange's area."""
    work = worked("arch", outside_radius_mm=260.0, turn_rad=1.9, bend_radius_mm=24.4, depth_mm=60.0)
    start, developed_length = 260.0 - 0.6 - 25, 25 * math.pi / 2 + 60 - 0.6 - 25
    flat = trapezium(lambda s: 1.9 * (start + s), 0.0, developed_length)
    flange = revolved(bent_section(start, 1, 25.0, math.pi / 2, 60 - 0.6 - 25), 1.9)
    assert work.moved_area_mm2 == pytest.approx(flat - flange.area, abs=AREA * flange.area)
