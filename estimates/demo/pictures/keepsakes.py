"""Two things that are not new work: the paper pattern on the bench, and the old part a customer brings."""

from dataclasses import replace

import numpy as np

from .forms import FORMS, Form
from .marks import Marks, State, mark, over
from .metals import KRAFT, METALS, PAINT, Coat
from .noise import Field, at_points, cloud, lattice, step
from .render import Piece
from .surface import Mesh, grid, join, normals, rim

#: The pattern: a curved band about its own centre, with a notch at every station of its outer edge.
INNER, OUTER, REACH, STATION = 0.70, 1.62, 0.80, 0.10


def pattern(rng: np.random.Generator) -> list[Piece]:
    """Return a kraft paper pattern with its lines, held down by two steel weights."""
    table = lattice(rng)
    r, turn = np.meshgrid(np.linspace(INNER, OUTER, 90), np.linspace(-REACH, REACH, 320), indexing="ij")
    s, t = r * np.sin(turn), r * np.cos(turn) - (INNER + OUTER) / 2 + 0.10
    curl = 0.10 * step(0.62, 1.0, np.abs(turn) / REACH) ** 2 * (0.7 + 0.5 * (r - INNER))
    z = 0.012 + curl + 0.016 * np.maximum(0, at_points(table, s * 1.7, t * 1.7))
    places = np.stack([s, t, z], axis=-1).astype(np.float32)
    sheet = np.stack([s, t], axis=-1).astype(np.float32)
    mesh = join([grid(places, sheet, False), rim(places, sheet, False, 0.004)])
    paper = Piece(mesh, _paper(rng), METALS["steel"], KRAFT)
    return [paper, *(_weight(rng, x, y, r) for x, y, r in ((-0.50, 0.06, 0.13), (0.62, -0.02, 0.11)))]


def _paper(rng: np.random.Generator) -> Marks:
    half = (1.30, 0.85)
    s, t = over(half)
    down = t + (INNER + OUTER) / 2 - 0.10
    r, turn = np.hypot(s, down), np.arctan2(s, down)
    ink = 1 - step(0.0035, 0.0065, _drawn(r, turn))
    fibre = cloud(rng, s.shape, (150, 190), 2)
    blotch = cloud(rng, s.shape, (5, 7), 3)
    stain = np.clip(0.10 + 0.07 * fibre + 0.10 * blotch + 0.85 * ink, 0, 1)
    crease = 0.004 * step(0.02, 0.0, np.abs(turn - 0.31 + 0.01 * blotch))
    across, along = np.gradient(crease + 0.00035 * fibre, float(s[0, 1] - s[0, 0]))
    full = np.ones_like(s)
    return Marks(
        np.stack([along, across, full * 0.9, full, stain, _cut(r, turn)], axis=2).astype(np.float32), half
    )


def _drawn(r: Field, turn: Field) -> Field:
    """Return the distance to the pattern's pencil lines: outline, bend line, dashed middle and stations."""
    ring = np.min(
        [np.abs(r - place) for place in (INNER + 0.02, INNER + 0.30, OUTER - 0.20, OUTER - 0.185)], axis=0
    )
    beat = (r / 0.15) % 1
    middle = np.where((beat < 0.62) | ((beat > 0.76) & (beat < 0.84)), np.abs(turn) * r, 1)
    station = np.abs((turn / STATION + 0.5) % 1 - 0.5) * STATION * r
    station = np.where(r > OUTER - 0.20, station, 1)
    tick = np.where((r > OUTER - 0.24) & (r < OUTER - 0.15), station, 1)
    ends = np.abs(np.abs(turn) - REACH + 0.02) * r
    return np.min([ring, middle, station, tick, ends], axis=0)


def _cut(r: Field, turn: Field) -> Field:
    """Return 1 where there is paper: not in the notches, nor in the two holes it hangs by."""
    between = np.abs(turn / STATION % 1 - 0.5) * STATION * r
    notch = between < 0.030 * (r - OUTER + 0.13) / 0.13
    hole = np.hypot((np.abs(turn) - 0.66) * 0.9, r - 0.84) < 0.026
    return np.where(notch | hole, 0.0, 1.0)


def _weight(rng: np.random.Generator, x: float, y: float, radius: float) -> Piece:
    """Return a turned steel weight that stands at (x, y)."""
    profile = np.array(
        [(0.001, 0.17), (0.3, 0.17), (0.32, 0.155), (0.62, 0.155), (0.94, 0.15), (1.0, 0.135), (1.0, 0.02)]
    )
    way = np.linspace(0, len(profile) - 1, 61)
    out = np.interp(way, range(len(profile)), profile[:, 0]) * radius
    high = np.interp(way, range(len(profile)), profile[:, 1]) * radius * 6
    turn = np.linspace(0, 2 * np.pi, 120)
    ring = np.stack(np.broadcast_arrays(out[:, None] * np.cos(turn), out[:, None] * np.sin(turn)), axis=-1)
    spread = np.linspace(0.001, 1, 61)[:, None]
    sheet = np.stack([spread * np.cos(turn), spread * np.sin(turn)], axis=-1).astype(np.float32)
    places = np.concatenate(
        [ring + np.array([x, y]), np.broadcast_to(high[:, None, None], (*ring.shape[:2], 1))], axis=-1
    )
    disc = Form(FORMS["dome"].bend, FORMS["dome"].lines, FORMS["dome"].dyed, (1.0, 1.0), closed=True)
    state = State(polish=0.45, heat=0.35)
    mesh = grid(places.astype(np.float32), sheet, True)
    return Piece(mesh, mark(disc, state, state, rng, 0.45), METALS["steel"], PAINT)


def old_part(metal: str, rng: np.random.Generator) -> list[Piece]:
    """Return a battered panel: dented, its paint flaking, a corner torn away, its bare metal gone dull."""
    form, table = FORMS["crown panel"], lattice(rng)
    places, sheet = form.bend(0.92, 0.12, table)
    normal = normals(places, False)
    places = places - normal * _dents(rng, sheet)[..., None]
    places = places + normal * (0.010 * at_points(table, sheet[..., 0] * 4, sheet[..., 1] * 4))[..., None]
    cos, sin = np.cos(-0.3), np.sin(-0.3)
    x, y = places[..., 0] * cos - places[..., 1] * sin, places[..., 0] * sin + places[..., 1] * cos
    places = np.stack([x, y, places[..., 2] - places[..., 2].min() + 0.012], axis=-1).astype(np.float32)
    mesh: Mesh = join([grid(places, sheet, False), rim(places, sheet, False, 0.012)])
    tired = replace(METALS[metal], mirror=tuple(0.72 * part for part in METALS[metal].mirror))
    return [Piece(mesh, _worn(form, rng), tired, _faded(metal))]


def _faded(metal: str) -> Coat:
    """Return the old paint; copper and brass were never painted, so theirs is the green of weather."""
    return replace(PAINT, colour=(0.125, 0.20, 0.165), gloss=0.0) if metal in ("copper", "brass") else PAINT


def _dents(rng: np.random.Generator, sheet: Field) -> Field:
    """Return how far in each place is knocked: some long creases and some round dents."""
    depth = np.zeros(sheet.shape[:2], np.float32)
    for _ in range(11):
        x, y, turn = rng.uniform(-1.0, 1.0), rng.uniform(-0.7, 0.7), rng.uniform(0, np.pi)
        dx, dy = sheet[..., 0] - x, sheet[..., 1] - y
        u, v = dx * np.cos(turn) + dy * np.sin(turn), dy * np.cos(turn) - dx * np.sin(turn)
        wide, long = rng.uniform(0.05, 0.15), rng.uniform(0.09, 0.34)
        depth += rng.uniform(0.012, 0.055) * np.exp(-((v / wide) ** 2) - (u / long) ** 2)
    return depth


def _worn(form: Form, rng: np.random.Generator) -> Marks:
    s, t = over(form.sheet)
    state = State(heat=0.55, dent=0.05, blow=0.11)
    layers = mark(form, state, state, rng, 0.5).layers.copy()
    edge = np.maximum(np.abs(s / 1.2), np.abs(t / 0.85))
    wear = cloud(rng, s.shape, (7, 9), 6) + 0.9 * step(0.72, 1.0, edge) - 0.38
    paint = 1 - step(0.0, 0.05, wear)
    fade = np.clip(0.22 + 0.30 * cloud(rng, s.shape, (4, 5), 5), 0, 0.8)
    rust = np.clip(step(0.75, 0.0, wear) + 0.45 * cloud(rng, s.shape, (60, 80), 4), 0.12, 0.98)
    runs = np.clip(cloud(rng, s.shape, (3, 60), 3) - 0.35, 0, 0.5) * step(0.4, -0.8, t)
    down, across = np.gradient(0.004 * paint, float(s[0, 1] - s[0, 0]))
    layers[..., 2] = np.where(paint > 0.5, 0.45, 0.75)
    pits = 0.22 * (1 - paint) * rust
    layers[..., 0] += across + pits * cloud(rng, s.shape, (170, 240), 2)
    layers[..., 1] += down + pits * cloud(rng, s.shape, (170, 240), 2)
    layers[..., 3] = paint * (1 - runs)
    layers[..., 4] = np.where(paint > 0.5, fade, rust)
    layers[..., 5] = _torn(s, t, cloud(rng, s.shape, (16, 20), 4))
    return Marks(layers.astype(np.float32), form.sheet)


def _torn(s: Field, t: Field, ragged: Field) -> Field:
    """Return 1 where there is metal: a corner has gone, and the bolt holes along the edge are there."""
    corner = (1.2 - s) + (t + 0.85) * 1.3 + 0.10 * ragged
    pitch = np.abs((s / 0.4 + 0.5) % 1 - 0.5) * 0.4
    holes = np.hypot(pitch, np.abs(t) - 0.79) < 0.022
    rot = np.hypot((s + 0.75) * 1.2, t + 0.45) + 0.05 * ragged < 0.075
    return np.where((corner < 0.42) | holes | rot, 0.0, 1.0)
