"""A page to draw on: millimetres from its top left corner, black on white."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from reportlab.lib.utils import ImageReader

from estimates.paper.letters import BODY, MM, Lettered, fitting, leading_mm, width_mm, wrapped
from jobs.drawings.pdf import draw, lettering
from jobs.drawings.primitives import PX_MM
from jobs.drawings.scene import Scene, filled_box

Anchor = Literal["start", "middle", "end"]
MARGIN_MM = 10.0
THIN, LINE, THICK = 0.13, 0.35, 0.8  # mm
ROUNDING_MM = 0.01
LEAST_PT = 2.5  # smaller letters are dust; a name so long goes on to a third line


@dataclass(frozen=True, slots=True)
class PaperSize:
    """A sheet of paper, millimetres. A4 by ISO 216; Letter is 8.5 x 11 in (ANSI A)."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def room_mm(self) -> float:
        """Width between the margins."""
        return self.width_mm - 2 * MARGIN_MM


A4 = PaperSize("A4", 210.0, 297.0)
LETTER = PaperSize("Letter", 215.9, 279.4)
SIZES = {size.name: size for size in (A4, LETTER)}


class Page:
    """One page of a canvas. Every position and size is in millimetres, type sizes in points."""

    def __init__(self, canvas: Lettered, width_mm: float, height_mm: float):
        self.canvas, self.width_mm, self.height_mm = canvas, width_mm, height_mm

    @property
    def right(self) -> float:
        return self.width_mm - MARGIN_MM

    def place(self, x: float, y: float) -> tuple[float, float]:
        """A place of the page in PDF points."""
        return x * MM, (self.height_mm - y) * MM

    def text(
        self, x: float, y: float, text: str, font: str = BODY, size: float = 8.6, anchor: Anchor = "start",
        room: float | None = None, least: float = 5.5,
    ) -> float:  # fmt: skip
        """Write one line with its baseline at ``y`` and return its width.

        With ``room`` it is written smaller where it would be wider, and past ``least`` on two small lines about it.
        """
        if room is not None:
            size = fitting(text, font, size, room, least)
            if width_mm(text, font, size) > room + ROUNDING_MM:
                return self._two_lines(x, y, text, font, size, anchor, room)
        wide = width_mm(text, font, size)
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        self.canvas.setFont(font, size)
        self.canvas.drawString(*self.place(left, y), text)
        return wide

    def _two_lines(
        self, x: float, y: float, text: str, font: str, size: float, anchor: Anchor, room: float
    ) -> float:
        """Write a line that is far too long on two, as large as both fit; return the wider one's width."""
        lines = wrapped(text, font, size, room)
        while len(lines) > 2 and size > LEAST_PT:
            size = max(LEAST_PT, size - 0.25)
            lines = wrapped(text, font, size, room)
        step = size * 1.1 / MM
        y -= step * (len(lines) - 1) / 2
        return max(
            self.text(x, y + index * step, line, font, size, anchor) for index, line in enumerate(lines)
        )

    def paragraph(
        self, x: float, y: float, text: str, room: float, font: str = BODY, size: float = 8.6
    ) -> float:
        """Write text from a first baseline at ``y``, broken to its room; return the baseline of the next line."""
        for line in wrapped(text, font, size, room):
            self.text(x, y, line, font, size)
            y += leading_mm(size)
        return y

    def line(self, x1: float, y1: float, x2: float, y2: float, width: float = LINE) -> None:
        self.canvas.setLineWidth(width * MM)
        self.canvas.setDash([])
        self.canvas.line(*self.place(x1, y1), *self.place(x2, y2))

    def box(self, x: float, y: float, wide: float, high: float, width: float = LINE, dash: float = 0) -> None:
        self.canvas.setLineWidth(width * MM)
        self.canvas.setDash([dash * MM] if dash else [])
        left, bottom = self.place(x, y + high)
        self.canvas.rect(left, bottom, wide * MM, high * MM, stroke=1, fill=0)

    def white(self, x: float, y: float, wide: float, high: float) -> None:
        """Clear a rectangle of what is drawn already, for lettering over lines."""
        self.canvas.saveState()
        self.canvas.setFillGray(1)
        left, bottom = self.place(x, y + high)
        self.canvas.rect(left, bottom, wide * MM, high * MM, stroke=0, fill=1)
        self.canvas.restoreState()

    def pattern(self, x: float, y: float, wide: float, high: float, role: str, scale: float = 1.0) -> None:
        """Fill a rectangle with one of the line patterns."""
        px = PX_MM * scale
        area = filled_box(role, 0, 0, wide / px, high / px)
        self.scene(Scene("", "", wide / px, high / px, (area,)), x, y, scale)

    def scene(self, scene: Scene, x: float, y: float, scale: float = 1.0) -> tuple[float, float]:
        """Draw a scene with its top left corner here; return its width and height on the paper."""
        font, bold = lettering()
        wide, high = draw(self.canvas, scene, *self.place(x, y), scale=scale, font=font, bold_font=bold)
        return wide / MM, high / MM

    def image(self, x: float, y: float, wide: float, high: float, image: ImageReader) -> tuple[float, float]:
        """Draw a picture as large as it fits, from the corner; return its width and height."""
        pixels_wide, pixels_high = image.getSize()
        scale = min(wide / pixels_wide, high / pixels_high)
        drawn = pixels_wide * scale, pixels_high * scale
        left, bottom = self.place(x, y + drawn[1])
        self.canvas.drawImage(image, left, bottom, drawn[0] * MM, drawn[1] * MM, mask="auto")
        return drawn


def scene_size_mm(scene: Scene, scale: float = 1.0) -> tuple[float, float]:
    """How large a scene comes out: a pixel is 1/96 in, a full-size scene is in millimetres already."""
    k = PX_MM / scene.px * scale
    return scene.width * k, scene.height * k
