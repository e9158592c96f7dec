"""How long a work order takes beside the bare drawing of the same page, and what a set of sixty asks of memory.

The bare drawing replays every call that the work order made on reportlab's canvas, in order and with the same
arguments, on a canvas that nothing of the book stands in front of. What the book adds is figuring the panel, making
its drawings, laying the page out and looking letters up.
"""

from __future__ import annotations

import io
import time
from collections.abc import Callable

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from estimates.paper import document
from estimates.paper.document import Document, Imprint, write
from estimates.paper.letters import Lettered, fonts

Call = tuple[str, tuple, dict]
RECORDED = (
    "saveState", "restoreState", "translate", "rotate", "setFont", "setLineWidth", "setDash", "setStrokeGray",
    "setFillGray", "line", "rect", "circle", "drawPath", "clipPath", "drawString", "drawImage", "setPageSize",
    "showPage",
)  # fmt: skip
PATH_CALLS = ("moveTo", "lineTo", "curveTo", "rect", "close")


class _Path(PDFPathObject):
    """A path that remembers how it was drawn."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.calls: list[tuple[str, tuple]] = []


def _remembered(name: str):
    true = getattr(PDFPathObject, name)

    def call(self, *args):
        self.calls.append((name, args))
        return true(self, *args)

    return call


for _name in PATH_CALLS:
    setattr(_Path, _name, _remembered(_name))


class Recorder(Lettered):
    """A canvas that remembers the calls made on it, not those that they make in turn."""

    last: Recorder | None = None

    def __init__(self, *args, **kwargs):
        self.calls: list[Call] = []
        self._inside = 0
        super().__init__(*args, **kwargs)
        Recorder.last = self

    def beginPath(self):
        return _Path()


def _recorded(name: str):
    true = getattr(Lettered, name)

    def call(self, *args, **kwargs):
        if not self._inside:
            self.calls.append((name, args, kwargs))
        self._inside += 1
        try:
            return true(self, *args, **kwargs)
        finally:
            self._inside -= 1

    return call


for _name in RECORDED:
    setattr(Recorder, _name, _recorded(_name))


def record(papers: list[Document], imprint: Imprint) -> list[Call]:
    """The canvas calls of some papers, in order."""
    true, document.Lettered = document.Lettered, Recorder
    try:
        write(papers, io.BytesIO(), title="x", imprint=imprint)
    finally:
        document.Lettered = true
    return Recorder.last.calls


def replay(calls: list[Call]) -> None:
    """The same drawing on a bare canvas."""
    canvas = Canvas(io.BytesIO(), pageCompression=1)
    for name, args, kwargs in calls:
        if name in ("drawPath", "clipPath"):
            course = canvas.beginPath()
            for step, points in args[0].calls:
                getattr(course, step)(*points)
            args = (course, *args[1:])
        getattr(canvas, name)(*args, **kwargs)
    canvas.save()


def seconds(work: Callable[[], object], times: int = 9) -> float:
    """The least of some runs, the first not counted: what the machine does besides only ever adds."""
    work()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def work_order_against_bare(make: Callable[[], list[Document]], imprint: Imprint) -> tuple[float, float]:
    """Seconds of a work order, made by ``make`` from its figures, and of the bare drawing of the same pages."""
    fonts()
    calls = record(make(), imprint)
    ours = seconds(lambda: write(make(), io.BytesIO(), title="x", imprint=imprint))
    return ours, seconds(lambda: replay(calls))
