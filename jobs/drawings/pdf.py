"""A scene on a reportlab canvas: black on white, patterns instead of greys."""

from __future__ import annotations

import math
from pathlib import Path as FilePath
from typing import TYPE_CHECKING

from jobs.drawings import letters, roles
from jobs.drawings.primitives import INCH_MM
from jobs.drawings.scene import Area, Circle, Leaf, Path, Run, Scene, Text, bounds, ends, on_circle
from jobs.forming.result import Arc, Point

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.pdfgen.pathobject import PDFPathObject

POINTS_PER_MM = 72 / INCH_MM
POINTS_PER_PX = 0.75
FONTS = FilePath(__file__).parents[2] / "static" / "fonts" / "pdf"


def draw(
    canvas: Canvas,
    scene: Scene,
    left_pt: float,
    top_pt: float,
    *,
    scale: float = 1.0,
    font: str = "Helvetica",
    bold_font: str = "Helvetica-Bold",
) -> tuple[float, float]:
    """Draw a scene with its top left corner at a place of the page; return its width and height in points.

    At scale 1 a pixel is 1/96 in and a full-size scene comes out full size. The fonts must be registered
    already.
    """
    pen = _Pen(canvas, scene, left_pt, top_pt, scale, (font, bold_font))
    canvas.saveState()
    canvas.setStrokeGray(0)
    canvas.setFillGray(0)
    for leaf in scene.leaves():
        pen.leaf(leaf)
    canvas.restoreState()
    return scene.width * pen.k, scene.height * pen.k


def lettering() -> tuple[str, str]:
    """Register the drawing's own letters once and return the names of regular and bold.

    Raises ``OSError`` where the font files are missing from ``static/fonts/pdf``.
    """
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    names = ("B612", "B612-Bold")
    for name, weight in zip(names, (400, 700), strict=True):
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(name, str(FONTS / f"b612-{weight}.ttf")))
    return names


class _Pen:
    def __init__(
        self, canvas: Canvas, scene: Scene, left: float, top: float, scale: float, fonts: tuple[str, str]
    ) -> None:
        self.canvas, self.left, self.top, self.fonts = canvas, left, top, fonts
        self.k = POINTS_PER_PX / scene.px * scale
        self.px = POINTS_PER_PX * scale

    def place(self, point: Point) -> Point:
        return (self.left + point[0] * self.k, self.top - point[1] * self.k)

    def leaf(self, leaf: Leaf) -> None:
        if isinstance(leaf, Path):
            width = None if leaf.width is None else leaf.width * self.k
            self.stroke(leaf.role, width)
            self.canvas.drawPath(self.course(leaf.runs, leaf.closed), stroke=1, fill=0)
        elif isinstance(leaf, Area):
            self.area(leaf)
        elif isinstance(leaf, Circle):
            self.stroke(leaf.role, None)
            x, y = self.place(leaf.centre)
            self.canvas.setFillGray(1)
            self.canvas.circle(x, y, leaf.radius * self.k, stroke=1, fill=int(leaf.filled))
            self.canvas.setFillGray(0)
        else:
            self.text(leaf)

    def stroke(self, role: str, width: float | None) -> None:
        look = roles.STROKES[role]
        self.canvas.setLineWidth(look.width * self.px if width is None else width)
        self.canvas.setDash([part * self.px for part in look.dash])

    def area(self, area: Area) -> None:
        course = self.course(area.runs, True)
        if area.role in roles.PATTERNS:
            self.canvas.saveState()
            self.canvas.clipPath(course, stroke=0, fill=0)
            self.tiles(area)
            self.canvas.restoreState()
        elif area.role not in roles.PAPER_WHITE:
            self.canvas.drawPath(course, stroke=0, fill=1)
        elif area.role == "ground":
            self.canvas.setFillGray(1)
            self.canvas.drawPath(course, stroke=0, fill=1)
            self.canvas.setFillGray(0)

    def tiles(self, area: Area) -> None:
        """Draw every tile of the pattern that the region's rectangle touches, the clip does the rest."""
        tile = roles.PATTERNS[area.role]
        unit = self.px / self.k
        wide, high = tile.width * unit, tile.height * unit
        box = bounds(area.runs)
        course = self.canvas.beginPath()
        for column in range(
            math.floor((box.left - area.origin[0]) / wide), _last(box.right, area.origin[0], wide)
        ):
            for row in range(
                math.floor((box.top - area.origin[1]) / high), _last(box.bottom, area.origin[1], high)
            ):
                x0, y0 = area.origin[0] + column * wide, area.origin[1] + row * high
                for one in tile.lines:
                    points = [self.place((x0 + x * unit, y0 + y * unit)) for x, y in one]
                    course.moveTo(*points[0])
                    for point in points[1:]:
                        course.lineTo(*point)
        self.canvas.setLineWidth(tile.stroke * self.px)
        self.canvas.setDash([])
        self.canvas.drawPath(course, stroke=1, fill=0)

    def text(self, text: Text) -> None:
        size = text.size * self.k
        x, y = self.place(text.at)
        font = self.fonts[int(text.bold)]
        parts = [(part, size * (letters.LOW_SIZE if low else 1.0), letters.LOW_DROP * size if low else 0.0)
                 for part, low in letters.parts(text.text)]  # fmt: skip
        wide = sum(self.canvas.stringWidth(part, font, height) for part, height, _ in parts)
        start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[text.anchor]
        self.canvas.saveState()
        self.canvas.translate(x, y)
        self.canvas.rotate(-text.rotate_deg)
        if text.halo:
            self.canvas.setFillGray(1)
            pad = 1.5 * self.px
            self.canvas.rect(start - pad, -letters.DESCENT * size, wide + 2 * pad,
                             (letters.ASCENT + letters.DESCENT) * size, stroke=0, fill=1)  # fmt: skip
            self.canvas.setFillGray(0)
        for part, height, drop in parts:
            self.canvas.setFont(font, height)
            self.canvas.drawString(start, -drop, part)
            start += self.canvas.stringWidth(part, font, height)
        self.canvas.restoreState()

    def course(self, runs: tuple[Run, ...], closed: bool) -> PDFPathObject:
        course = self.canvas.beginPath()
        pen: Point | None = None
        for run in runs:
            start, end = ends(run)
            if pen is None or math.dist(pen, start) > 1e-6:
                course.moveTo(*self.place(start))
            if isinstance(run, Arc):
                for first, second, last in curves(run):
                    course.curveTo(*self.place(first), *self.place(second), *self.place(last))
            else:
                course.lineTo(*self.place(end))
            pen = end
        if closed:
            course.close()
        return course


def curves(run: Arc) -> list[tuple[Point, Point, Point]]:
    """Return an arc as cubic curves of at most 45 degrees each (two handles and an end).

    Four thirds of the tangent of a quarter of the angle makes the handle; the radius is then true to 4e-6
    of itself.
    """
    count = max(1, math.ceil(abs(run.sweep_rad) / (math.pi / 4) - 1e-9))
    step = run.sweep_rad / count
    handle = 4 / 3 * math.tan(step / 4) * run.radius_mm
    made = []
    for index in range(count):
        a, b = run.start_rad + index * step, run.start_rad + (index + 1) * step
        (ax, ay), (bx, by) = on_circle(run.centre, run.radius_mm, a), on_circle(run.centre, run.radius_mm, b)
        made.append(
            (
                (ax - handle * math.sin(a), ay + handle * math.cos(a)),
                (bx + handle * math.sin(b), by - handle * math.cos(b)),
                (bx, by),
            )
        )
    return made


def _last(high: float, origin: float, step: float) -> int:
    return math.floor((high - origin) / step) + 1
