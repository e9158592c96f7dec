"""The shapes: where each point of the flat sheet goes as the work goes from flat (0) to full depth (1).

Edges that the form shortens stand up in tucks until they are shrunk. A wave of height A and number q to the unit
takes up about (A q / 2) squared of its length, so the tucks here are as tall as the spare length asks for.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from .noise import Field, at_points, step

Shape = tuple[Field, Field]


@dataclass(frozen=True, slots=True)
class Form:
    """A shape: ``bend(depth, pending, table)`` gives places and flat places; ``pending`` is the spare length left.

    ``lines`` is the distance from a place on the sheet to the nearest scribed line, ``dyed`` where dye is brushed on.
    ``sheet`` is the half size of the sheet it is cut from, ``closed`` whether the grid runs round on itself, ``turn``
    how it lies on the bench, ``struck`` how much of the hammer its flat parts get (0 none, 1 all of it).
    """

    bend: Callable[[float, float, Field], Shape]
    lines: Callable[[Field, Field], Field]
    dyed: Callable[[Field, Field], Field]
    sheet: tuple[float, float]
    closed: bool = False
    turn: float = 0.0
    struck: float = 1.0


def follow(angle: Field, stations: Field) -> tuple[Field, Field]:
    """Return how far across and how far down a strip gets that slopes by ``angle`` (radians) at each station."""
    width = np.diff(stations)
    middle = (angle[1:] + angle[:-1]) / 2
    across = np.concatenate([[0], np.cumsum(np.cos(middle) * width)])
    down = np.concatenate([[0], np.cumsum(np.sin(middle) * width)])
    return across.astype(np.float32), down.astype(np.float32)


def tuck(spare: Field, q: float, along: Field, table: Field, ring: bool = False) -> Field:
    """Return the height of tucks, ``q`` radians to the unit of ``along``, that take up ``spare`` (a fraction).

    ``ring``: ``along`` is an angle that comes round on itself, so ``q`` is whole and the unevenness meets its start.
    """
    height = 2 / q * np.sqrt(np.clip(spare, 0, 0.5))
    x, y = (np.cos(along) * q / 8, np.sin(along) * q / 8) if ring else (along * q / 9, along * 0)
    phase = q * along + 1.1 * at_points(table, x, y)
    uneven = 1 + 0.35 * at_points(table, 1.7 * x + 50, 1.7 * y + spare * 9)
    return height * uneven * (np.sin(phase) + 0.22 * np.sin(2 * phase + 0.6))


def _grid(rows: Field, columns: Field) -> tuple[Field, Field]:
    down, across = np.meshgrid(rows.astype(np.float32), columns.astype(np.float32), indexing="ij")
    return down, across


def _near(value: Field, at: list[float] | Field) -> Field:
    return np.min([np.abs(value - place) for place in at], axis=0)


def _stack(*parts: Field) -> Field:
    return np.stack(np.broadcast_arrays(*parts), axis=-1).astype(np.float32)


def dome(depth: float, pending: float, table: Field) -> Shape:
    """A round dome from a disc, tucked all round while the rim is still long."""
    r, turn = np.linspace(0.0008, 1.25, 110), np.linspace(0, 2 * np.pi, 420)
    slope = depth * 1.22 * (r / 1.25) ** 1.05
    across, down = follow(slope, r)
    across += 0.0008
    spare = (r / across - 1) * pending * step(0.10, 0.50, r)
    grid_r, grid_turn = _grid(r, turn)
    lift = tuck(spare[:, None] + 0 * grid_r, 25, grid_turn, table, ring=True) * across[:, None]
    out = across[:, None] + lift * np.sin(slope)[:, None]
    z = -down[:, None] + lift * np.cos(slope)[:, None]
    places = _stack(out * np.cos(grid_turn), out * np.sin(grid_turn), z)
    return places, _stack(grid_r * np.cos(grid_turn), grid_r * np.sin(grid_turn))


def _dome_lines(s: Field, t: Field) -> Field:
    r, turn = np.hypot(s, t), np.arctan2(t, s)
    spokes = np.abs((turn * 12 / np.pi) % 1 - 0.5) * np.pi / 12
    spoke = np.where(r > 0.46, np.abs(np.pi / 24 - spokes) * r, 1)
    cross = np.where(np.maximum(np.abs(s), np.abs(t)) < 0.07, np.minimum(np.abs(s), np.abs(t)), 1)
    return np.minimum(np.minimum(_near(r, [0.46, 0.72, 0.98, 1.25]), spoke), cross)


def sweep(depth: float, pending: float, table: Field) -> Shape:
    """A long skin, arched along its length and crowned across it; both edges tuck."""
    s, t = np.linspace(-1.45, 1.45, 321), np.linspace(-0.52, 0.52, 111)
    slope = depth * 1.2 * np.sign(t) * np.abs(t / 0.52) ** 1.5
    across, down = follow(slope, t)
    across, down = across - across[55], down - down[55]
    radius = 1 / (0.03 + 0.66 * depth)
    grid_s, grid_t = _grid(s, t)
    # The crown takes length from the edges as well as the arch does.
    spare = 2 * (radius / (radius - down) - 1) * pending
    lift = tuck(spare + 0 * grid_s, 27, grid_s + 0.02 * grid_t, table)
    out = radius - down + lift * np.cos(slope)
    places = _stack(
        out * np.sin(grid_s / radius), across + lift * np.sin(slope), out * np.cos(grid_s / radius)
    )
    return places, _stack(grid_s, grid_t)


def arch(depth: float, pending: float, table: Field) -> Shape:
    """A flat arched band with its outer edge turned up into a flange, which has to shrink."""
    t, turn = np.linspace(0, 0.80, 120), np.linspace(np.pi / 2 - 1.25, np.pi / 2 + 1.25, 340)
    slope = depth * 1.48 * step(0.49, 0.56, t)
    across, up = follow(slope, t)
    grid_t, grid_turn = _grid(t, turn)
    spare = ((0.72 + t) / (0.72 + across) - 1) * pending * step(0.5, 0.62, t)
    lift = tuck(spare[:, None] + 0 * grid_t, 22, grid_turn, table) * 1.2
    out = 0.72 + across[:, None] + lift * np.sin(slope)[:, None]
    z = up[:, None] + lift * np.cos(slope)[:, None] * step(0.5, 0.62, grid_t)
    places = _stack(out * np.cos(grid_turn), out * np.sin(grid_turn) - 0.75, z)
    return places, _stack((0.72 + grid_t) * np.cos(grid_turn), (0.72 + grid_t) * np.sin(grid_turn) - 0.75)


def _arch_lines(s: Field, t: Field) -> Field:
    r, turn = np.hypot(s, t + 0.75), np.arctan2(t + 0.75, s)
    aside = np.abs(turn - np.pi / 2)
    stations = np.abs((aside / 0.1 + 0.5) % 1 - 0.5) * 0.1 * r
    inside = (aside < 1.253) & (r > 0.718) & (r < 1.523)
    station = np.where(inside & ((r > 1.21) | (aside < 0.02)), stations, 1)
    ring = np.where(inside, _near(r, [0.72, 1.21, 1.28, 1.52]), 1)
    return np.minimum(np.minimum(ring, station), np.where(inside, np.abs(aside - 1.25) * r, 1))


def _rounded(count: int) -> tuple[Field, Field, Field]:
    """Return places, outward normals and cornerness round a rounded rectangle 1.7 x 1.2, corners 0.24."""
    half, corner = (0.85, 0.60), 0.24
    x, y = half[0] - corner, half[1] - corner
    legs = [2 * y, corner * np.pi / 2, 2 * x, corner * np.pi / 2] * 2
    ends = np.cumsum([0, *legs])
    way = np.linspace(0, ends[-1], count)
    leg = np.clip(np.searchsorted(ends, way, side="right") - 1, 0, 7)
    share = (way - ends[leg]) / np.array(legs)[leg]
    heading = (leg // 2 + np.where(leg % 2 == 1, share, 0)) * np.pi / 2
    sx = np.array([1, 1, 1, -1, -1, -1, -1, 1])[leg]
    sy = np.array([0, 1, 1, 1, 0, -1, -1, -1])[leg]
    slide = 2 * share - 1
    px = np.where(leg % 4 == 2, -slide * x * np.where(leg == 2, 1, -1), sx * x)
    py = np.where(leg % 4 == 0, slide * y * np.where(leg == 0, 1, -1), sy * y)
    normal = np.stack([np.cos(heading), np.sin(heading)], axis=1)
    return np.stack([px, py], axis=1) + corner * normal, normal, (leg % 2) * np.sin(np.pi * share) ** 0.7


def tray(depth: float, pending: float, table: Field) -> Shape:
    """A tray with rounded corners: the walls turn up, the corners tuck and have to shrink."""
    edge, normal, corner = _rounded(560)
    wall = np.linspace(0, 0.36, 60)
    slope = depth * 1.36 * step(0.0, 0.09, wall)
    across, up = follow(slope, wall)
    spare = ((0.24 + wall) / (0.24 + across) - 1)[:, None] * pending * corner[None, :]
    along = np.broadcast_to(np.linspace(0, 2 * np.pi, 560), spare.shape)
    lift = tuck(spare, 38, along, table, ring=True) * 0.8
    out = across[:, None] + lift * np.sin(slope)[:, None]
    walls = edge[None] + normal[None] * out[..., None]
    z = up[:, None] - lift * np.cos(slope)[:, None] * step(0, 0.1, wall)[:, None]
    inner = np.linspace(0.0008, 0.99, 60)[:, None, None] * edge[None]
    places = np.concatenate([inner, walls]), np.concatenate([np.zeros(inner.shape[:2]), z])
    flat = np.concatenate([inner, edge[None] + normal[None] * wall[:, None, None]])
    return _stack(places[0][..., 0], places[0][..., 1], places[1]), flat.astype(np.float32)


def _tray_out(s: Field, t: Field) -> Field:
    dx, dy = np.abs(s) - 0.61, np.abs(t) - 0.36
    return np.hypot(np.maximum(dx, 0), np.maximum(dy, 0)) + np.minimum(np.maximum(dx, dy), 0) - 0.24


def _tray_lines(s: Field, t: Field) -> Field:
    out = _tray_out(s, t)
    turn = np.arctan2(np.abs(t) - 0.36, np.abs(s) - 0.61)
    at_corner = (np.abs(s) > 0.61) & (np.abs(t) > 0.36) & (out > 0) & (out < 0.36)
    spokes = np.where(at_corner, np.abs((turn * 10 / np.pi + 0.5) % 1 - 0.5) * 0.1 * np.pi * 0.4, 1)
    square = np.where(
        (out > 0) & (out < 0.36), np.minimum(np.abs(np.abs(s) - 0.61), np.abs(np.abs(t) - 0.36)), 1
    )
    return np.minimum(np.minimum(_near(out, [0.0, 0.09, 0.36]), spokes), square)


def crown(depth: float, pending: float, table: Field) -> Shape:
    """A panel with a low crown both ways, its edge eased down, tucked at the edge while it is raised."""
    s, t = _grid(np.linspace(-1.2, 1.2, 241), np.linspace(-0.85, 0.85, 181))
    across, along = np.abs(s / 1.2), np.abs(t / 0.85)
    z = 0.34 * depth * (1 - across**2.3) * (1 - 0.72 * along**2.3) - 0.17 * depth * along**3
    z -= 0.07 * depth * (step(0.94, 1, across) + step(0.92, 1, along))
    edge = np.minimum(1, (across**8 + along**8) ** 1.2)
    lift = tuck(0.10 * edge * pending, 26, np.arctan2(t / 0.85, s / 1.2), table, ring=True) * min(
        1, 3 * depth + 0.2
    )
    bow = 1 - 0.10 * along**2
    return _stack(s * bow * (1 - 0.05 * depth), t * (1.04 - 0.10 * across**2), z + lift), _stack(s, t)


def roll(depth: float, pending: float, table: Field) -> Shape:
    """A curved cover: rolled one way, both ends turned in; the ends tuck."""
    s, t = np.linspace(-1.25, 1.25, 241), np.linspace(-0.98, 0.98, 191)
    slope = depth * 1.25 * np.sign(s) * step(0.86, 1.25, np.abs(s))
    along, down = follow(slope, s)
    along, down = along - along[120], down - down[120]
    radius = 0.98 / (1.42 * max(depth, 0.05))
    grid_s, grid_t = _grid(s, t)
    spare = (radius / (radius - down) - 1) * pending
    lift = tuck(spare[:, None] + 0 * grid_t, 24, grid_t, table)
    out = radius - down[:, None] + lift * np.cos(slope)[:, None]
    x = along[:, None] + lift * np.sin(slope)[:, None]
    return _stack(x, out * np.sin(grid_t / radius), out * np.cos(grid_t / radius)), _stack(grid_s, grid_t)


def fold(depth: float, _pending: float, table: Field) -> Shape:
    """A channel with feet: four folds across a flat sheet."""
    s, t = np.linspace(-1.2, 1.2, 91), np.linspace(-0.95, 0.95, 421)
    far = np.abs(t)
    slope = np.sign(t) * depth * (1.5 * step(0.34, 0.39, far) - 1.5 * step(0.70, 0.75, far))
    across, down = follow(slope, t)
    grid_s, grid_t = _grid(s, t)
    sag = 0.006 * at_points(table, grid_s * 1.5, grid_t * 1.5)
    return _stack(grid_s, across - across[210] + 0 * grid_s, sag + down[210] - down), _stack(grid_s, grid_t)


def _bands(edges: tuple[float, float], rows: list[float], pitch: float) -> Callable[[Field, Field], Field]:
    """Return the lines of a long pattern: its outline, ``rows`` each side of the middle, stations at a ``pitch``."""

    def lines(s: Field, t: Field) -> Field:
        inside = (np.abs(s) < edges[0] + 0.003) & (np.abs(t) < edges[1] + 0.003)
        ends = np.minimum(np.abs(np.abs(s) - edges[0]), _near(np.abs(t), [*rows, edges[1]]))
        dash = np.where(s % 0.16 < 0.12, np.abs(t), 1)
        station = np.where(np.abs(t) > rows[0], np.abs((s / pitch + 0.5) % 1 - 0.5) * pitch, 1)
        return np.where(inside, np.min([ends, dash, station], axis=0), 1)

    return lines


FORMS = {
    "dome": Form(dome, _dome_lines, lambda s, t: step(0.42, 0.45, np.hypot(s, t)), (1.42, 1.34), closed=True),
    "sweep": Form(
        sweep,
        _bands((1.45, 0.52), [0.27, 0.40], 0.145),
        lambda s, t: step(0.20, 0.23, np.abs(t)),
        (1.6, 0.72),
        turn=-0.42,
    ),
    "arch": Form(
        arch,
        _arch_lines,
        lambda s, t: step(1.15, 1.17, np.hypot(s, t + 0.75)),
        (1.62, 0.88),
        turn=0.12,
        struck=0.3,
    ),
    "tray": Form(
        tray,
        _tray_lines,
        lambda s, t: step(-0.1, -0.07, _tray_out(s, t)),
        (1.32, 1.06),
        closed=True,
        turn=0.3,
        struck=0.35,
    ),
    "crown panel": Form(
        crown,
        _bands((1.2, 0.85), [0.45, 0.72], 0.20),
        lambda s, t: step(0.80, 0.83, np.maximum(np.abs(s / 1.2), np.abs(t / 0.85))),
        (1.38, 1.0),
        turn=0.28,
    ),
    "roll": Form(
        roll,
        _bands((1.25, 0.98), [0.49], 0.25),
        lambda s, t: step(0.78, 0.81, np.abs(s)),
        (1.38, 1.1),
        turn=-0.35,
    ),
    "fold": Form(
        fold,
        _bands((1.2, 0.95), [0.365, 0.725], 0.30),
        lambda s, t: 1 - step(0.055, 0.07, _near(np.abs(t), [0.365, 0.725])),
        (1.34, 1.06),
        turn=0.45,
        struck=0.12,
    ),
}
