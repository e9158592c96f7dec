"""The page of papers, the set made while somebody watches, labels and gauges."""

import io
import re

import pypdf
import pypdfium2
import pytest
import zxingcpp

from jobs.models import Panel
from jobs.panels import add_mirrored_hand, save_panel
from tests.estimates.work_cast import accepted


@pytest.fixture
def accepted_job(job, panel, owner, shop):
    accepted(job, owner, shop)
    return job


def read(response) -> pypdf.PdfReader:
    assert response.status_code == 200, response.content
    assert response["Content-Type"] == "application/pdf"
    return pypdf.PdfReader(io.BytesIO(b"".join(response.streaming_content)))


def test_papers_page_offers_what_there_is(shaper_client, panel):
    page = shaper_client.get(f"/jobs/{panel.job.number}/papers/").content.decode()
    for words in (
        "Make the set",
        "work-order.pdf",
        "on up to 5 pages",
        "sheet=roll",
        "pattern.dxf",
        "drawing.svg",
        "gauges.pdf",
    ):
        assert words in page
    assert "statement.pdf" not in page


def test_owner_sees_the_customers_papers_too(owner_client, panel):
    page = owner_client.get(f"/jobs/{panel.job.number}/papers/").content.decode()
    assert "statement.pdf" in page
    assert "closing-customer.pdf" in page


def test_papers_page_asks_no_more_for_more_panels(shaper_client, panel, owner, django_assert_max_num_queries):
    for index in range(12):
        panel.pk = None
        panel._state.adding = True
        panel.code = f"CPY{index:02}BB"
        save_panel(panel, owner)
    with django_assert_max_num_queries(9):
        shaper_client.get(f"/jobs/{panel.job.number}/papers/")


def test_job_without_panels_says_what_to_do(shaper_client, job):
    assert "Add a panel" in shaper_client.get(f"/jobs/{job.number}/papers/").content.decode()


@pytest.mark.parametrize("rest", ["statement.pdf", "closing-shop.pdf", "closing-customer.pdf"])
def test_shaper_prints_nothing_that_speaks_of_money(shaper_client, panel, rest):
    assert shaper_client.get(f"/jobs/{panel.job.number}/{rest}").status_code == 403


def test_set_tells_each_part_and_gives_the_file_last(shaper_client, panel, owner):
    add_mirrored_hand(panel, owner)
    response = shaper_client.post(f"/jobs/{panel.job.number}/papers/set/")
    pieces = [piece.decode() for piece in response.streaming_content]
    assert [piece.count("of 3</b>") for piece in pieces] == [0, 1, 1, 1, 0, 0]
    address = re.search(r'href="([^"]+/set/[0-9a-f]{32}\.pdf)"', pieces[4])[1]
    reader = read(shaper_client.get(address))
    assert len(reader.pages) == 3
    assert [entry.title for entry in reader.outline][1] == f"Work order {panel.mark} Fairing skin"


def test_a_new_set_takes_the_old_one_away(shaper_client, panel):
    addresses = []
    for _ in range(2):
        whole = b"".join(
            shaper_client.post(f"/jobs/{panel.job.number}/papers/set/").streaming_content
        ).decode()
        addresses.append(re.search(r'href="([^"]+/set/[0-9a-f]{32}\.pdf)"', whole)[1])
    assert shaper_client.get(addresses[0]).status_code == 404
    assert read(shaper_client.get(addresses[1])).pages


def test_set_cannot_be_made_by_a_link(shaper_client, panel):
    assert shaper_client.get(f"/jobs/{panel.job.number}/papers/set/").status_code == 405


@pytest.mark.parametrize("sheet", ["a4-24", "a4-21", "a4-14", "a4-8", "letter-30", "letter-10"])
def test_every_code_on_a_sheet_of_labels_can_be_read(shaper_client, panel, owner, sheet):
    add_mirrored_hand(panel, owner)
    address = f"/labels/?job={panel.job.number}&what=panels&sheet={sheet}&skip=1&print=1"
    document = pypdfium2.PdfDocument(b"".join(shaper_client.get(address).streaming_content))
    found = {code.text for code in zxingcpp.read_barcodes(document[0].render(scale=300 / 72).to_pil())}
    assert found == {f"http://testserver/c/{code}/" for code in Panel.objects.values_list("code", flat=True)}


def test_labels_of_sheets_need_no_job(shaper_client, sheet):
    text = read(shaper_client.get("/labels/?what=sheets&sheet=a4-24&print=1")).pages[0].extract_text()
    assert "Whole sheet" in text
    assert sheet.code in text


def test_more_labels_used_than_there_are_is_refused(shaper_client, panel):
    response = shaper_client.get(f"/labels/?job={panel.job.number}&what=panels&sheet=a4-8&skip=9&print=1")
    assert response.status_code == 422
    assert "That sheet has 8 labels" in response.content.decode()


def test_no_labels_says_so(shaper_client, job):
    response = shaper_client.get(f"/labels/?job={job.number}&what=stages&sheet=a4-8&print=1")
    assert response.status_code == 422
    assert "There are none of these yet" in response.content.decode()


def test_crown_sweep_from_chord_and_height(shaper_client, shop):
    text = read(shaper_client.get("/gauges/?chord=150&height=12")).pages[0].extract_text()
    assert "Crown gauge" in text
    assert "12 mm" in text


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("chord=300&radius=100", "does not fit a radius of 100 mm"),
        ("chord=300&height=200", "more than half"),
        ("chord=300", "one of the others"),
        ("chord=300&height=20&radius=500", "one of the others"),
        ("chord=nothing", "cannot be read as a length"),
    ],
)
def test_impossible_gauge_is_refused_in_words(shaper_client, shop, query, words):
    response = shaper_client.get(f"/gauges/?{query}")
    assert response.status_code == 422
    assert words in response.content.decode()


def test_labels_are_found_from_the_rack(shaper_client, sheet):
    assert 'href="/labels/"' in shaper_client.get("/sheets/").content.decode()


def test_the_progress_page_is_sent_from_where_its_link_is_made(owner_client, shaper_client, accepted_job):
    address = f"/jobs/{accepted_job.number}/progress-link/e-mail/"
    assert address not in owner_client.get(accepted_job.get_absolute_url()).content.decode()
    owner_client.post(f"/jobs/{accepted_job.number}/progress-link/", {"what": "make"})
    assert address in owner_client.get(accepted_job.get_absolute_url()).content.decode()
    assert address not in shaper_client.get(accepted_job.get_absolute_url()).content.decode()
