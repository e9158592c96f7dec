"""Random fields that repeat for the same seed: the irregularity in grain, lumps and hammer blows."""

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Field = NDArray[np.float32]
#: How sharp the ridge between two hammer marks is.
RIDGE = np.float32(14)


def enlarge(small: Field, shape: tuple[int, int]) -> Field:
    """Return ``small`` stretched smoothly to ``shape`` (rows, columns)."""
    image = Image.fromarray(np.ascontiguousarray(small, dtype=np.float32))
    return np.asarray(image.resize((shape[1], shape[0]), Image.Resampling.BICUBIC), dtype=np.float32)


def cloud(
    rng: np.random.Generator, shape: tuple[int, int], cells: tuple[float, float], octaves: int = 4
) -> Field:
    """Return noise of about -1 to 1 with ``cells`` (down, across) bumps in the coarsest octave."""
    total = np.zeros(shape, np.float32)
    weight = 1.0
    for octave in range(octaves):
        rows, columns = (
            min(max(2, round(cell * 2**octave) + 1), side) for cell, side in zip(cells, shape, strict=True)
        )
        total += weight * enlarge(rng.uniform(-1, 1, (rows, columns)).astype(np.float32), shape)
        weight *= 0.5
    return total


def lattice(rng: np.random.Generator) -> Field:
    """Return the table that ``at_points`` reads: random values that repeat every 128 cells."""
    return rng.uniform(-1, 1, (128, 128)).astype(np.float32)


def at_points(table: Field, x: Field, y: Field) -> Field:
    """Return smooth noise of -1 to 1 at scattered points, one bump to a unit."""
    column, row = np.floor(x), np.floor(y)
    fx, fy = x - column, y - row
    fx, fy = (f * f * f * (f * (f * 6 - 15) + 10) for f in (fx, fy))
    i, j = row.astype(np.int32) & 127, column.astype(np.int32) & 127
    i1, j1 = (i + 1) & 127, (j + 1) & 127
    upper = table[i, j] * (1 - fx) + table[i, j1] * fx
    lower = table[i1, j] * (1 - fx) + table[i1, j1] * fx
    return (upper * (1 - fy) + lower * fy).astype(np.float32)


def blows(rng: np.random.Generator, x: Field, y: Field) -> tuple[Field, Field]:
    """Return what one hammer blow to a unit square leaves: the facets' height (0 at a centre) and a value per facet.

    Each blow is a shallow bowl where its centre is the nearest; the ridges between facets stand where two meet.
    """
    jitter = rng.uniform(0.05, 0.95, (3, 64, 64)).astype(np.float32)
    column, row = np.floor(x).astype(np.int32), np.floor(y).astype(np.int32)
    total = np.zeros(x.shape, np.float32)
    facet = np.zeros(x.shape, np.float32)
    for down in (-1, 0, 1):
        for across in (-1, 0, 1):
            i, j = (row + down) & 63, (column + across) & 63
            dx = column + across + jitter[0][i, j] - x
            dy = row + down + jitter[1][i, j] - y
            distance = dx * dx + dy * dy
            share = np.exp(-RIDGE * distance)
            total += share
            facet += share * jitter[2][i, j]
    return -np.log(np.maximum(total, 1e-12)) / RIDGE, facet / np.maximum(total, 1e-12)


def blur(field: Field, radius: float) -> Field:
    """Return ``field`` (rows, columns or rows, columns, colours) softened over about ``radius`` cells."""
    reach = max(1, round(radius * 0.58))
    for axis in (0, 1):
        for _ in range(3):
            field = _box(field, reach, axis)
    return field


def _box(field: Field, reach: int, axis: int) -> Field:
    pad = [(0, 0)] * field.ndim
    pad[axis] = (reach + 1, reach)
    summed = np.cumsum(np.pad(field, pad, mode="edge"), axis=axis, dtype=np.float64)
    width = 2 * reach + 1
    ahead = np.take(summed, range(width, summed.shape[axis]), axis=axis)
    behind = np.take(summed, range(summed.shape[axis] - width), axis=axis)
    return ((ahead - behind) / width).astype(np.float32)


def step(low: float, high: float, value: Field) -> Field:
    """Return 0 below ``low``, 1 above ``high`` and a smooth rise between."""
    share = np.clip((value - low) / (high - low), 0, 1)
    return share * share * (3 - 2 * share)
