"""Where things stand on a work order: cautions on its first page, drawings large enough to read."""

import io
import re
from dataclasses import replace

import pdfplumber
import pytest

from estimates.paper.document import write
from estimates.paper.facts.imprint import imprint_of
from estimates.paper.facts.work_order import read_around, work_order
from estimates.paper.work_order import WorkOrderPaper
from jobs.drawings.scene import bounds, leaves
from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.panels import save_panel, work_of
from jobs.reading_log import log_reading
from tests.jobs.drawings.panels import panel as work_of_form

CAUTIONS = ("Take care", "Cut edges are sharp", "Hammers and grinders", "Local codes and licensed practice")


def pages_of(client, panel):
    response = client.get(f"/jobs/{panel.job.number}/panels/{panel.position}/work-order.pdf")
    return pdfplumber.open(io.BytesIO(b"".join(response.streaming_content))).pages


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("lines", [3, 9, 12, 25])
@pytest.mark.parametrize("turn", [0.3, 3.0])
def test_cautions_stand_on_the_first_page_whatever_the_table_takes(
    shaper_client, panel, owner, shop, paper, lines, turn
):
    shop.paper = paper
    shop.save()
    panel.line_count = lines
    panel.dimensions = panel.dimensions | {"turn_rad": turn}
    save_panel(panel, owner)
    log_reading(panel, owner, 1, "edge-length", panel_edge(panel) + 2.0, sure=True)
    pages = pages_of(shaper_client, panel)
    first = " ".join(pages[0].extract_text().split())
    assert [words for words in CAUTIONS if words not in first] == []
    assert sum("signed off" in page.extract_text() for page in pages) == 1
    texts = [page.extract_text() for page in pages]
    with_rows = [
        text for text in texts if re.search(r"line, \d+ gather|line \d+, \d+ gather|dress the edges", text)
    ]
    assert all("the tape" in text for text in with_rows)
    assert sum(bool(re.search(r"start line, \d+ gather", text)) for text in texts) == 1
    whole = " ".join(" ".join(texts).split())
    assert [
        n for n in range(2, lines) if lines != 3 and f"line {n}, " not in whole and n != (lines + 1) / 2
    ] == []


def test_cautions_that_just_fit_stay_on_the_first_page(panel, shop):
    """Drawings give way until all just fits; a rounding must not send the cautions over the page then."""
    around = read_around([panel])
    order = work_order(panel, around, shop, lambda code: f"https://book.example/c/{code}/")
    imprint = imprint_of(shop)
    for count in range(1, 40):
        file = io.BytesIO()
        paper = WorkOrderPaper(imprint, replace(order, cautions=("Take care of every edge.",) * count))
        write([paper], file, title="Work order", imprint=imprint)
        with pdfplumber.open(file) as pdf:
            assert "every edge" in pdf.pages[0].extract_text(), f"{count} cautions"


def panel_edge(panel) -> float:

    return work_of(panel).passes[0].edge_length_mm


@pytest.mark.parametrize("form", ["tray", "arch", "dome", "crown"])
def test_a_view_beside_the_pattern_is_large_enough_to_read(form):
    """Beside a tall blank there are 62 mm: the panel takes a third of them at least, and no lettering shrinks."""
    scene = side_view(work_of_form(form), width=280, height=148)
    drawn = [leaf.runs for leaf in leaves(scene.items) if getattr(leaf, "role", "") in ("outline", "section")]
    boxes = [bounds(runs) for runs in drawn]
    assert max(box.right for box in boxes) - min(box.left for box in boxes) > 280 / 3
    assert scene.width < 290
    said = " ".join(text.text for text in scene.texts()).lower()
    if form == "tray":
        assert "corner radius" in said


@pytest.mark.parametrize("form", ["tray", "arch", "dome", "sweep"])
def test_a_section_beside_the_pattern_leaves_the_lines_names_to_it(form):
    scene = section(work_of_form(form), width=280, height=148, lines=False)
    said = " ".join(text.text for text in scene.texts())
    assert "Lines as on the pattern." in said
    assert "start line" not in said
    assert "ring" not in said
    assert scene.width < 290
