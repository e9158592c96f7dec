"""Letters: another font where one lacks them, right to left, nothing lost."""

import io
from itertools import pairwise

import pdfplumber
import pytest

from estimates.paper.direction import in_reading_order, joined
from estimates.paper.document import Document, Imprint, write
from estimates.paper.letters import BODY, HEAD, runs, width_mm, wrapped

IMPRINT = Imprint("Drumlin & Daughter", "today")


class OneLine(Document):
    title = "One line"

    def __init__(self, text):
        super().__init__(IMPRINT)
        self.text = text

    def pages(self):
        return [lambda page: page.text(10, 40, self.text, HEAD, 14)]


def read_back(text: str) -> list[dict]:
    file = io.BytesIO()
    write([OneLine(text)], file, title="x", imprint=IMPRINT)
    with pdfplumber.open(io.BytesIO(file.getvalue())) as pdf:
        return [one for one in pdf.pages[0].chars if one["size"] == pytest.approx(14)]


@pytest.mark.parametrize(
    "text",
    ["Zoë Łukács", "Ελένη Ωμέγα", "Жанна Щукина", "陳大文 商店", "ひらがなカタカナ", "김철수", "→ ≤ ○"],
)
def test_every_letter_is_on_the_paper(text):
    assert "".join(one["text"] for one in read_back(text)) == text


def test_letters_stand_side_by_side_without_overlap():
    chars = read_back("Ann 陳大文 שלום Жанна")
    for before, after in pairwise(chars):
        assert after["x0"] >= before["x1"] - 0.01


def test_a_letter_that_no_font_has_is_written_by_its_name():
    assert "".join(piece for _, piece in runs("𓀀", BODY)) == "[egyptian hieroglyph a001]"


def test_hebrew_runs_from_right_to_left():
    assert in_reading_order("אבג") == "גבא"


@pytest.mark.parametrize(
    ("text", "order"),
    [
        # The examples of UAX #9 in the form of its own legend would need controls; these are worked by hand.
        ("car אבג end", "car גבא end"),
        ("אבג 12 דה", "הד 12 גבא"),
        ("אב (גד)", "(דג) בא"),
        ("plain", "plain"),
        ("2026-001.1 אב", "בא 2026-001.1"),  # a mark keeps its figures in order
        ("אב 25% גד", "דג 25% בא"),
        ("אב €25 גד", "דג €25 בא"),
    ],
)
def test_lines_of_both_directions(text, order):
    assert in_reading_order(text) == order


def test_arabic_letters_join():
    """Beh between two others takes its medial form (U+FE92), at the start its initial one (U+FE91)."""
    assert joined("ببب") == "\ufe91\ufe92\ufe90"
    assert joined("اب") == "\ufe8d\ufe8f"  # alef joins nothing after it


def test_arabic_is_drawn_with_its_own_font():
    chars = read_back("ورشة العمل")
    assert {one["fontname"].partition("+")[2] for one in chars if one["text"].strip()} == {
        "NotoSansArabic-Regular"
    }


def test_wrapped_lines_fit_and_lose_nothing():
    text = "Fairing skin with a " + "x" * 200 + " and an end"
    lines = wrapped(text, BODY, 9, 60)
    assert max(width_mm(line, BODY, 9) for line in lines) <= 60
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


@pytest.mark.parametrize("figure", ["36.4 mm", "9 %", "1 25/32 in", "3/16 in", "0.5–0.7 h"])
@pytest.mark.parametrize("room", range(20, 60, 2))
def test_no_line_breaks_between_a_figure_and_its_unit(figure, room):
    text = f"Allow a trim of at least {figure}, or make a trial piece of {figure} first."
    assert sum(line.count(figure) for line in wrapped(text, BODY, 8.6, room)) == 2
