"""The work order, read back from its PDF."""

import io
from datetime import date
from decimal import Decimal

import pdfplumber
import pypdf
import pypdfium2
import pytest
import zxingcpp

from estimates.paper.cautions import cautions_for
from jobs.models import MaterialUse, Stage, StageNote
from jobs.panels import add_mirrored_hand, save_panel
from jobs.passes import tick_pass
from jobs.reading_log import log_reading
from shop.models import SheetStock, StageKind


@pytest.fixture
def staged(panel):
    """The cast's panel with its four stages budgeted."""
    for kind in StageKind.objects.all():
        Stage.objects.create(
            panel=panel, kind=kind, budget_low_hours=Decimal("2.5"), budget_high_hours=Decimal("3.5")
        )
    return panel


def pdf_of(response) -> pypdf.PdfReader:
    assert response.status_code == 200
    return pypdf.PdfReader(io.BytesIO(b"".join(response.streaming_content)))


def order_of(client, panel) -> pypdf.PdfReader:
    return pdf_of(client.get(f"/jobs/{panel.job.number}/panels/{panel.position}/work-order.pdf"))


def text_of(reader: pypdf.PdfReader) -> str:
    return "\n".join(page.extract_text() for page in reader.pages)


def test_work_order_says_what_the_bench_needs(shaper_client, staged):
    reader = order_of(shaper_client, staged)
    text = text_of(reader)
    said = [
        staged.mark, "Fairing skin", "Aluminium 1100-O 1.6 mm", "19.1 mm", "2.5–3.5", "centre line", "493.8",
        "This rule must measure 140 mm", "Take care", "Local codes and licensed practice come first",
        "signed off", "Throw older prints away", "page 1 of 1", staged.code,
    ]  # fmt: skip
    assert [words for words in said if words not in text.replace("\xa0", " ")] == []


def test_work_order_names_itself_and_its_language(shaper_client, staged):
    reader = order_of(shaper_client, staged)
    assert reader.metadata.title == f"Work order {staged.mark} Fairing skin"
    assert reader.metadata.author == "Drumlin & Daughter"
    assert reader.trailer["/Root"]["/Lang"] == "en"


def test_every_font_is_embedded(shaper_client, staged):
    for page in order_of(shaper_client, staged).pages:
        for font in page["/Resources"]["/Font"].values():
            used = font.get_object()
            assert "/FontFile2" in used["/FontDescriptor"], used["/BaseFont"]


@pytest.mark.parametrize(("paper", "size"), [("A4", (595.28, 841.89)), ("Letter", (612.0, 792.0))])
def test_work_order_is_as_large_as_the_shops_paper(shaper_client, staged, shop, paper, size):
    """A4 by ISO 216 is 210 x 297 mm; Letter (ANSI A) is 8.5 x 11 in."""
    shop.paper = paper
    shop.save()
    box = order_of(shaper_client, staged).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(size, abs=0.01)


def test_the_code_on_the_paper_opens_the_panel(shaper_client, staged):
    response = shaper_client.get(f"/jobs/{staged.job.number}/panels/1/work-order.pdf")
    document = pypdfium2.PdfDocument(b"".join(response.streaming_content))
    picture = document[0].render(scale=300 / 72).to_pil()
    (code,) = zxingcpp.read_barcodes(picture)
    assert code.text == f"http://testserver/c/{staged.code}/"
    opened = shaper_client.get(f"/c/{staged.code}/", follow=True)
    assert staged.name in opened.content.decode()


def test_the_other_hand_is_boxed_and_told_what_to_repeat(shaper_client, staged, owner):
    other = add_mirrored_hand(staged, owner)
    StageNote.objects.create(
        stage=staged.stages.all()[1], person=owner, text="Clamp the web first.", for_other_hand=True
    )
    text = text_of(order_of(shaper_client, other))
    assert "RIGHT" in text
    assert "drawn mirrored" in text
    assert "Clamp the web first." in text
    assert "repeat on other hand" in text


def test_a_promise_stands_before_a_wish(shaper_client, staged):
    job = staged.job
    job.due_on, job.promised_on = date(2030, 5, 3), date(2030, 5, 10)
    job.save()
    assert "Promised for Fri 10 May 2030" in text_of(order_of(shaper_client, staged))


def test_a_shape_that_cannot_be_made_says_so(shaper_client, staged, owner):
    staged.dimensions = staged.dimensions | {"depth_mm": 5.0}
    type(staged).objects.filter(pk=staged.pk).update(dimensions=staged.dimensions)
    assert "cannot be made" in text_of(order_of(shaper_client, staged))


def test_stranger_prints_nothing(stranger_client, staged):
    response = stranger_client.get(f"/jobs/{staged.job.number}/panels/1/work-order.pdf")
    assert response.status_code == 302


def test_work_order_asks_for_few_queries(
    shaper_client, staged, owner, django_assert_max_num_queries, aluminium
):
    with django_assert_max_num_queries(24):
        order_of(shaper_client, staged)


def test_set_of_a_job_asks_no_more_for_more_panels(
    shaper_client, staged, owner, django_assert_max_num_queries
):
    for index in range(6):
        staged.pk = None
        staged._state.adding = True
        staged.code = f"CPY{index}BB"
        save_panel(staged, owner)
    with django_assert_max_num_queries(24):
        reader = pdf_of(shaper_client.get(f"/jobs/{staged.job.number}/work-orders.pdf"))
    assert len(reader.pages) == 8
    assert "7 panels" in reader.pages[0].extract_text()


def test_the_drop_of_a_cut_blank_is_named(shaper_client, staged, sheet, aluminium):
    drop = SheetStock.objects.create(
        metal=aluminium,
        thickness_mm=1.6,
        length_mm=1057,
        width_mm=1000,
        kind=SheetStock.Kind.DROP,
        cut_from=sheet,
    )
    MaterialUse.objects.create(
        panel=staged, sheet=sheet, drop=drop, length_mm=600, width_mm=400, mass_kg=1, cost=Decimal("9")
    )
    text = text_of(order_of(shaper_client, staged))
    assert "drop to the rack" in text
    assert "1\u2009057 × 1\u2009000 mm" in text


def first_page(client, panel):
    response = client.get(f"/jobs/{panel.job.number}/panels/{panel.position}/work-order.pdf")
    return pdfplumber.open(io.BytesIO(b"".join(response.streaming_content))).pages[0]


def tick_strokes(page) -> int:
    """Short slanting strokes in the last column: a tick is two of them."""
    return sum(
        one["x0"] > page.width - 60 and 0 < one["width"] < 6 and 0 < one["height"] < 8 for one in page.lines
    )


def test_a_ticked_pass_is_ticked_on_paper(shaper_client, staged, owner):
    assert tick_strokes(first_page(shaper_client, staged)) == 0
    tick_pass(staged, 1, owner)
    assert tick_strokes(first_page(shaper_client, staged)) == 2


def test_what_a_reading_changed_is_said(shaper_client, staged, owner):
    log_reading(staged, owner, 1, "edge-length", 561.0)
    assert "3.2 mm over" in text_of(order_of(shaper_client, staged))


def test_the_mirrored_hand_is_mirrored_and_its_lettering_is_not(shaper_client, staged, owner):
    """The section's labels stand right of it on one hand and left of it on the other; all letters run rightwards."""
    other = add_mirrored_hand(staged, owner)
    pages = [first_page(shaper_client, panel) for panel in (staged, other)]
    places, measures = [], []
    for page in pages:
        words = [word for word in page.extract_words() if word["top"] > 100]  # under the rule
        depth = next(word for word in words if word["text"] == "60")
        named = [word for word in words if word["text"] == "edge"]
        edge = min(named, key=lambda word: abs(word["top"] - depth["top"]))  # not the table's
        places.append(edge["x0"])
        measures.append(depth["x0"])
    assert places[0] > measures[0]
    assert places[1] < measures[1]
    assert all(char["matrix"][0] > 0 for page in pages for char in page.chars if char["upright"])


@pytest.mark.parametrize(
    ("family", "words"),
    [
        ("galvanized", "white fume"),
        ("zinc", "white fume"),
        ("steel", "may hold lead"),
        ("aluminium", "Eyes and ears"),
    ],
)
def test_fumes_are_named_where_a_metal_gives_them(family, words):
    assert any(words in said for said in cautions_for(family, "hand"))
    assert not any("white fume" in said for said in cautions_for("aluminium", "hand"))


def test_no_caution_says_that_anything_is_safe():
    said = " ".join(cautions_for("galvanized", "power")).lower()
    assert "safe" not in said
    assert "pedal" in said


def test_an_edge_that_keeps_its_length_has_nothing_to_count_on_paper(shaper_client, staged, owner):
    staged.form, staged.dimensions = "dome", {"diameter_mm": 300.0, "height_mm": 60.0, "method": "stretch"}
    save_panel(staged, owner)
    said = text_of(order_of(shaper_client, staged))
    assert "until the crown stands" in said
    assert "0 stretches" not in said
