"""Pattern files: SVG and PDF at full size, and DXF with its layers, for cutters, plotters and other
programs.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterable, Sequence
from pathlib import Path as FilePath
from typing import TYPE_CHECKING

from jobs.drawings.fullsize import full_size
from jobs.drawings.scene import Run, polyline
from jobs.drawings.svg import svg_file
from jobs.forming.errors import WriteLength, in_millimetres
from jobs.forming.outline import mirror
from jobs.forming.result import Arc, Straight, Work

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

MILLIMETRES = 4
"""The DXF header's code for millimetres ($INSUNITS)."""
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
    _fill(drawing, mirror(work) if mirrored else work)
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


def _names(work: Work) -> list[str]:
    """What a pattern without a panel is called: its form and its sheet."""
    return [work.form.label, f"{in_millimetres(work.sheet.thickness_mm)} thick"]


def write_svg(work: Work, path: str | FilePath, *, mirrored: bool = False) -> None:
    """Write the full-size pattern as SVG; an existing file is replaced."""
    FilePath(path).write_text(svg_text(work, mirrored=mirrored, words=_names(work)), encoding="utf-8")


def write_pdf(work: Work, path: str | FilePath, *, mirrored: bool = False) -> None:
    """Write the full-size pattern as PDF; an existing file is replaced."""
    FilePath(path).write_bytes(pdf_bytes(work, mirrored=mirrored, words=_names(work)))


def write_dxf(work: Work, path: str | FilePath, *, mirrored: bool = False) -> None:
    """Write the flat pattern as DXF; an existing file is replaced."""
    FilePath(path).write_bytes(dxf_bytes(work, mirrored=mirrored))
