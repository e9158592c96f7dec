"""Photos in rows, each with its caption beneath."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence

from PIL import Image
from reportlab.lib.utils import ImageReader

from estimates.paper.letters import BODY, leading_mm, wrapped
from estimates.paper.page import LINE, MARGIN_MM, Page
from estimates.paper.values import Picture

PICTURE_HIGH = 62.0
CAPTION_LINES = 3
PIXELS = 720  # of the longer side: 60 mm at 300 dpi


def picture_rows(
    pictures: Sequence[Picture], room: float, *, columns: int
) -> Iterator[Callable[[Page, float], None]]:
    """Yield what draws each row of photos."""
    for start in range(0, len(pictures), columns):
        row = pictures[start : start + columns]
        yield lambda page, top, row=row: _row(page, top, row, room, columns)


def _row(page: Page, top: float, pictures: Sequence[Picture], room: float, columns: int) -> None:
    gap = 4.0
    wide = (room - gap * (columns - 1)) / columns
    for index, picture in enumerate(pictures):
        draw_picture(page, MARGIN_MM + index * (wide + gap), top + 3, wide, PICTURE_HIGH - 16, picture)


def draw_picture(page: Page, x: float, y: float, wide: float, high: float, picture: Picture) -> None:
    """Draw one photo in its frame, its caption beneath; a lost file leaves an empty frame that says so."""
    reader = _reader(picture)
    if reader is None:
        page.box(x, y, wide, high, LINE, dash=1.2)
        page.text(
            x + wide / 2, y + high / 2, "The photo is missing.", size=7.5, anchor="middle", room=wide - 2
        )
        drawn = (wide, high)
    else:
        drawn = page.image(x, y, wide, high, reader)
        page.box(x, y, *drawn, LINE)
    lines = wrapped(picture.caption, BODY, 7.5, wide)
    if len(lines) > CAPTION_LINES:
        lines = [*lines[: CAPTION_LINES - 1], f"{lines[CAPTION_LINES - 1]} …"]
    for index, line in enumerate(lines):
        page.text(x, y + drawn[1] + 3.6 + index * leading_mm(7.5), line, size=7.5, room=wide)


def _reader(picture: Picture) -> ImageReader | None:
    """The photo no larger than paper can show, as a JPEG; nothing where it cannot be read."""
    try:
        with picture.open() as file, Image.open(file) as image:
            image.draft("RGB", (PIXELS, PIXELS))
            small = image.convert("RGB")
        small.thumbnail((PIXELS, PIXELS))
    except (OSError, ValueError):
        return None
    packed = io.BytesIO()
    small.save(packed, "JPEG", quality=80)
    packed.seek(0)
    return ImageReader(packed)
