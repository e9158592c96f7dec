"""What the work leaves on the metal: hammer blows, planishing, rolling grain, dye and scribed lines."""

from dataclasses import dataclass

import numpy as np

from .forms import Form
from .noise import Field, blows, cloud, enlarge, step

#: Cells along the longer side of a sheet's map.
CELLS = 1000


@dataclass(frozen=True, slots=True)
class State:
    """How far along a piece is.

    ``depth`` and ``pending`` are the form's; ``lumps`` the height of the unevenness, ``blow`` the size of a hammer
    mark and ``dent`` its slope, ``polish`` 0 as rolled to 1 mirror, ``dye`` how much dye is left, ``heat`` how much
    skin the torch left. ``lined``: the lines are scribed; ``cut``: the piece is cut from its sheet.
    """

    depth: float = 0.0
    pending: float = 0.0
    lumps: float = 0.0
    blow: float = 0.12
    dent: float = 0.0
    polish: float = 0.0
    dye: float = 0.0
    heat: float = 0.0
    lined: bool = False
    cut: bool = True


@dataclass(frozen=True, slots=True)
class Marks:
    """Maps over the flat sheet from (-s, -t) to (s, t) = ``half``.

    ``layers`` has per cell: slope along s, slope along t, roughness, coat, stain, presence (each 0 to 1 but slopes).
    """

    layers: Field
    half: tuple[float, float]

    def read(self, s: Field, t: Field) -> Field:
        """Return the six layers at places on the sheet."""
        rows, columns, _ = self.layers.shape
        column = np.clip((s / self.half[0] + 1) / 2 * (columns - 1), 0, columns - 1.001)
        row = np.clip((t / self.half[1] + 1) / 2 * (rows - 1), 0, rows - 1.001)
        i, j = row.astype(np.int32), column.astype(np.int32)
        fi, fj = (row - i)[:, None], (column - j)[:, None]
        flat, place = self.layers.reshape(-1, 6), i * columns + j
        upper = flat[place] * (1 - fj) + flat[place + 1] * fj
        return upper * (1 - fi) + (flat[place + columns] * (1 - fj) + flat[place + columns + 1] * fj) * fi


def over(half: tuple[float, float]) -> tuple[Field, Field]:
    """Return the places (s, t) of the cells of a sheet's map."""
    long = max(half)
    s = np.linspace(-half[0], half[0], round(CELLS * half[0] / long), dtype=np.float32)
    t = np.linspace(-half[1], half[1], round(CELLS * half[1] / long), dtype=np.float32)
    return np.meshgrid(s, t)


def border(s: Field, t: Field, rng: np.random.Generator) -> Field:
    """Return how much of a half-done piece is done, 0 on its left to 1 on its right, over an uneven border."""
    wander = 0.16 * cloud(rng, s.shape, (4, 4), 3)
    return step(-0.12, 0.22, s * 0.97 + 0.22 * t + wander - 0.02)


def mark(form: Form, before: State, after: State, rng: np.random.Generator, bare: float) -> Marks:
    """Return the marks on a piece that goes from ``before`` to ``after`` across it; ``bare`` is the sheet's roughness."""
    s, t = over(form.sheet)
    done = border(s, t, rng) if before != after else np.ones_like(s)
    pitch = float(s[0, 1] - s[0, 0])
    height, rough = _hammered(rng, s, t, before, bare)
    if before != after:
        finer, smoother = _hammered(rng, s, t, after, bare)
        height, rough = height + (finer - height) * done, rough + (smoother - rough) * done
    height = height * (form.struck + (1 - form.struck) * form.dyed(s, t))
    height = height + _rolling(rng, s.shape) * 0.000045 * (1 - done * after.polish)
    down, across = np.gradient(height, pitch)
    coat, stain = _dyed(rng, form, s, t, after), _heated(rng, s.shape, after)
    if after.lined:
        line = 1 - step(0.003, 0.0065, form.lines(s, t))
        coat, stain = coat * (1 - line), np.maximum(stain * (1 - line * coat), 0.55 * line * (coat < 0.3))
        rough = np.where(line * (coat < 0.3) > 0.3, rough + 0.12, rough)
    return Marks(
        np.stack([across, down, rough, coat, stain, np.ones_like(s)], axis=2).astype(np.float32), form.sheet
    )


def _hammered(rng: np.random.Generator, s: Field, t: Field, state: State, bare: float) -> tuple[Field, Field]:
    """Return the height and the roughness that the blows of one state leave."""
    rough = bare * (1 - 0.88 * state.polish) + 0.05 * cloud(rng, s.shape, (14, 14), 3) * (
        1 - 0.8 * state.polish
    )
    if state.dent == 0:
        return np.zeros_like(s), rough
    # A facet is smooth: half as many cells hold it, and cost a quarter.
    size, half_s, half_t = state.blow, s[::2, ::2], t[::2, ::2]
    bend = 0.25 * cloud(rng, half_s.shape, (6, 6), 2)
    facet, value = blows(rng, half_s / size + bend, half_t / size + bend)
    count = float(np.ptp(t)) / size, float(np.ptp(s)) / size
    facet = facet + 0.09 * cloud(rng, half_s.shape, (2.2 * count[0], 2.2 * count[1]), 1)
    return enlarge(state.dent * size * facet, s.shape), rough * (0.72 + 0.5 * enlarge(value, s.shape))


def _rolling(rng: np.random.Generator, shape: tuple[int, int]) -> Field:
    """The mill's grain: fine streaks along the sheet."""
    return cloud(rng, shape, (shape[0] / 2.5, 9), 2)


def _dyed(rng: np.random.Generator, form: Form, s: Field, t: Field, state: State) -> Field:
    """Dye brushed on in strokes, worn through where the hammer has been."""
    if state.dye == 0:
        return np.zeros_like(s)
    strokes = cloud(rng, s.shape, (60, 5), 2)
    worn = cloud(rng, s.shape, (26, 26), 3)
    brushed = np.clip(form.dyed(s, t) * (0.90 + 0.11 * strokes), 0, 1)
    return brushed * step(-0.35, 0.35, worn + 3.6 * state.dye - 1.9)


def _heated(rng: np.random.Generator, shape: tuple[int, int], state: State) -> Field:
    """Patches that the torch has darkened, and a few fingerprints' worth of dullness."""
    patches = cloud(rng, shape, (4, 4), 4)
    return np.clip(state.heat * (0.55 + 0.75 * patches), 0, 0.85)
