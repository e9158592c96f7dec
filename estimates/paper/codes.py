"""QR codes as black squares, sharp at any size."""

from __future__ import annotations

import segno

from estimates.paper.page import Page
from jobs.drawings.pdf import POINTS_PER_MM

QUIET = 4  # modules of white all round: ISO/IEC 18004 asks for four


def draw_code(page: Page, x: float, y: float, side_mm: float, address: str) -> None:
    """Draw the code of an address in a square with its quiet zone; M corrects 15 % of it."""
    matrix = segno.make_qr(address, error="m").matrix
    module = side_mm / (len(matrix) + 2 * QUIET)
    course = page.canvas.beginPath()
    for row, bits in enumerate(matrix):
        for start, length in _dark(bits):
            left, bottom = page.place(x + (QUIET + start) * module, y + (QUIET + row + 1) * module)
            # A hair over: touching squares must not show white seams on a screen.
            course.rect(left, bottom, length * module * POINTS_PER_MM, module * POINTS_PER_MM * 1.01)
    page.canvas.drawPath(course, stroke=0, fill=1)


def _dark(bits: bytes) -> list[tuple[int, int]]:
    """Runs of dark modules in a row: where each starts and how long it is."""
    runs: list[tuple[int, int]] = []
    for index, bit in enumerate(bits):
        if not bit:
            continue
        if runs and sum(runs[-1]) == index:
            runs[-1] = (runs[-1][0], runs[-1][1] + 1)
        else:
            runs.append((index, 1))
    return runs
