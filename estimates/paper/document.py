"""What every document is: pages, a foot on each, and a file with a title, an author and a language."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import IO

from estimates.paper.letters import BODY, MM, Lettered, fonts
from estimates.paper.page import A4, MARGIN_MM, Page, PaperSize

FOOT_MM = 5.5  # from the page's lower edge to the foot's baseline
SMALL = 7.5

Draw = Callable[[Page], None]


@dataclass(frozen=True, slots=True)
class Imprint:
    """What every paper of a shop carries: its name, its language, its sheet, and when it was printed."""

    shop: str
    printed: str
    language: str = "en"
    paper: PaperSize = A4
    units: str = "mm"


class Document:
    """A document of one or more pages. A kind of document gives ``title``, ``foot`` and ``pages``."""

    title = ""
    margin_mm = MARGIN_MM

    def __init__(self, imprint: Imprint):
        self.imprint = imprint

    @property
    def paper(self) -> PaperSize:
        return self.imprint.paper

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of its pages."""
        return self.paper.width_mm, self.paper.height_mm

    def pages(self) -> Sequence[Draw]:
        """What draws each page, in order."""
        raise NotImplementedError

    def foot(self) -> str:
        """What stands in the middle of the foot."""
        return f"printed {self.imprint.printed}"

    def short_title(self) -> str:
        """What stands before the page number."""
        return self.title

    def draw_foot(self, page: Page, number: int, count: int) -> None:
        y = page.height_mm - FOOT_MM
        numbered = f"{self.short_title()}, page {number} of {count}"
        room = page.width_mm - 2 * self.margin_mm
        page.text(self.margin_mm, y, self.imprint.shop, BODY, SMALL, room=0.22 * room)
        page.text(page.width_mm / 2, y, self.foot(), BODY, SMALL, "middle", room=0.52 * room)
        page.text(page.width_mm - self.margin_mm, y, numbered, BODY, SMALL, "end", room=0.22 * room)


def write(documents: Iterable[Document], file: IO[bytes], *, title: str, imprint: Imprint) -> None:
    """Write documents one after the other into one PDF file."""
    for _ in written(documents, file, title=title, imprint=imprint):
        pass


def written(
    documents: Iterable[Document], file: IO[bytes], *, title: str, imprint: Imprint
) -> Iterator[Document]:
    """The same, giving each document as soon as its pages are drawn: for whoever shows how far it has got.

    Only the drawn pages are kept, packed; a document is let go before the next one is asked for.
    """
    fonts()
    canvas = Lettered(file, lang=imprint.language, pageCompression=1, initialFontName=BODY)
    canvas.setTitle(title)
    canvas.setAuthor(imprint.shop)
    canvas.setCreator("Gatherbook")
    canvas.setSubject(title)
    canvas.setViewerPreference("DisplayDocTitle", "true")
    for document in documents:
        wide, high = document.size_mm
        drawings = document.pages()
        canvas.bookmarkPage(str(id(document)))
        canvas.addOutlineEntry(document.title, str(id(document)), 0)
        for number, drawing in enumerate(drawings, start=1):
            canvas.setPageSize((wide * MM, high * MM))
            page = Page(canvas, wide, high)
            drawing(page)
            document.draw_foot(page, number, len(drawings))
            canvas.showPage()
        yield document
    canvas.save()
