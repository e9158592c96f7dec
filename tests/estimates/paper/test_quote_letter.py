"""Where a quote's letter breaks its pages: nobody signs a page that does not say for how much."""

import io

import pypdf
import pytest

from estimates.paper.document import Imprint, write
from estimates.paper.letter import LetterHead, Party, Row
from estimates.paper.page import A4, LETTER
from estimates.paper.quote import QuoteLetter, QuotePaper

TERMS = "The deposit is due on acceptance, the rest when the work is collected. "
SUMS = (
    Row("Without tax", amount="€ 2 394.39", over_line=True),
    Row("VAT 23 %", amount="€ 550.70"),
    Row("Total", amount="€ 2 945.09", strong=True, over_line=True),
)


def pages_of(count: int, terms: str, paper=A4) -> list[str]:
    head = LetterHead(Party("Drumlin & Daughter"), Party("Tamsin Pell"), "Quote 2026-013 A", "Skins", ())
    letter = QuoteLetter(
        head=head, intro="", items=tuple(Row(f"Panel {one}", "smooth finish", "€ 100.00") for one in range(count)),
        options=(), sums=SUMS, money_words="EUR", deposit="We ask for a deposit.", terms=terms, standing="",
        answered="", page_address="https://book.example/for/x/",
    )  # fmt: skip
    imprint, file = Imprint("Drumlin & Daughter", "today", paper=paper), io.BytesIO()
    write([QuotePaper(imprint, letter)], file, title="Quote", imprint=imprint)
    return [page.extract_text() for page in pypdf.PdfReader(file).pages]


@pytest.mark.parametrize("paper", [A4, LETTER], ids=["A4", "Letter"])
@pytest.mark.parametrize(
    "terms", ["", TERMS * 4, TERMS * 70, TERMS * 120], ids=["none", "few", "many", "pages"]
)
def test_the_total_stands_where_a_quote_is_signed(terms, paper):
    for count in range(1, 32, 2):
        pages = pages_of(count, terms, paper)
        (signed,) = [page for page in pages if "Accepted by" in page]
        assert "2 945.09" in signed, f"{count} items"
        assert "You can answer on your own page" in signed


def test_no_page_of_a_quote_is_left_nearly_empty():
    for count in range(1, 32, 2):
        pages = pages_of(count, TERMS * 4)
        items = [sum(f"Panel {one}\n" in page for one in range(count)) for page in pages]
        assert len(pages) == 1 or items[0] >= 8
