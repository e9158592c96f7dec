"""The camera: where a place on the bench falls in the picture, and the bench as the camera sees it."""

from dataclasses import dataclass

import numpy as np
from PIL import Image

from .bench import LEFT, NEAR
from .noise import Field


@dataclass(frozen=True, slots=True)
class Camera:
    """A pinhole camera: ``eye`` in bench units, ``frame`` its right, up and forward, ``focal`` in pixels."""

    eye: Field
    frame: Field
    focal: float
    size: tuple[int, int]

    def project(self, places: Field) -> tuple[Field, Field]:
        """Return where ``places`` fall, in pixels across and down, and how far off they are."""
        seen = (places - self.eye) @ self.frame.T
        x = seen[:, 0] / seen[:, 2] * self.focal + self.size[0] / 2
        y = -seen[:, 1] / seen[:, 2] * self.focal + self.size[1] / 2
        return np.stack([x, y], axis=1).astype(np.float32), seen[:, 2].astype(np.float32)

    def ground(self) -> Field:
        """Return the 3 x 3 matrix from a pixel (x, y, 1) to a place on the bench (x, y, 1)."""
        right, up, forward = self.frame
        ray = np.stack(
            [right, -up, forward * self.focal - right * self.size[0] / 2 + up * self.size[1] / 2], axis=1
        )
        x, y, z = self.eye
        return np.stack([x * ray[2] - z * ray[0], y * ray[2] - z * ray[1], ray[2]])

    def lay(
        self,
        flat: Image.Image,
        per_unit: int,
        turn: float = 0.0,
        slide: tuple[float, float] = (0.0, 0.0),
        corner: tuple[float, float] = (LEFT, NEAR),
    ) -> Image.Image:
        """Return ``flat``, the bench from above with its near left ``corner`` there, as the camera sees it.

        The bench is first turned and slid. Beyond it lies half grey if it has no colours, else nothing (0).
        """
        cos, sin = np.cos(turn), np.sin(turn)
        move = np.array([[cos, -sin, slide[0]], [sin, cos, slide[1]], [0, 0, 1]])
        cells = np.array(
            [[per_unit, 0, -corner[0] * per_unit], [0, per_unit, -corner[1] * per_unit], [0, 0, 1]]
        )
        matrix = cells @ move @ self.ground()
        matrix /= matrix[2, 2]
        method = Image.Transform.PERSPECTIVE
        beyond = 127 if flat.mode == "L" else None
        fine = Image.Resampling.BICUBIC if flat.mode != "F" else Image.Resampling.BILINEAR
        return flat.transform(self.size, method, tuple(matrix.ravel()[:8]), fine, fillcolor=beyond)


def stand(
    size: tuple[int, int], look: tuple[float, float, float], away: float, pitch: float, wide: float
) -> Camera:
    """Return the camera ``away`` from ``look``, ``pitch`` radians above it, ``wide`` units across at that distance."""
    forward = np.array([0.0, np.cos(pitch), -np.sin(pitch)])
    right, up = np.array([1.0, 0.0, 0.0]), np.array([0.0, np.sin(pitch), np.cos(pitch)])
    eye = np.array(look) - forward * away
    return Camera(eye.astype(np.float32), np.stack([right, up, forward]), size[0] * away / wide, size)


def frame(places: Field, size: tuple[int, int], pitch: float) -> Camera:
    """Return a camera that holds all ``places`` in the middle of the picture with air round them."""
    low, high = places.min(axis=0), places.max(axis=0)
    look, wide = (low + high) / 2, float(high[0] - low[0]) * 1.3
    for _ in range(3):
        camera = stand(size, tuple(look), 1.62 * wide, pitch, wide)
        xy, _depth = camera.project(places)
        least, most = xy.min(axis=0), xy.max(axis=0)
        off = (least + most) / 2 - np.array(size) / 2
        shift = camera.frame[0] * off[0] - camera.frame[1] * (off[1] - 0.01 * size[1])
        look = look + shift / camera.focal * 1.62 * wide
        wide *= float(max((most - least)[0] / (0.80 * size[0]), (most - least)[1] / (0.70 * size[1])))
    return stand(size, tuple(look), 1.62 * wide, pitch, wide)


def flat_image(field: Field) -> Image.Image:
    """Return a map of the bench as a picture that ``lay`` takes."""
    return Image.fromarray(np.ascontiguousarray(field, dtype=np.float32))
