"""Pattern files: SVG and PDF at full size, and DXF with its layers, for cutters, plotters and other
programs.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from jobs.drawings.fullsize import full_size
from jobs.drawings.letters import Box
from jobs.drawings.scene import Run, bounds, polyline
from jobs.drawings.svg import svg_file
from jobs.forming.errors import WriteLength, in_millimetres
from jobs.forming.outline import mirror
from jobs.forming.result import Arc, Straight, Work

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

MILLIMETRES = 4
"""The DXF header's code for millimetres ($INSUNITS)."""
DASH_SCALE = 5
"""Makes the library's dashes 6 mm long and their gaps 1 mm: unscaled, a line on a panel looks drawn through."""
LAYERS = ("OUTLINE", "TRIM", "LINES", "GATHERS")
_LINE_TYPES = {"centre": "CENTER", "stop": "DASHED", "pass": "DOT", "bend": "DASHDOT"}


def svg_text(
    work: Work,
    *,
    mirrored: bool = False,
    write_length: WriteLength = in_millimetres,
    words: Sequence[str] = (),
) -> str:
    """Return the full-size pattern as an SVG document whose user unit is a millimetre."""
    return svg_file(full_size(work, mirrored=mirrored, write_length=write_length, words=words, check=True))


def pdf_bytes(
    work: Work,
    *,
    mirrored: bool = False,
    write_length: WriteLength = in_millimetres,
    words: Sequence[str] = (),
    margin_mm: float = 10.0,
) -> bytes:
    """Return the full-size pattern as a PDF of one sheet as large as it needs to be."""
    from reportlab.pdfgen.canvas import Canvas

    from jobs.drawings.pdf import POINTS_PER_MM, draw, lettering

    scene = full_size(work, mirrored=mirrored, write_length=write_length, words=words, check=True)
    font, bold_font = lettering()
    margin = margin_mm * POINTS_PER_MM
    wide, high = scene.width * POINTS_PER_MM + 2 * margin, scene.height * POINTS_PER_MM + 2 * margin
    made = io.BytesIO()
    canvas = Canvas(made, pagesize=(wide, high), lang="en")
    canvas.setTitle(scene.title)
    canvas.setCreator("Gatherbook")
    draw(canvas, scene, margin, high - margin, font=font, bold_font=bold_font)
    canvas.showPage()
    canvas.save()
    return made.getvalue()


def dxf_bytes(work: Work, *, mirrored: bool = False) -> bytes:
    """Return the flat pattern as a DXF file in millimetres: real lines and arcs on the layers of
    ``LAYERS``.
    """
    from ezdxf.filemanagement import new

    drawing = new("R2010", setup=["linetypes"], units=MILLIMETRES)
    drawing.header["$LTSCALE"] = DASH_SCALE
    hand = mirror(work) if mirrored else work
    _fill(drawing, hand)
    _open_on(drawing, bounds(hand.trimmed.runs))
    text = io.StringIO()
    drawing.write(text)
    return text.getvalue().encode(drawing.output_encoding)


def _fill(drawing: Drawing, work: Work) -> None:
    for name in LAYERS:
        drawing.layers.add(name, linetype="DASHED" if name == "TRIM" else "CONTINUOUS")
    space = drawing.modelspace()
    _add(space, work.by_length.runs, "OUTLINE")
    _add(space, work.trimmed.runs, "TRIM")
    for line in work.lines:
        _add(space, line.path, "LINES", _LINE_TYPES.get(line.kind, "BYLAYER"))
    for gather in work.gathers:
        _add(space, polyline((gather.left, gather.apex, gather.right)), "GATHERS")


def _open_on(drawing: Drawing, box: Box) -> None:
    """Tell where the drawing lies: a program that believes the header would else open on nothing."""
    drawing.modelspace().reset_extents((box.left, box.top, 0), (box.right, box.bottom, 0))
    middle = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
    drawing.set_modelspace_vport(1.1 * max(box.bottom - box.top, box.right - box.left), middle)


def _add(space: Modelspace, runs: Iterable[Run], layer: str, linetype: str = "BYLAYER") -> None:
    look = {"layer": layer, "linetype": linetype}
    for run in runs:
        if isinstance(run, Straight):
            space.add_line(run.start, run.end, dxfattribs=look)
        elif abs(run.sweep_rad) >= math.tau * (1 - 1e-12):
            space.add_circle(run.centre, run.radius_mm, dxfattribs=look)
        else:
            first, last = _counter_clockwise(run)
            space.add_arc(run.centre, run.radius_mm, first, last, dxfattribs=look)


def _counter_clockwise(arc: Arc) -> tuple[float, float]:
    """Return where an arc begins and ends in degrees when it is run counter-clockwise, as DXF wants it."""
    first, last = arc.start_rad, arc.start_rad + arc.sweep_rad
    return (math.degrees(min(first, last)), math.degrees(max(first, last)))


def pattern_bytes(
    work: Work, kind: str, *, write_length: WriteLength = in_millimetres, words: Sequence[str] = ()
) -> bytes:
    """Return the pattern of a panel as ``svg``, ``dxf`` or ``pdf``; only a DXF file has no words on it."""
    if kind == "dxf":
        return dxf_bytes(work)
    if kind == "pdf":
        return pdf_bytes(work, write_length=write_length, words=words)
    return svg_text(work, write_length=write_length, words=words).encode()
