"""What is seen at a glance: drawings as high as they are, letters as large as their label, nothing that touches."""

import io

import pdfplumber
import pypdf
import pytest

from estimates.paper.closing import HEAD_MM, ClosedPanel, _panel_head
from estimates.paper.facts.closing import closing_sheet
from jobs.models import Job
from tests.estimates.paper.test_hard_cases import NAMES, checked, named  # noqa: F401, a fixture
from tests.estimates.work_cast import accepted, book, stages_of

MM = 72 / 25.4


def pages_of(response):
    return pdfplumber.open(io.BytesIO(b"".join(response.streaming_content))).pages


def test_a_long_strip_takes_no_more_of_a_closing_sheet_than_its_name(panel, shop):
    panel.form, panel.dimensions = "roll", {"radius_mm": 400.0, "turn_rad": 2.0, "width_mm": 90.0}
    panel.save()
    (strip,) = closing_sheet(panel.job, shop, for_customer=True).panels
    assert strip.drawing.height < strip.drawing.width / 3
    assert _panel_head(strip).high == HEAD_MM


def test_a_round_piece_keeps_its_height(panel, shop):
    panel.form, panel.dimensions = "dome", {"diameter_mm": 300.0, "height_mm": 60.0, "method": "least"}
    panel.save()
    (dome,) = closing_sheet(panel.job, shop, for_customer=True).panels
    assert _panel_head(dome).high > HEAD_MM
    bare = ClosedPanel("1", "No drawing", "", None, None, None)
    assert _panel_head(bare).high == HEAD_MM


@pytest.mark.parametrize(("sheet", "least_pt"), [("a4-8", 14.9), ("a4-24", 11.4), ("letter-30", 8.9)])
def test_a_larger_label_is_lettered_larger(shaper_client, panel, sheet, least_pt):
    (page,) = pages_of(
        shaper_client.get(f"/labels/?job={panel.job.number}&what=panels&sheet={sheet}&print=1")
    )
    assert max(char["size"] for char in page.chars) == pytest.approx(least_pt + 0.1, abs=0.2)


def test_code_and_box_of_a_cover_sheet_stand_apart(shaper_client, panel):
    page = pages_of(shaper_client.get(f"/jobs/{panel.job.number}/work-orders.pdf"))[0]
    code = next(word for word in page.extract_words() if word["text"] == panel.code)
    box = max(page.rects, key=lambda one: one["x0"])
    assert (box["x0"] - code["x1"]) / MM > 2


@pytest.mark.parametrize("named", [NAMES[1], NAMES[3], NAMES[4], NAMES[6]], indirect=True, ids=range(4))
def test_hard_names_lay_out_by_time_and_material(owner_client, named, owner, shop, sheet):  # noqa: F811
    accepted(named.job, owner, shop)
    Job.objects.update(time_and_material=True)
    book(stages_of(named)["layout"], owner, "1.5")
    text = checked(owner_client.get(f"/jobs/{named.job.number}/statement.pdf"))
    assert "Owed so far" in text
    assert "68.61" in text


def test_sums_of_a_statement_are_never_parted(owner_client, panel, owner, shop):
    accepted(panel.job, owner, shop)
    Job.objects.update(time_and_material=True)
    book(stages_of(panel)["layout"], owner, "1.5")
    for count in range(1, 9):
        panel.job.customer.address = "\n".join(["A line"] * count * 3)
        panel.job.customer.save()
        response = owner_client.get(f"/jobs/{panel.job.number}/statement.pdf")
        reader = pypdf.PdfReader(io.BytesIO(b"".join(response.streaming_content)))
        texts = [page.extract_text() for page in reader.pages]
        (asked,) = [number for number, text in enumerate(texts) if "Deposit asked for" in text]
        assert "To pay so far" in texts[asked]
        assert "Received in all" in texts[asked]


SAID = "Lower left hand rear quarter dome with the deep return flange and the drip edge for the upper terrace"


@pytest.mark.parametrize("count", range(3, 20, 2))
@pytest.mark.parametrize("hand", ["left", "neither"])
def test_a_name_on_several_lines_keeps_off_the_job_under_it(shaper_client, panel, count, hand):
    panel.name, panel.hand = " ".join(SAID.split()[:count]), hand
    panel.save()
    Job.objects.filter(pk=panel.job_id).update(
        title="Restoration of the long conservatory fountain rim and gutters"
    )
    checked(shaper_client.get(f"/jobs/{panel.job.number}/panels/{panel.position}/work-order.pdf"))
