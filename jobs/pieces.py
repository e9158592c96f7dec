"""Small pattern pieces beside a panel's name: drawn once and kept while the program runs."""

import json
from functools import lru_cache

from django.utils.safestring import SafeString, mark_safe

from jobs.drawings.piece import small_piece
from jobs.drawings.svg import inline_svg
from jobs.forming import ImpossibleShape, Sheet, build, work_out
from jobs.models import Panel
from jobs.panels import marking_of, sheet_of

KEPT = 4096  # a piece is some 2 kB of text: the panels of a few years


def piece_of(panel: Panel, *, ghost: bool = False, picked: bool = False) -> SafeString:
    """The panel's flat piece as a small drawing, silent because the panel's name stands beside it.

    ``ghost`` is dashed, for work not begun; ``picked`` is in dye, for work going on. A shape that can no longer be
    made is left out. Needs ``panel.metal``.
    """
    look = ghost, picked, panel.is_mirrored
    key = panel.pk, panel.form, json.dumps(panel.dimensions, sort_keys=True)
    return _drawn(*key, sheet_of(panel.metal, panel.thickness_mm), marking_of(panel), *look)


@lru_cache(maxsize=KEPT)
def _drawn(pk, form, dimensions, sheet: Sheet, marking, ghost, picked, mirrored) -> SafeString:
    try:
        work = work_out(build(form, json.loads(dimensions)), sheet, marking)
    except ImpossibleShape:
        return SafeString("")
    scene = small_piece(work, ghost=ghost, picked=picked, mirrored=mirrored)
    return mark_safe(inline_svg(scene, f"piece-{pk}"))  # noqa: S308 - our own markup, words escaped
