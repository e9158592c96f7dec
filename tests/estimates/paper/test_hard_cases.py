"""What bends a layout: long names, foreign letters, markup, sixty panels, no photo, forty photos."""

import io
import resource
from decimal import Decimal
from itertools import combinations

import pdfplumber
import pypdf
import pytest
from django.contrib.messages import get_messages
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from estimates.acceptance import accept
from estimates.answers import decline
from estimates.models import Quote
from estimates.paper.sets import Finished, Made, make_set
from estimates.pricing.money import Unpriceable
from estimates.sending import withdraw_quote
from jobs.models import Panel, Photo, Stage, StageNote
from jobs.panels import save_panel
from jobs.photos import add_photo
from shop.models import LabourRate, Metal, StageKind
from tests.estimates.quote_cast import bought_in, discount, sent_quote

NAMES = [
    "Pell",
    "Bartholomew-Featherstonehaugh & Sons, Restorers of Vehicles of Every Age, at the Old Mill behind the Weir",
    "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft m.b.H. am Fluß",
    "陳大文 金屬加工有限公司",
    "ورشة العمل للمعادن الدقيقة",
    "בית מלאכה לפח 1987 בע״מ",
    "<script>alert('x')</script>",
    "<b>&amp; {{ 7 * 7 }} %s \\n",
]


def overlaps(page) -> list[tuple[str, str]]:
    """Words that lie on one another: every pair whose boxes share more than a hair."""
    words = page.extract_words(keep_blank_chars=True, extra_attrs=["size"])
    boxes = []
    for word in words:
        top, bottom = word["top"] + word["size"] / 4, word["bottom"] - word["size"] / 5
        if word["text"].strip():
            boxes.append((word["text"], word["x0"] + 0.4, top, word["x1"] - 0.4, bottom))
    return [
        (a[0], b[0])
        for a, b in combinations(boxes, 2)
        if a[1] < b[3] and b[1] < a[3] and a[2] < b[4] and b[2] < a[4]
    ]


def off_the_page(page) -> list[str]:
    return [
        char["text"] for char in page.chars
        if char["x0"] < 0 or char["x1"] > page.width or char["top"] < 0 or char["bottom"] > page.height
    ]  # fmt: skip


def checked(response) -> str:
    """Read a PDF back, assert that nothing overlaps or leaves the page, and return its text."""
    assert response.status_code == 200
    whole = b"".join(response.streaming_content)
    with pdfplumber.open(io.BytesIO(whole)) as pdf:
        for page in pdf.pages:
            assert overlaps(page) == []
            assert off_the_page(page) == []
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(whole)).pages)


def letters(text: str) -> str:
    """Text without the breaks that a layout puts in."""
    return "".join(text.split())


@pytest.fixture
def named(request, panel, job, owner, shop):
    """The cast's panel, job and customer under one hard name."""
    name = request.param
    job.customer.name, job.customer.address = name, f"{name}\n12 {name}"
    job.customer.save()
    job.title = name
    job.save()
    panel.name = name[:80]
    save_panel(panel, owner)
    for kind in StageKind.objects.all():
        stage = Stage.objects.create(
            panel=panel, kind=kind, budget_low_hours=Decimal("2.5"), budget_high_hours=Decimal("3.5")
        )
    StageNote.objects.create(stage=stage, person=owner, text=f"{name} " * 3)
    return panel


by_name = pytest.mark.parametrize("named", NAMES, indirect=True, ids=range(len(NAMES)))


@by_name
@pytest.mark.parametrize(
    ("paper", "rest"),
    [
        ("A4", "panels/1/work-order.pdf"),
        ("Letter", "panels/1/work-order.pdf"),
        ("Letter", "work-orders.pdf"),
        ("A4", "statement.pdf"),
        ("Letter", "closing-shop.pdf"),
        ("A4", "closing-customer.pdf"),
    ],
)
def test_hard_names_lay_out(owner_client, named, shop, rest, paper):
    shop.paper = paper
    shop.save()
    checked(owner_client.get(f"/jobs/{named.job.number}/{rest}"))


@by_name
def test_hard_names_on_a_quote(owner_client, named, owner, shop):
    sent_quote(
        named.job,
        owner,
        shop,
        bought_in(named.job.title[:110], "100"),
        discount("0", "5", named.job.title[:80]),
    )
    checked(owner_client.get(f"/jobs/{named.job.number}/quotes/1/pdf/"))


@by_name
def test_hard_names_on_labels(owner_client, named):
    for sheet in ("a4-24", "letter-30", "letter-10"):
        checked(owner_client.get(f"/labels/?job={named.job.number}&what=panels&sheet={sheet}&print=1"))


@pytest.mark.parametrize("named", [NAMES[1], NAMES[2], NAMES[3], NAMES[6]], indirect=True)
def test_no_letter_of_a_customer_is_lost(owner_client, named):
    text = checked(owner_client.get(f"/jobs/{named.job.number}/statement.pdf"))
    assert letters(named.job.customer.name) in letters(text)


def test_a_shop_of_a_long_name_and_address(owner_client, panel, shop, owner):
    shop.name = "Drumlin & Daughter, Formers of Sheet Metal by Hand and Hammer since Anyone Remembers"[:80]
    shop.address = "\n".join(f"Line {number} of an address that is long" for number in range(9))
    shop.terms = "A term that takes a whole line or two, as terms do, since nobody reads them. " * 90
    shop.save()
    sent_quote(panel.job, owner, shop)
    text = checked(owner_client.get(f"/jobs/{panel.job.number}/quotes/1/pdf/"))
    assert letters(text).count("sincenobodyreadsthem") == 90
    assert "page 2 of 2" in text.replace("\xa0", " ")


# Photos


def photo(shade: int = 99) -> SimpleUploadedFile:
    made = io.BytesIO()
    Image.new("RGB", (1600, 1200), (shade, shade, shade)).save(made, "JPEG")
    return SimpleUploadedFile("a.jpg", made.getvalue(), "image/jpeg")


def test_forty_photos_all_come_with_the_closing_sheet(owner_client, panel, owner):
    kept = [
        add_photo(panel.job, photo(5 * n), person=owner, panel=panel, caption=f"Photo {n}") for n in range(40)
    ]
    response = owner_client.get(f"/jobs/{panel.job.number}/closing-shop.pdf")
    reader = pypdf.PdfReader(io.BytesIO(b"".join(response.streaming_content)))
    assert sum(len(page.images) for page in reader.pages) == len(kept)
    text = "\n".join(page.extract_text() for page in reader.pages)
    assert all(f"Photo {number}" in text for number in range(40))


def test_a_work_order_shows_nine_photos_and_says_where_the_rest_are(shaper_client, panel, owner):
    for number in range(40):
        add_photo(
            panel.job, photo(), person=owner, panel=panel, subject=Photo.Subject.PATTERN, caption=f"P{number}"
        )
    text = checked(shaper_client.get(f"/jobs/{panel.job.number}/panels/1/work-order.pdf"))
    assert "31 more are in the book" in text


def test_the_customers_closing_sheet_shows_only_what_is_theirs(owner_client, panel, owner):
    add_photo(panel.job, photo(), person=owner, caption="Not for them")
    add_photo(panel.job, photo(), person=owner, caption="For them", for_customer=True)
    stage = Stage.objects.create(panel=panel, kind=StageKind.objects.first())
    StageNote.objects.create(stage=stage, person=owner, text="Between us")
    text = checked(owner_client.get(f"/jobs/{panel.job.number}/closing-customer.pdf"))
    assert "For them" in text
    for words in ("Not for them", "Between us", "Labour", "estimated", "earned", "€"):
        assert words not in text


def test_a_lost_photo_leaves_a_frame_that_says_so(shaper_client, panel, owner):
    kept = add_photo(panel.job, photo(), person=owner, panel=panel, subject=Photo.Subject.PATTERN)
    kept.image.storage.delete(kept.image.name)
    text = checked(shaper_client.get(f"/jobs/{panel.job.number}/panels/1/work-order.pdf"))
    assert "The photo is missing." in text


# Quotes


def test_a_sent_quote_prints_what_was_sent(owner_client, panel, owner, shop, aluminium):
    quote = sent_quote(panel.job, owner, shop)
    address = f"/jobs/{panel.job.number}/quotes/1/pdf/"
    before = checked(owner_client.get(address))
    LabourRate.objects.update(per_hour=999)
    Metal.objects.update(name="Something else")
    Panel.objects.update(name="Another name")
    shop.name, shop.paper, shop.tax_percent = "Another shop", "Letter", Decimal("5")
    shop.save()
    panel.job.customer.name = "Another customer"
    panel.job.customer.save()
    assert checked(owner_client.get(address)) == before
    assert "Another" not in before
    assert Quote.objects.get(pk=quote.pk).number in before


def test_the_customer_prints_the_same_letter_by_their_link(owner_client, stranger_client, panel, owner, shop):
    quote = sent_quote(panel.job, owner, shop)
    owners = checked(owner_client.get(f"/jobs/{panel.job.number}/quotes/1/pdf/"))
    assert checked(stranger_client.get(f"/for/{quote.token}/pdf/")) == owners


def test_nothing_of_the_shops_own_reckoning_is_on_the_letter(stranger_client, panel, owner, shop):
    quote = sent_quote(panel.job, owner, shop)
    text = checked(stranger_client.get(f"/for/{quote.token}/pdf/")).lower()
    for words in ("overhead", "margin", "labour", "consumables", "gathering"):
        assert words not in text


def test_a_draft_says_that_it_is_one(owner_client, panel, owner, shop):
    from estimates.drafts import new_draft

    new_draft(panel.job, owner, shop)
    assert "Draft. It has not been sent" in checked(
        owner_client.get(f"/jobs/{panel.job.number}/quotes/1/pdf/")
    )


def test_a_withdrawn_quote_says_so_on_paper(owner_client, panel, owner, shop):
    withdraw_quote(sent_quote(panel.job, owner, shop), owner)
    assert "has been withdrawn" in checked(owner_client.get(f"/jobs/{panel.job.number}/quotes/1/pdf/"))


def test_a_declined_quote_asks_for_no_signature(owner_client, panel, owner, shop):
    decline(sent_quote(panel.job, owner, shop), name="Tamsin Pell")
    text = checked(owner_client.get(f"/jobs/{panel.job.number}/quotes/1/pdf/"))
    assert "declined" in text
    assert "Accepted by" not in text


def test_the_customers_letter_of_an_accepted_quote_stays(stranger_client, panel, owner, shop):
    quote = sent_quote(panel.job, owner, shop)
    accept(quote, name="Tamsin Pell")
    assert "Accepted by Tamsin Pell" in checked(stranger_client.get(f"/for/{quote.token}/pdf/"))


def test_a_shaper_prints_no_quote(shaper_client, panel, owner, shop):
    sent_quote(panel.job, owner, shop)
    assert shaper_client.get(f"/jobs/{panel.job.number}/quotes/1/pdf/").status_code == 403


# Sixty panels


def peak_mb() -> float:
    """The most memory this process has held so far (Linux counts in KiB)."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def test_the_set_of_sixty_panels_comes_part_by_part_in_little_memory(panel, owner, shop):
    for index in range(59):
        panel.pk = None
        panel._state.adding = True
        panel.code = f"CPY{index:02}BBB"
        save_panel(panel, owner)
    steps = make_set(panel.job, shop, lambda code: f"https://shop.example/c/{code}/")
    before = peak_mb()
    parts = list(steps)
    assert peak_mb() - before < 100  # the whole process, book and all, has 300
    assert [type(part) for part in parts] == [Made] * 61 + [Finished]
    assert [part.number for part in parts[:-1]] == list(range(1, 62))


def test_a_draft_without_anything_on_it_prints_all_the_same(owner_client, job, owner, shop):
    from estimates.drafts import new_draft

    new_draft(job, owner, shop)
    text = checked(owner_client.get(f"/jobs/{job.number}/quotes/1/pdf/"))
    assert "Total" in text


def test_a_draft_that_cannot_be_priced_says_why(owner_client, panel, owner, shop, monkeypatch):
    from estimates.drafts import new_draft

    def refuse(*_):
        raise Unpriceable("amount", "The discount is more than the price.")

    new_draft(panel.job, owner, shop)
    monkeypatch.setattr("estimates.views.paper.draft_letter", refuse)
    response = owner_client.get(f"/jobs/{panel.job.number}/quotes/1/pdf/")
    assert response.status_code == 302
    assert any(
        "The discount is more than the price" in str(said) for said in get_messages(response.wsgi_request)
    )


def test_a_set_with_a_panel_that_cannot_be_made_still_comes(shaper_client, panel):
    Panel.objects.update(dimensions=panel.dimensions | {"depth_mm": 5.0})
    text = checked(shaper_client.get(f"/jobs/{panel.job.number}/work-orders.pdf"))
    assert "cannot be made" in text
    for rest in ("pattern.pdf", "gauges.pdf"):
        assert shaper_client.get(f"/jobs/{panel.job.number}/panels/1/{rest}").status_code == 404
