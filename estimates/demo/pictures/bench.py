"""The bench the work lies on: dark planks, worn and oiled, drawn flat and then seen through the lens."""

from functools import lru_cache

import numpy as np
from PIL import Image

from .noise import Field, cloud, step

#: The stretch of bench that is drawn: left, right, near, far. The unit is about the radius of a piece of work.
LEFT, RIGHT, NEAR, FAR = -4.0, 4.0, -3.0, 6.0
PLANK = 0.62
#: The linear light that 255 stands for.
BRIGHTEST = 0.16


PER_UNIT = 270
#: Left, near, right and far edge of the part drawn finer, and how fine.
FIBRES = (-2.2, -2.0, 2.2, 2.4)
FIBRES_PER_UNIT = 480


@lru_cache(maxsize=1)
def planks() -> Image.Image:
    """Return the shop's one bench from above, row 0 at the near edge, ``PER_UNIT`` cells to the unit.

    Colours are square roots of linear light, so that the dark wood keeps its steps.
    """
    rng, per_unit = np.random.default_rng(1871), PER_UNIT
    shape = (int((FAR - NEAR) * per_unit), int((RIGHT - LEFT) * per_unit))
    y = np.linspace(NEAR, FAR, shape[0], dtype=np.float32)[:, None] + np.float32(rng.uniform(0, PLANK))
    wander = cloud(rng, shape, (9, 3), 2) * 0.006
    board = np.floor(y / PLANK)[:, 0].astype(int) % 32
    across = (y / PLANK) % 1.0
    tone = 1 + 0.34 * (_grain(rng, shape, board) - 0.15)
    tone *= rng.uniform(0.78, 1.2, 32).astype(np.float32)[board][:, None]
    seam = np.minimum(across, 1 - across) * PLANK + wander
    tone *= 0.10 + 0.90 * step(0.003, 0.011, seam)
    tone *= 0.86 + 0.14 * step(0.0, 0.05, seam)
    tone *= 1 + 0.16 * cloud(rng, shape, (5, 5), 3)
    tone += _scratches(rng, shape)
    warm = rng.uniform(-1, 1, 32).astype(np.float32)[board][:, None]
    colour = np.stack(
        [0.052 + 0.004 * warm + 0 * tone, 0.046 + 0 * tone, 0.041 - 0.003 * warm + 0 * tone], axis=2
    )
    lit = np.sqrt(np.clip(colour * tone[..., None], 0.002, 1) / BRIGHTEST)
    return Image.fromarray((np.minimum(lit, 1) * 255).astype(np.uint8))


@lru_cache(maxsize=1)
def fibres() -> Image.Image:
    """Return the finest grain of the middle of the bench, where the lens is sharp: half grey is no change."""
    rng = np.random.default_rng(1872)
    left, near, right, far = FIBRES
    shape = (int((far - near) * FIBRES_PER_UNIT), int((right - left) * FIBRES_PER_UNIT))
    fine = cloud(rng, shape, (shape[0] / 3, 34), 2) + 0.8 * cloud(rng, shape, (shape[0] / 2, 150), 1)
    pores = np.minimum(0, cloud(rng, shape, (shape[0] / 3, 90), 1) + 0.45)
    return Image.fromarray(np.clip(127 + 34 * fine + 130 * pores, 0, 255).astype(np.uint8))


def _grain(rng: np.random.Generator, shape: tuple[int, int], board: np.ndarray) -> Field:
    """Long fibres, and the wider figure of the growth rings, shifted from board to board."""
    figure = cloud(rng, shape, (11, 2.2), 3) * 2.6 + np.linspace(0, 46, shape[0], dtype=np.float32)[:, None]
    figure += (board * 2.7 % 5).astype(np.float32)[:, None]
    rings = np.abs(((figure * 1.3) % 1.0) - 0.5) * 2
    fibre = cloud(rng, shape, (shape[0] / 6, 9), 2)
    coarse = cloud(rng, shape, (shape[0] / 22, 3), 2)
    pores = np.minimum(0, cloud(rng, shape, (shape[0] / 3, 70), 1) + 0.5)
    return 0.34 * (rings**2 - 0.4) + 0.42 * fibre + 0.42 * coarse + 1.5 * pores


def _scratches(rng: np.random.Generator, shape: tuple[int, int]) -> Field:
    """Pale tool marks: short straight scores at any angle."""
    marks = np.zeros(shape, np.float32)
    for _ in range(110):
        length = rng.uniform(0.01, 0.09) * shape[0]
        angle = rng.uniform(0, np.pi)
        along = np.linspace(0, 1, int(length) * 2)
        row = (rng.uniform(0, shape[0]) + along * length * np.sin(angle)).astype(int)
        column = (rng.uniform(0, shape[1]) + along * length * np.cos(angle)).astype(int)
        inside = (row >= 0) & (row < shape[0]) & (column >= 0) & (column < shape[1])
        marks[row[inside], column[inside]] = rng.uniform(-0.3, 0.42) * np.sin(np.pi * along[inside])
    return marks
