"""Which picture is which: the subjects, the stages, and how far along each moment is."""

import numpy as np

from .forms import FORMS, Form
from .marks import State, mark
from .metals import DYE, METALS
from .noise import Field, at_points, lattice
from .render import Piece
from .surface import grid, join, normals, rim

STAGES = ("layout", "gathering", "blending", "smoothing")
MOMENTS = ("before", "after", "so-far")
#: Thickness of the sheets in bench units: about a millimetre and a half on a piece as long as an arm.
THICKNESS = 0.012

RAW = State(depth=1.0, lumps=1.0, blow=0.15, dent=0.17, polish=0.15, heat=0.22)
EVEN = State(depth=1.0, lumps=0.14, blow=0.085, dent=0.10, polish=0.5, heat=0.06)
DONE = State(depth=1.0, blow=0.06, dent=0.010, polish=0.88)
#: What a piece is like at each moment: on its left and on its right, which differ where a job is half done.
STATES: dict[tuple[str, str], tuple[State, State]] = {
    ("layout", "before"): (State(cut=False),) * 2,
    ("layout", "so-far"): (State(dye=1.0, lined=True, cut=False),) * 2,
    ("layout", "after"): (State(dye=1.0, lined=True),) * 2,
    ("gathering", "before"): (State(0.30, 0.9, 0.25, 0.14, 0.05, 0.0, 0.85, 0.12, True),) * 2,
    ("gathering", "so-far"): (State(0.68, 0.55, 0.7, 0.14, 0.12, 0.0, 0.55, 0.22, True),) * 2,
    ("gathering", "after"): (State(1.0, 0.02, 1.0, 0.14, 0.15, 0.0, 0.30, 0.26),) * 2,
    ("blending", "before"): (RAW,) * 2,
    ("blending", "so-far"): (RAW, EVEN),
    ("blending", "after"): (EVEN,) * 2,
    ("smoothing", "before"): (EVEN,) * 2,
    ("smoothing", "so-far"): (EVEN, DONE),
    ("smoothing", "after"): (DONE,) * 2,
}


def formed(subject: str, stage: str, moment: str, metal: str, rng: np.random.Generator) -> list[Piece]:
    """Return the pieces of a picture of work in ``metal``."""
    form, (before, after) = FORMS[subject], STATES[stage, moment]
    table = lattice(rng)
    places, sheet = _places(form, before, after, table)
    marks = mark(form, before, after, rng, METALS[metal].bare)
    closed = form.closed and after.cut
    mesh = join([grid(places, sheet, closed), rim(places, sheet, closed, THICKNESS)])
    return [Piece(mesh, marks, METALS[metal], DYE)]


def _places(form: Form, before: State, after: State, table: Field) -> tuple[Field, Field]:
    if not after.cut:
        return _whole_sheet(form, table)
    places, sheet = form.bend(after.depth, after.pending, table)
    share = np.clip((sheet[..., 0] + 0.05) / 0.3, 0, 1)
    lumps = before.lumps + (after.lumps - before.lumps) * share
    s, t = sheet[..., 0] * 6.5, sheet[..., 1] * 6.5
    bumps = at_points(table, s, t) + 0.5 * at_points(table, 2.1 * s + 9, 2.1 * t)
    bend = 0.35 * at_points(table, s / 5 + 3, t / 5 + 3)
    lift = 0.016 * lumps * form.struck * (bumps + bend)
    places = places + normals(places, form.closed) * lift[..., None]
    if after.depth == 0:
        places[..., 2] += 0.012 * (1 + at_points(table, sheet[..., 0] * 0.9, sheet[..., 1] * 0.9))
    return _rest(_turned(places, form.turn)), sheet


def _whole_sheet(form: Form, table: Field) -> tuple[Field, Field]:
    s, t = np.meshgrid(*(np.linspace(-half, half, 150, dtype=np.float32) for half in form.sheet))
    z = 0.02 * (at_points(table, s * 0.8, t * 0.8) + 1) + 0.012 * (s / form.sheet[0]) ** 4
    return _rest(_turned(np.stack([s, t, z], axis=-1), 0.4 * form.turn)), np.stack([s, t], axis=-1)


def _turned(places: Field, turn: float) -> Field:
    cos, sin = np.float32(np.cos(turn)), np.float32(np.sin(turn))
    x, y, z = places[..., 0], places[..., 1], places[..., 2]
    return np.stack([x * cos - y * sin, x * sin + y * cos, z], axis=-1).astype(np.float32)


def _rest(places: Field) -> Field:
    """Return ``places`` moved to lie on the bench in the middle of the picture."""
    low, high = places.reshape(-1, 3).min(axis=0), places.reshape(-1, 3).max(axis=0)
    return places - np.array([(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, low[2] - THICKNESS], np.float32)
