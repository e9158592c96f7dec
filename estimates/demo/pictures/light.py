"""The shop's lamps: what a polished face mirrors, and the shadow the work throws on the bench."""

from functools import lru_cache

import numpy as np

from .bench import FAR, LEFT, NEAR, RIGHT
from .noise import Field, blur, step

#: Towards the main lamp.
LAMP = np.array([-0.50, 0.30, 0.81], np.float32)
SIDE = 320
EDGE = 1.25
#: How far each copy of the room is softened, in its own cells; a rougher face mirrors a softer copy.
SOFTNESS = (0.0, 3.0, 8.0, 20.0, 48.0)


@lru_cache(maxsize=1)
def room() -> Field:
    """Return what hangs over the bench, in ever softer copies: (copy, row, column, colour), linear light.

    A direction (x, y, z), z upward, is found at x / (1 + z), y / (1 + z): straight up in the middle, the horizon on
    the unit circle.
    """
    span = np.linspace(-EDGE, EDGE, SIDE, dtype=np.float32)
    p, q = np.meshgrid(span, span)
    square = p * p + q * q
    x, y, z = 2 * p / (1 + square), 2 * q / (1 + square), (1 - square) / (1 + square)
    light = _walls(x, y, z) + _window(x, y, z) + _lamps(x, y, z)
    return np.stack([light if soft == 0 else blur(light, soft) for soft in SOFTNESS]).astype(np.float32)


def _tint(amount: Field, colour: tuple[float, float, float]) -> Field:
    return amount[..., None] * np.array(colour, np.float32)


def _walls(x: Field, y: Field, z: Field) -> Field:
    """A dim shed: dark rafters overhead, a wall behind the bench lit from one side, and dark behind the camera."""
    back = step(-0.1, 0.9, y) * step(0.95, 0.15, z)
    base = 0.055 + 0.24 * back * (0.35 + 0.65 * step(0.75, -0.75, x)) + 0.10 * step(0.5, 0.0, z)
    rafters = 0.72 + 0.28 * np.cos(11 * x / np.maximum(z, 0.3))
    return _tint(base * np.where(z > 0.45, rafters, 1), (1.0, 0.93, 0.85))


def _pane(a: Field, b: Field, low: tuple[float, float], high: tuple[float, float], soft: float) -> Field:
    across = step(low[0] - soft, low[0] + soft, a) * (1 - step(high[0] - soft, high[0] + soft, a))
    return across * step(low[1] - soft, low[1] + soft, b) * (1 - step(high[1] - soft, high[1] + soft, b))


def _window(x: Field, y: Field, z: Field) -> Field:
    """A tall shop window on the left, two panes by two, cool daylight that fades towards the sill."""
    front = -x > 0.05
    a, b = y / np.maximum(-x, 0.05), z / np.maximum(-x, 0.05)
    panes = _pane(a, b, (-0.60, 0.28), (1.0, 1.75), 0.05) * (0.45 + 0.40 * b)
    bars = step(0.02, 0.06, np.abs(a - 0.2)) * step(0.02, 0.05, np.abs(b - 1.0))
    return _tint(np.where(front, panes * (0.30 + 0.70 * bars), 0), (1.75, 1.95, 2.2))


def _lamps(x: Field, y: Field, z: Field) -> Field:
    """Long warm lamps over the bench, one farther back, and a pale screen behind the camera on the right."""
    up = np.maximum(z, 0.05)
    a, b = x / up, y / up
    lamps = (
        _pane(a, b, (-0.85, 0.36), (1.0, 0.62), 0.09) * 2.5
        + _pane(a, b, (-0.65, -0.55), (0.9, -0.34), 0.10) * 1.6
    )
    lamps += _pane(a, b, (-1.7, 1.20), (0.15, 1.75), 0.30) * 0.85
    aside = np.maximum(x, 0.05)
    fill = np.where(x > 0.05, _pane(y / aside, z / aside, (-1.2, 0.15), (0.0, 0.85), 0.3), 0) * 0.75
    return _tint(np.where(z > 0.05, lamps, 0), (1.0, 0.91, 0.78)) + _tint(fill, (1.0, 0.93, 0.85))


def mirrored(copies: Field, direction: tuple[Field, Field, Field], rough: Field) -> Field:
    """Return the light from an upward ``direction`` as a face of roughness 0 to 1 gives it back, colour last."""
    x, y, z = direction
    scale = (SIDE - 1) / (2 * EDGE) / (1 + np.maximum(z, -0.1))
    column = np.clip(x * scale + (SIDE - 1) / 2, 0, SIDE - 1.001)
    row = np.clip(y * scale + (SIDE - 1) / 2, 0, SIDE - 1.001)
    level = np.clip(rough, 0, 1) * (len(SOFTNESS) - 1.001)
    i, j, k = row.astype(np.int32), column.astype(np.int32), level.astype(np.int32)
    fi, fj, fk = (row - i)[:, None], (column - j)[:, None], (level - k)[:, None]
    flat = copies.reshape(-1, 3)
    place = (k * SIDE + i) * SIDE + j
    soft = flat[place + SIDE * SIDE + np.where(fi[:, 0] > 0.5, SIDE, 0)]
    upper = flat[place] * (1 - fj) + flat[place + 1] * fj
    lower = flat[place + SIDE] * (1 - fj) + flat[place + SIDE + 1] * fj
    return (upper * (1 - fi) + lower * fi) * (1 - fk) + soft * fk


class Shade:
    """How much light reaches the bench round the work: maps of the whole bench, row 0 at its near edge."""

    PER_UNIT = 42

    def __init__(self, places: Field) -> None:
        """Lay the shadow of ``places`` (points on the work, 3 numbers each) on the bench."""
        self.shape = (int((FAR - NEAR) * self.PER_UNIT), int((RIGHT - LEFT) * self.PER_UNIT))
        height = np.maximum(places[:, 2], 0)
        slide = LAMP[:2] / LAMP[2]
        tall = max(float(height.max()), 0.05)
        self.lamp = np.ones(self.shape, np.float32)
        for low, high, soft in ((0.0, 0.15, 2.0), (0.1, 0.45, 5.0), (0.4, 1.01, 10.0)):
            part = (height >= low * tall - 0.001) & (height <= high * tall)
            thrown = self._covered(places[part, :2] - slide * height[part, None])
            self.lamp *= 1 - 0.86 * blur(thrown, max(1.0, soft * min(1.0, tall / 0.5)))
        near, under = self._covered(places[height < 0.06, :2]), self._covered(places[:, :2])
        self.under = under
        thin = min(1.0, 0.15 + 3 * tall)
        self.sky = (1 - (0.30 + 0.32 * thin) * blur(near, 3)) * (1 - 0.55 * thin * blur(under, 12))
        self.sky *= 1 - 0.25 * thin * blur(under, 30)
        self.glow = blur(under, 18) * (1 - 0.5 * blur(near, 2))
        self.height = np.zeros(self.shape, np.float32)
        np.maximum.at(self.height, self._cells(places[:, :2]), places[:, 2].astype(np.float32))

    def _cells(self, xy: Field) -> tuple[Field, Field]:
        row = np.clip((xy[:, 1] - NEAR) * self.PER_UNIT, 0, self.shape[0] - 1).astype(np.int32)
        column = np.clip((xy[:, 0] - LEFT) * self.PER_UNIT, 0, self.shape[1] - 1).astype(np.int32)
        return row, column

    def _covered(self, xy: Field) -> Field:
        covered = np.zeros(self.shape, np.float32)
        covered[self._cells(xy)] = 1
        return covered

    def hollow(self) -> Field:
        """Return how shut in each place is by what stands round it, 0 open to 1 deep."""
        shut = np.zeros_like(self.height)
        for reach, gain in ((3, 5.0), (8, 2.6), (18, 1.5)):
            shut += gain * np.maximum(0, blur(self.height, reach) - self.height - 0.02)
        return np.clip(blur(shut, 1.5), 0, 1)

    def read(self, field: Field, x: Field, y: Field) -> Field:
        """Return ``field`` (one number or one colour a cell) at places on the bench, from the nearest cells."""
        column = np.clip((x - LEFT) * self.PER_UNIT - 0.5, 0, self.shape[1] - 1.001)
        row = np.clip((y - NEAR) * self.PER_UNIT - 0.5, 0, self.shape[0] - 1.001)
        i, j = row.astype(np.int32), column.astype(np.int32)
        fi, fj = row - i, column - j
        if field.ndim == 3:
            fi, fj = fi[:, None], fj[:, None]
        upper = field[i, j] * (1 - fj) + field[i, j + 1] * fj
        return upper * (1 - fi) + (field[i + 1, j] * (1 - fj) + field[i + 1, j + 1] * fj) * fi
