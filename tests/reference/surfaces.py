"""Finished mid-surfaces as fine triangle meshes, built from their dimensions alone and measured by trimesh.

Nothing of the forming package is used here: a section is walked point by point and carried round its arc.

Angle defects belong to the vertices inside a mesh, each standing for half a cell on every side. A mesh whose
curvature is measured therefore overhangs the panel by half a cell wherever the panel is still curving at its
edge, so that the cells of its inside vertices cover the panel and no more.
"""

import math
from collections.abc import Callable, Sequence

import numpy as np
import trimesh

Section = list[tuple[float, float]]


def bent_section(
    start_radius: float, sign: int, bend_radius: float, angle: float, straight: float, steps: int = 60
) -> Section:
    """Return points (radius, height) along a flange: bend first, then the straight part."""
    points = [
        (
            start_radius + sign * bend_radius * math.sin(angle * step / steps),
            bend_radius * (1 - math.cos(angle * step / steps)),
        )
        for step in range(steps + 1)
    ]
    radius, height = points[-1]
    for step in range(1, 5):
        along = straight * step / 4
        points.append((radius + sign * along * math.cos(angle), height + along * math.sin(angle)))
    return points


def falling_section(
    flat: float, side: float, drop: float, steps: int = 60, *, overhang: bool = False
) -> Section:
    """Return points (across, below the crown) of a section: flat middle, an arc down on both sides."""
    radius = (side * side + drop * drop) / (2 * drop)
    angle = math.asin(min(1.0, side / radius))
    if drop > side * (1 - 1e-9):
        angle = math.pi / 2
    half = [
        (flat / 2 + radius * math.sin(each), radius * (1 - math.cos(each)))
        for each in steps_of(angle, steps, overhang=overhang)
        if each > 0
    ]
    if flat > 0 or not overhang:
        half = [(flat / 2, 0.0), *half]
    mirrored = [(-across, below) for across, below in reversed(half)]
    return mirrored + (half if flat > 0 or overhang else half[1:])


def steps_of(whole: float, steps: int, *, overhang: bool) -> list[float]:
    """Return equal steps from 0 to a whole, or the middles of the steps and half a step beyond both ends."""
    if overhang:
        return [whole * (step + 0.5) / steps for step in range(-1, steps + 1)]
    return [whole * step / steps for step in range(steps + 1)]


def revolved(section: Section, turn: float, steps: int = 120, *, overhang: bool = False) -> trimesh.Trimesh:
    """Return a section of (radius, height) carried round the vertical axis; a full turn is closed."""
    closed = math.isclose(turn, math.tau)
    angles = steps_of(turn, steps, overhang=overhang and not closed)
    angles = angles[:-1] if closed else angles
    points = [
        (radius * math.cos(angle), radius * math.sin(angle), height)
        for angle in angles
        for radius, height in section
    ]
    return _grid(points, len(angles), len(section), closed)


def _grid(
    points: Sequence[tuple[float, float, float]], rows: int, columns: int, closed: bool
) -> trimesh.Trimesh:
    faces = []
    for row in range(rows if closed else rows - 1):
        below = (row + 1) % rows
        for column in range(columns - 1):
            a, b = row * columns + column, row * columns + column + 1
            c, d = below * columns + column, below * columns + column + 1
            faces += [(a, c, b), (b, c, d)]
    return trimesh.Trimesh(np.array(points), np.array(faces), process=False, validate=False)


def developed(path: Sequence[tuple[float, float]], width: float) -> trimesh.Trimesh:
    """Return a path in the plane, drawn out to a width."""
    points = [(x, y, z) for x, y in path for z in (0.0, width)]
    return _grid(points, len(path), 2, closed=False)


def cap(diameter: float, height: float, steps: int = 120, *, overhang: bool = False) -> trimesh.Trimesh:
    """Return a spherical cap, its top one point."""
    rim, round_steps = diameter / 2, 120
    ball = (rim * rim + height * height) / (2 * height)
    angle = math.atan2(rim, ball - height)
    section = [
        (ball * math.sin(each), ball * math.cos(each))
        for each in steps_of(angle, steps, overhang=overhang)
        if each > 0
    ]
    skirt = revolved(section, math.tau, round_steps)
    top, columns = len(skirt.vertices), len(section)
    faces = [(top, row * columns, (row + 1) % round_steps * columns) for row in range(round_steps)]
    return trimesh.Trimesh(
        np.vstack([skirt.vertices, (0.0, 0.0, ball)]), np.vstack([skirt.faces, faces]), process=False
    )


def total_curvature(mesh: trimesh.Trimesh) -> float:
    """Return the sum of angle defects over the vertices inside the mesh, radians (Gauss-Bonnet)."""
    edges = np.sort(mesh.edges, axis=1)
    unique, counts = np.unique(edges, axis=0, return_counts=True)
    boundary = np.unique(unique[counts == 1])
    inside = np.setdiff1d(np.unique(mesh.faces), boundary)
    return float(mesh.vertex_defects[inside].sum())


def trapezium(function: Callable[[float], float], low: float, high: float, steps: int = 20000) -> float:
    """Return an integral by the plainest rule there is."""
    width = (high - low) / steps
    inner = math.fsum(function(low + width * step) for step in range(1, steps))
    return width * (inner + (function(low) + function(high)) / 2)
