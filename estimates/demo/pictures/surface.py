"""A sheet as a grid of points, and which bit of it each sample of the picture sees."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .noise import Field

Index = NDArray[np.int32]
#: Columns of a vertex: place (3), where a step along the sheet's s and t leads (3 + 3), s and t, how far the
#: sheet's marks show there, and how open the place is to the room (1 all of it).
WIDTH = 13


@dataclass(frozen=True, slots=True)
class Mesh:
    """Vertices (rows of ``WIDTH`` numbers) and triangles (three vertex numbers each)."""

    vertices: Field
    triangles: Index


def grid(points: Field, sheet: Field, closed: bool) -> Mesh:
    """Return the mesh of ``points`` (rows, columns, 3) whose flat places are ``sheet`` (rows, columns, 2).

    ``closed``: the last column lies on the first, as round a disc.
    """
    pi, pj = _steps(points, closed)
    qi, qj = _steps(sheet, closed)
    turn = qi[..., 0] * qj[..., 1] - qi[..., 1] * qj[..., 0]
    turn = np.where(np.abs(turn) < 1e-9, 1e-9, turn)[..., None]
    along_s = (pi * qj[..., 1:] - pj * qi[..., 1:]) / turn
    along_t = (pj * qi[..., :1] - pi * qj[..., :1]) / turn
    shown = np.ones((*points.shape[:2], 2), np.float32)
    rows = np.concatenate([points, along_s, along_t, sheet, shown], axis=2).astype(np.float32)
    return Mesh(rows.reshape(-1, WIDTH), _triangles(*points.shape[:2]))


def rim(points: Field, sheet: Field, closed: bool, thickness: float) -> Mesh:
    """Return the cut edge: a ribbon as wide as the metal is thick, down from the outline of ``points``."""
    pi, pj = _steps(points, closed)
    normal = _unit(np.cross(pi, pj))
    normal *= np.where(normal[..., 2:].mean() < 0, -1, 1)
    border = [np.s_[-1, :]] if closed else [np.s_[0, :], np.s_[:, -1], np.s_[-1, ::-1], np.s_[::-1, 0]]
    top = np.concatenate([points[part] for part in border])
    down = np.concatenate([normal[part] for part in border]) * thickness
    flat = np.concatenate([sheet[part] for part in border])
    along = _unit(np.gradient(top, axis=0))
    plain = np.repeat([[0.0, 1.0]], len(top), axis=0)
    ribbon = [np.concatenate([place, along, _unit(down), flat, plain], axis=1) for place in (top, top - down)]
    return Mesh(np.concatenate(ribbon).astype(np.float32), _triangles(2, len(top)))


def join(meshes: list[Mesh]) -> Mesh:
    """Return several meshes as one."""
    starts = np.cumsum([0] + [len(mesh.vertices) for mesh in meshes[:-1]])
    triangles = [mesh.triangles + start for mesh, start in zip(meshes, starts, strict=True)]
    return Mesh(
        np.concatenate([mesh.vertices for mesh in meshes]), np.concatenate(triangles).astype(np.int32)
    )


def normals(points: Field, closed: bool) -> Field:
    """Return unit normals of a grid of points, upward on the whole."""
    pi, pj = _steps(points, closed)
    normal = _unit(np.cross(pi, pj))
    return normal if normal[..., 2].mean() > 0 else -normal


def _unit(vectors: Field) -> Field:
    return vectors / np.maximum(np.linalg.norm(vectors, axis=-1, keepdims=True), 1e-9)


def _steps(values: Field, closed: bool) -> tuple[Field, Field]:
    down = np.gradient(values, axis=0)
    if not closed:
        return down, np.gradient(values, axis=1)
    wrapped = np.concatenate([values[:, -2:-1], values, values[:, 1:2]], axis=1)
    return down, np.gradient(wrapped, axis=1)[:, 1:-1]


def _triangles(rows: int, columns: int) -> Index:
    corner = (np.arange(rows - 1)[:, None] * columns + np.arange(columns - 1)[None, :]).ravel()
    upper = np.stack([corner, corner + 1, corner + columns], axis=1)
    lower = np.stack([corner + 1, corner + columns + 1, corner + columns], axis=1)
    return np.concatenate([upper, lower]).astype(np.int32)


def seen(xy: Field, depth: Field, triangles: Index, shape: tuple[int, int]) -> tuple[Index, Index, Field]:
    """Return, for a picture of ``shape`` samples, which samples meet a triangle, which one, and where in it.

    ``xy`` are the vertices in samples, ``depth`` their distance. The last item holds the weights of the triangle's
    second and third corners. The nearest triangle wins. Triangles are taken by size, so each pass over the
    offsets in a small box tests one sample of thousands of triangles at once.
    """
    corners = xy[triangles]
    first, low = corners[:, 0], np.floor(corners.min(axis=1)).astype(np.int32)
    span = np.ceil(corners.max(axis=1)).astype(np.int32) - low
    e1, e2 = corners[:, 1] - first, corners[:, 2] - first
    area = e1[:, 0] * e2[:, 1] - e1[:, 1] * e2[:, 0]
    nearest, owner = (
        np.full(shape[0] * shape[1], np.inf, np.float32),
        np.full(shape[0] * shape[1], -1, np.int32),
    )
    size = (span + 1) // 2 * 2
    usable = (np.abs(area) > 1e-6) & (size.max(axis=1) < 400)
    key = size[:, 0] * 1024 + size[:, 1]
    with np.errstate(divide="ignore", invalid="ignore"):
        gain = np.stack([e2[:, 1], -e2[:, 0], -e1[:, 1], e1[:, 0]], axis=1) / area[:, None]
    for kind in np.unique(key[usable]):
        pick = np.flatnonzero(usable & (key == kind))
        offset = low[pick] + np.float32(0.5) - first[pick]
        box = (int(kind) // 1024, int(kind) % 1024)
        _fill(nearest, owner, pick, low[pick], offset, gain[pick], depth[triangles[pick]], box, shape)
    sample = np.flatnonzero(owner >= 0).astype(np.int32)
    tri = owner[sample]
    centre = np.stack([sample % shape[1], sample // shape[1]], axis=1) + np.float32(0.5) - first[tri]
    weights = np.stack([(centre * gain[tri, :2]).sum(axis=1), (centre * gain[tri, 2:]).sum(axis=1)])
    return sample, tri, weights.astype(np.float32)


def _fill(
    nearest: Field,
    owner: Index,
    pick: Index,
    low: Index,
    offset: Field,
    gain: Field,
    depth: Field,
    box: tuple[int, int],
    shape: tuple[int, int],
) -> None:
    """Try every sample of a ``box`` (across, down) against the picked triangles and keep the nearest."""
    start1 = offset[:, 0] * gain[:, 0] + offset[:, 1] * gain[:, 1]
    start2 = offset[:, 0] * gain[:, 2] + offset[:, 1] * gain[:, 3]
    d0, d1, d2 = depth[:, 0], depth[:, 1] - depth[:, 0], depth[:, 2] - depth[:, 0]
    for down in range(box[1]):
        for across in range(box[0]):
            w1 = start1 + across * gain[:, 0] + down * gain[:, 1]
            w2 = start2 + across * gain[:, 2] + down * gain[:, 3]
            hit = np.flatnonzero((w1 >= -1e-4) & (w2 >= -1e-4) & (w1 + w2 <= 1.0001))
            x, y = low[hit, 0] + across, low[hit, 1] + down
            inside = (x >= 0) & (y >= 0) & (x < shape[1]) & (y < shape[0])
            hit, place = hit[inside], (y * shape[1] + x)[inside]
            away = (d0[hit] + w1[hit] * d1[hit] + w2[hit] * d2[hit]).astype(np.float32)
            np.minimum.at(nearest, place, away)
            won = nearest[place] == away
            owner[place[won]] = pick[hit[won]]
