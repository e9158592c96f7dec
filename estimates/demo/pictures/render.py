"""Put the pieces on the bench and take the picture."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter

from .bench import BRIGHTEST, FIBRES, FIBRES_PER_UNIT, LEFT, NEAR, PER_UNIT, fibres, planks
from .light import LAMP, Shade, mirrored, room
from .marks import Marks
from .metals import Coat, Metal
from .noise import Field, blur, step
from .surface import Index, Mesh, join, seen
from .view import Camera, flat_image

#: Below this width a picture of the work takes 3 samples each way in a pixel, all coloured; from it on, 2, of which
#: half are coloured inside outlines. The bench is soft enough to need one.
WIDE = 1000
#: Samples coloured at a time: few enough to stay in the processor's cache.
BATCH = 32768
Vector = tuple[Field, Field, Field]


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing on the bench."""

    mesh: Mesh
    marks: Marks
    metal: Metal
    coat: Coat


def shoot(pieces: list[Piece], camera: Camera, turn: float, rng: np.random.Generator) -> Image.Image:
    """Return the picture of ``pieces`` on the bench, whose planks lie ``turn`` radians round."""
    shade = Shade(np.concatenate([_solid(piece) for piece in pieces]))
    slide = (float(rng.uniform(-0.3, 0.3)), float(rng.uniform(-0.3, 0.3)))
    picture = _bench(shade, camera, turn, slide, pieces[0])
    colour, cover = _work(pieces, shade, camera)
    picture = picture * (1 - cover[..., None]) + colour
    return _develop(picture, rng)


def _solid(piece: Piece) -> Field:
    """Return the places of a piece's vertices, but those where it is cut away."""
    rows = piece.mesh.vertices
    return rows[piece.marks.read(rows[:, 9], rows[:, 10])[:, 5] > 0.5, :3]


def _bench(shade: Shade, camera: Camera, turn: float, slide: tuple[float, float], piece: Piece) -> Field:
    wood = np.asarray(camera.lay(planks(), PER_UNIT, turn, slide), dtype=np.float32) / 255
    fine = np.asarray(camera.lay(fibres(), FIBRES_PER_UNIT, turn, slide, FIBRES[:2]), dtype=np.float32)
    wood = wood * wood * BRIGHTEST * (0.62 + 0.003 * fine)[..., None]
    maps = (_pool(shade) * shade.lamp, shade.sky, shade.glow)
    lamp, sky, glow = (np.asarray(camera.lay(flat_image(field), Shade.PER_UNIT)) for field in maps)
    light = lamp[..., None] * np.array([2.3, 2.15, 1.95], np.float32)
    light += sky[..., None] * np.array([0.46, 0.50, 0.56], np.float32)
    light += glow[..., None] * np.array(piece.metal.mirror, np.float32) ** 2 * 0.35
    return _soften_far(_tone(wood * light))


def _pool(shade: Shade) -> Field:
    """The lamps' pool of light on the bench, brightest a little left of the work."""
    rows, columns = shade.shape
    x = LEFT + np.arange(columns, dtype=np.float32)[None, :] / shade.PER_UNIT
    y = NEAR + np.arange(rows, dtype=np.float32)[:, None] / shade.PER_UNIT
    return 0.30 + 0.78 * np.exp(-(((x + 0.3) / 2.2) ** 2) - ((y - 0.2) / 1.9) ** 2)


def _soften_far(picture: Field) -> Field:
    """Let the far edge of the bench fall out of focus, and the nearest a little."""
    rows = picture.shape[0]
    image = Image.fromarray((np.sqrt(picture) * 255).astype(np.uint8))
    soft = np.asarray(image.filter(ImageFilter.GaussianBlur(rows / 260)), dtype=np.float32) / 255
    row = np.linspace(0, 1, rows, dtype=np.float32)
    share = np.maximum(step(0.34, 0.0, row), 0.8 * step(0.86, 1.0, row))[:, None, None]
    return picture * (1 - share) + soft * soft * share


def _work(pieces: list[Piece], shade: Shade, camera: Camera) -> tuple[Field, Field]:
    """Return the pieces' colour times their cover, and their cover, a pixel each."""
    mesh = join([piece.mesh for piece in pieces])
    ends = np.cumsum([len(piece.mesh.triangles) for piece in pieces])
    xy, depth = camera.project(mesh.vertices[:, :3])
    fine = 2 if camera.size[0] >= WIDE else 3
    shape = (camera.size[1] * fine, camera.size[0] * fine)
    sample, triangle, weights = seen(xy * fine, depth, mesh.triangles, shape)
    floor = _floor(shade)
    mesh.vertices[:, 12] = _open(mesh.vertices, shade)
    pixel = (sample // shape[1] // fine) * camera.size[0] + sample % shape[1] // fine
    cover = np.bincount(pixel, minlength=camera.size[0] * camera.size[1]).astype(np.float32) / fine**2
    chosen = _chosen(sample, shape[1], (cover[pixel] < 1) | (fine == 3))
    total = np.zeros((camera.size[0] * camera.size[1], 4), np.float32)
    for number, piece in enumerate(pieces):
        mine = chosen[np.searchsorted(ends, triangle[chosen], side="right") == number]
        for start in range(0, len(mine), BATCH):
            part = mine[start : start + BATCH]
            spot = _spots(mesh, triangle[part], weights[:, part])
            lit = _shade(spot, piece, shade, floor, camera.eye)
            _gather(total, pixel[part], lit)
    drawn = np.bincount(pixel[chosen], minlength=len(cover)).astype(np.float32)
    total *= (cover / np.maximum(drawn, 1))[:, None]
    total = total.reshape(camera.size[1], camera.size[0], 4)
    return total[..., :3], total[..., 3]


def _spots(mesh: Mesh, triangle: Index, weights: Field) -> Field:
    """Return what the vertices say (a row each) at places inside triangles."""
    corners = mesh.triangles[triangle]
    first = mesh.vertices[corners[:, 0]]
    spot = first + (mesh.vertices[corners[:, 1]] - first) * weights[0][:, None]
    spot += (mesh.vertices[corners[:, 2]] - first) * weights[1][:, None]
    return np.ascontiguousarray(spot.T)


def _open(vertices: Field, shade: Shade) -> Field:
    """Return how much of the room each vertex sees: less in a hollow, and least under the work."""
    x, y, z = vertices[:, 0], vertices[:, 1], vertices[:, 2]
    beneath = step(0.04, 0.30, shade.read(shade.height, x, y) - z)
    return (1 - 0.72 * shade.read(shade.hollow(), x, y)) * (1 - 0.55 * beneath)


def _chosen(sample: Index, columns: int, on_edge: NDArray[np.bool_]) -> Index:
    """Return which samples to colour: every other one, like a chessboard, but all at an outline."""
    return np.flatnonzero(((sample // columns + sample % columns) % 2 == 0) | on_edge)


def _gather(total: Field, pixel: Field, lit: Field) -> None:
    low = int(pixel.min())
    span = int(pixel.max()) - low + 1
    for channel in range(4):
        total[low : low + span, channel] += np.bincount(pixel - low, lit[:, channel], span).astype(np.float32)


def _floor(shade: Shade) -> Field:
    """What lies low, from above and coarse, for the metal to mirror: the lit bench, and how far it is the work."""
    flat = planks().resize((shade.shape[1], shade.shape[0]), Image.Resampling.BOX)
    wood = (np.asarray(flat, dtype=np.float32) / 255) ** 2 * BRIGHTEST
    lit = wood * (1.9 * _pool(shade) * shade.lamp + 0.5 * shade.sky)[..., None]
    low = blur(shade.under * step(0.16, 0.06, shade.height), 2)
    return np.concatenate([lit, low[..., None]], axis=2).astype(np.float32)


def _cross(a: Vector, b: Vector) -> Vector:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def _dot(a: Vector, b: Vector) -> Field:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _unit(a: Vector) -> Vector:
    scale = 1 / np.sqrt(np.maximum(_dot(a, a), 1e-12))
    return a[0] * scale, a[1] * scale, a[2] * scale


def _facing(spot: Field, layers: Field, ray: Vector) -> Vector:
    """Return the unit normal towards the camera, tilted by the marks' slopes."""
    along_s, along_t = tuple(spot[3:6]), tuple(spot[6:9])
    plain = _unit(_cross(along_s, along_t))
    side = np.where(_dot(plain, ray) > 0, -1, 1)
    hs, ht = layers[:, 0] * spot[11], layers[:, 1] * spot[11]
    tilt_s, tilt_t = _cross(plain, along_t), _cross(along_s, plain)
    flat = _cross(along_s, along_t)
    size = np.sqrt(np.maximum(_dot(plain, plain), 1e-9))
    tilted = _unit(tuple(flat[k] + (hs * tilt_s[k] + ht * tilt_t[k]) * size for k in range(3)))
    return tilted[0] * side, tilted[1] * side, tilted[2] * side


def _shade(spot: Field, piece: Piece, shade: Shade, floor: Field, eye: Field) -> Field:
    """Return what the camera gets from each spot (columns): colour ready to add up, and 1 where there is metal."""
    layers = piece.marks.read(spot[9], spot[10])
    ray = _unit((spot[0] - eye[0], spot[1] - eye[1], spot[2] - eye[2]))
    normal = _facing(spot, layers, ray)
    facing = np.maximum(-_dot(normal, ray), 0.02)
    bounce = tuple(ray[k] + 2 * facing * normal[k] for k in range(3))
    rough, coat, stain = layers[:, 2], layers[:, 3, None], layers[:, 4, None]
    mirror = np.array(piece.metal.mirror, np.float32)
    shine = _bounced(spot, bounce, normal, rough, shade, floor, mirror) * spot[12][:, None]
    soft = _soft(normal) * (spot[12] * (0.45 + 0.55 * step(-0.02, 0.25, spot[2] + 0.2 * normal[2])))[:, None]
    edge = ((1 - facing) ** 5)[:, None]
    tint = mirror + (1 - mirror) * edge
    metal = shine * tint * (1 - 0.12 * rough[:, None]) + soft * mirror * mirror * 0.07
    metal = (
        metal * (1 - stain)
        + (soft * np.array(piece.metal.oxide, np.float32) + 0.35 * shine * tint * stain) * stain
    )
    through, own = np.array(piece.coat.through, np.float32), np.array(piece.coat.colour, np.float32)
    film = soft * own * (1 - 0.8 * stain) + (piece.coat.gloss + (piece.coat.gloss > 0) * edge * 0.5) * shine
    colour = metal * (1 - coat) + (metal * through + film) * coat
    here = (layers[:, 5] > 0.5).astype(np.float32)[:, None]
    return np.concatenate([_tone(colour) * here, here], axis=1)


def _bounced(
    spot: Field, bounce: Vector, normal: Vector, rough: Field, shade: Shade, floor: Field, mirror: Field
) -> Field:
    """Return what a mirror at the spot shows: the room above, or the bench below, or the work's own flat part."""
    above = mirrored(room(), bounce, rough)
    down = np.maximum(-bounce[2], 0.06)
    reach = np.minimum(spot[2] / down, 4.0)
    below = shade.read(floor, spot[0] + bounce[0] * reach, spot[1] + bounce[1] * reach)
    below, low = below[:, :3], below[:, 3] * step(0.02, 0.08, normal[2])
    again = np.flatnonzero((low > 0.02) & (bounce[2] < 0.2))
    if len(again):
        # The flat part is a mirror too: it sends the ray up again.
        up = (bounce[0][again], bounce[1][again], np.abs(bounce[2][again]))
        twice = mirrored(room(), up, rough[again] + 0.18) * mirror
        below[again] += (twice - below[again]) * low[again, None]
    width = 0.04 + 0.5 * rough
    share = step(-width, width, bounce[2])[:, None]
    return above * share + below * (1 - share)


def _soft(normal: Vector) -> Field:
    """Return the light a matt face gets: the lamp, and the room all round."""
    lamp = np.maximum(_dot(normal, (LAMP[0], LAMP[1], LAMP[2])), 0)
    sky = 0.5 + 0.5 * normal[2]
    warm, cool = np.array([1.5, 1.42, 1.30], np.float32), np.array([0.44, 0.48, 0.54], np.float32)
    return lamp[:, None] * warm + sky[:, None] * cool


def _tone(light: Field) -> Field:
    """Return linear light bent like film: the brightest lamps roll off instead of clipping."""
    light = np.maximum(light, 0) * 0.86
    return light * (2.51 * light + 0.03) / (light * (2.43 * light + 0.59) + 0.14)


def _develop(picture: Field, rng: np.random.Generator) -> Image.Image:
    """Darken the corners a little, add the sensor's grain and store as sRGB."""
    rows, columns = picture.shape[:2]
    y = np.linspace(-1, 1, rows, dtype=np.float32)[:, None]
    x = np.linspace(-1, 1, columns, dtype=np.float32)[None, :]
    picture = picture * (1 - 0.20 * np.clip(x * x + y * y - 0.35, 0, 2))[..., None]
    code = np.clip(picture, 0, 1) ** (1 / 2.2) * 255
    code += rng.standard_normal((rows, columns), dtype=np.float32)[..., None] * 1.6
    return Image.fromarray(np.clip(code, 0, 255).astype(np.uint8), "RGB")
