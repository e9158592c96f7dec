"""Bench photographs for the demo shop, drawn by computation: no camera, no real work, nothing downloaded.

A sheet is bent as a grid of points, seen through a pinhole camera, and lit by what its surface mirrors. Everything
uneven comes from ``seed``, so the same call always gives the same picture.
"""

import io
import zlib
from datetime import datetime

import numpy as np
from PIL import Image

from .forms import FORMS
from .keepsakes import old_part, pattern
from .metals import METALS
from .render import Piece, shoot
from .subjects import MOMENTS, STAGES, formed
from .view import frame

#: Things that are photographed before any work is done, so only at layout.
KEPT = ("pattern", "old part")
SUBJECTS = (*FORMS, *KEPT)
__all__ = ["KEPT", "METALS", "MOMENTS", "STAGES", "SUBJECTS", "jpeg", "picture", "stages_of"]

_SMALLEST, _LARGEST = 64, 4000
_EXIF, _TAKEN, _ZONE = 0x8769, 0x9003, 0x9011


def stages_of(subject: str) -> tuple[str, ...]:
    """Return the stages at which ``subject`` can be photographed; ``ValueError`` if there is no such subject."""
    _known("subject", subject, SUBJECTS)
    return STAGES[:1] if subject in KEPT else STAGES


def picture(
    subject: str,
    stage: str,
    *,
    metal: str = "copper",
    moment: str = "before",
    seed: int = 0,
    size: tuple[int, int] = (1600, 1200),
) -> Image.Image:
    """Return the photograph (RGB, ``size`` in pixels) of ``subject`` at ``stage``.

    ``moment`` is before the stage, after it, or so far (half done). A pattern and an old part look the same at each
    moment. Raises ``ValueError`` naming what fits. One to two seconds of one core at 1200 x 900;
    the first picture draws the bench as well, which takes two more.
    """
    _known("stage", stage, STAGES)
    _known(f"stage of a {subject}", stage, stages_of(subject))
    _known("metal", metal, tuple(METALS))
    _known("moment", moment, MOMENTS)
    if not all(_SMALLEST <= side <= _LARGEST for side in size):
        raise ValueError(
            f"A picture is {_SMALLEST} to {_LARGEST} pixels each way, not {size[0]} x {size[1]}."
        )
    rng = np.random.default_rng([seed, zlib.crc32(f"{subject}/{stage}/{moment}/{metal}".encode())])
    pieces = _pieces(subject, stage, moment, metal, rng)
    places = np.concatenate([piece.mesh.vertices[:, :3] for piece in pieces])
    # Flat things are looked down on, so that their lines read.
    pitch = 0.62 if places[:, 2].max() > 0.25 else 0.86
    camera = frame(places[::9], size, pitch + float(rng.uniform(-0.05, 0.06)))
    return shoot(pieces, camera, float(rng.uniform(-0.2, 0.2)), rng)


def jpeg(
    subject: str,
    stage: str,
    *,
    taken: datetime,
    metal: str = "copper",
    moment: str = "before",
    seed: int = 0,
    size: tuple[int, int] = (1600, 1200),
    quality: int = 88,
) -> bytes:
    """Return the photograph as a JPEG file whose EXIF says it was ``taken`` then (a time with its zone)."""
    if taken.utcoffset() is None:
        raise ValueError("The time a picture was taken needs its zone.")
    image = picture(subject, stage, metal=metal, moment=moment, seed=seed, size=size)
    exif = Image.Exif()
    zone = taken.strftime("%z")
    exif.get_ifd(_EXIF).update(
        {_TAKEN: taken.strftime("%Y:%m:%d %H:%M:%S"), _ZONE: f"{zone[:3]}:{zone[3:5]}"}
    )
    file = io.BytesIO()
    image.save(file, "JPEG", quality=quality, exif=exif)
    return file.getvalue()


def _pieces(subject: str, stage: str, moment: str, metal: str, rng: np.random.Generator) -> list[Piece]:
    if subject == "pattern":
        return pattern(rng)
    if subject == "old part":
        return old_part(metal, rng)
    return formed(subject, stage, moment, metal, rng)


def _known(what: str, given: str, fits: tuple[str, ...]) -> None:
    if given not in fits:
        raise ValueError(f"There is no {what} called {given!r}; there is {', '.join(fits)}.")
