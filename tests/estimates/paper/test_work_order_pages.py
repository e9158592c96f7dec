"""What goes on which page of a work order, and that a pencil has room in every empty box."""

import io
import itertools
from collections.abc import Iterator
from dataclasses import replace

import pdfplumber
import pytest

from estimates.paper.document import write
from estimates.paper.facts.imprint import imprint_of
from estimates.paper.facts.work_order import read_around, work_order
from estimates.paper.page import A4, LETTER
from estimates.paper.values import Note, Picture, Row, StageBlock
from estimates.paper.work_order import WorkOrderPaper
from jobs.panels import save_panel
from tests.jobs.drawings.panels import EXAMPLES

MM = 72 / 25.4
BY_HAND_MM = 8.0
FIRST_TABLE_WORDS = "mark the lines, cut the blank"
PAPERS = [A4, LETTER]


def order_of(panel, shop):
    return work_order(panel, read_around([panel]), shop, lambda code: f"https://book.example/c/{code}/")


def pages_of(order, shop, paper=A4) -> list:
    file, imprint = io.BytesIO(), replace(imprint_of(shop), paper=paper)
    write([WorkOrderPaper(imprint, order)], file, title="Work order", imprint=imprint)
    return pdfplumber.open(file).pages


def texts_of(order, shop, paper=A4) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in pages_of(order, shop, paper)]


def with_passes(order, count: int):
    """The same order with a gathering stage of so many passes."""
    rows = tuple(
        Row(str(number), f"line {number}, 4 gathers", "30", "45°", "500") for number in range(1, count + 1)
    )
    stages = [replace(one, rows=rows) if one.slug == "gathering" else one for one in order.stages]
    return replace(order, stages=tuple(stages))


def no_picture():
    raise OSError("lost")


PICTURE = Picture(no_picture, "Old part")
NOTE = Note("Start at the tail end: the front pulls in by itself.", "Gathering, Osk")
LONG = (
    "The line takes 19 gathers, more than fit 25 mm apart: 2 rounds. Work it flat between rounds and anneal."
)


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper.name)
@pytest.mark.parametrize("count", [*range(1, 40), 60])
def test_where_it_is_signed_stands_with_rows_of_the_table(panel, shop, paper, count):
    order = with_passes(order_of(panel, shop), count)
    texts = texts_of(order, shop, paper)
    (signed,) = [text for text in texts if "signed off" in text]
    assert "the tape" in signed
    assert "trim, dress the edges" in signed
    whole = " ".join(texts)
    assert all(f"line {number}, 4 gathers" in whole for number in range(1, count + 1))
    assert sum(FIRST_TABLE_WORDS in text for text in texts) == 1
    assert texts[0].count("Take care") == 1


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper.name)
@pytest.mark.parametrize("count", range(1, 12))
def test_a_table_that_one_page_holds_is_not_parted(panel, shop, paper, count):
    texts = texts_of(with_passes(order_of(panel, shop), count), shop, paper)
    assert sum("the tape" in text for text in texts) == 1


def test_what_does_not_go_on_one_page_breaks_between_drawings_and_table(panel, shop):
    order = replace(
        with_passes(order_of(panel, shop), 9), warnings=(LONG,), notes=(NOTE,), pictures=(PICTURE,)
    )
    first, second = texts_of(order, shop)
    assert [
        word for word in ("Take care", "Mind this about the shape", "start line") if word not in first
    ] == []
    assert [
        word for word in (FIRST_TABLE_WORDS, "signed off", NOTE.text, panel.name) if word not in second
    ] == []
    assert f"{panel.mark}, page 2 of 2" in second


@pytest.mark.parametrize("form", ["sweep", "tray", "crown", "roll", "fold"])
def test_a_plain_panel_takes_one_page(panel, owner, shop, form):
    """Three lines, nothing unusual: drawings, table, cautions and where it is signed go on one page."""
    panel.form, panel.dimensions = form, EXAMPLES[form]
    save_panel(panel, owner)
    assert len(texts_of(order_of(panel, shop), shop)) == 1


def test_what_is_minded_comes_short_before_it_takes_a_page(panel, owner, shop):
    """A dome with three rings and two warnings fills a page to the last: nothing of it goes on alone."""
    panel.form, panel.dimensions = "dome", EXAMPLES["dome"]
    save_panel(panel, owner)
    order = replace(order_of(panel, shop), warnings=(LONG, LONG))
    (only,) = texts_of(order, shop)
    assert [word for word in ("Take care", "Mind this", "signed off:", "Collected") if word not in only] == []
    assert only.count("Work it flat between rounds") == 2


def test_photos_alone_go_on_a_page_after_all_that_the_bench_needs(panel, owner, shop):
    panel.form, panel.dimensions = "tray", EXAMPLES["tray"]
    save_panel(panel, owner)
    first, second = texts_of(replace(order_of(panel, shop), pictures=(PICTURE,)), shop)
    assert "signed off" in first
    assert "Old part" in second


def strokes(page, x: float) -> list[float]:
    """Where level strokes cross an upright line of the page, from the top down, millimetres."""
    level = [
        (one["x0"], one["x1"], one["top"]) for one in page.lines if abs(one["top"] - one["bottom"]) < 0.01
    ]
    level += [(one["x0"], one["x1"], y) for one in page.rects for y in (one["top"], one["bottom"])]
    return sorted({round(y / MM, 2) for left, right, y in level if left < x < right})


def boxes_under(page, word, end: float) -> list[float]:
    """The heights between the strokes under a word of a head, down to a place of the page."""
    x = (word["x0"] + word["x1"]) / 2
    below = [y for y in strokes(page, x) if word["bottom"] / MM < y < end]
    return [b - a for a, b in itertools.pairwise(below) if b - a > 0.2]


def empty_boxes(page) -> Iterator[float]:
    """The heights of the boxes under the heads that ask for a pencil."""
    words = page.extract_words()
    after = [one for one in words if one["text"] in ("signed", "Take")]
    foot = min((one["top"] for one in after), default=page.height) / MM - 4
    for row, heads, end in (("done", ("hours", "by"), foot), ("signed", ("name", "date"), page.height / MM)):
        for at in (one for one in words if one["text"] == row):
            beside = [one for one in words if abs(one["top"] - at["top"]) < 1 and one["text"] in heads]
            for head in beside:
                yield from boxes_under(page, head, end)


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper.name)
@pytest.mark.parametrize("count", [1, 3, 5, 9, 16, 30])
def test_every_box_to_write_in_has_room_for_a_pencil(panel, shop, paper, count):
    """8 mm for a figure or a name in soft pencil: common practice, no source."""
    pages = pages_of(with_passes(order_of(panel, shop), count), shop, paper)
    made = [high for page in pages for high in empty_boxes(page)]
    assert [high for high in made if high < BY_HAND_MM - 0.02] == []
    assert len(made) >= 2 * (count + 5)


@pytest.mark.parametrize("own", [0, 2, 4])
def test_stages_signed_side_by_side_have_room_for_a_pencil_too(panel, owner, shop, own):
    panel.form, panel.dimensions = "dome", EXAMPLES["dome"]
    save_panel(panel, owner)
    added = tuple(StageBlock("own", f"Own {number}", "", (Row("1", "own work"),)) for number in range(own))
    order = order_of(panel, shop)
    order = replace(order, stages=order.stages + added, pattern=None if own else order.pattern)
    made = (pages_of(replace(order, warnings=(LONG,) * count), shop) for count in range(25))
    page = next(pages[0] for pages in made if "signed off:" in pages[0].extract_text())
    words = page.extract_words()
    (last,) = [one for one in words if one["text"] == "Collected"]
    below = [y for y in strokes(page, last["x0"]) if y > last["bottom"] / MM]
    assert below[1] - below[0] >= BY_HAND_MM - 0.02
