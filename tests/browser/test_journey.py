"""The main job in seven steps, walked as people walk it: at the desk, on the phone, and without a script."""

import io
from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from jobs.models import Job, MaterialUse, Panel, Photo, Stage, TimeEntry
from tests.browser.conftest import DESK, PHONE, nothing_amiss, sign_in, too_wide

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def photo_file(colour: str) -> dict:
    """A small photograph as a phone would hand it over."""
    file = io.BytesIO()
    Image.new("RGB", (320, 240), colour).save(file, "JPEG")
    return {"name": "IMG_0001.jpg", "mimeType": "image/jpeg", "buffer": file.getvalue()}


def fits(page: Page) -> None:
    assert too_wide(page) <= 0, f"{page.url} is {too_wide(page)} px wider than the window"


def enquire(page: Page, base: str) -> Job:
    """Step 1: somebody asks; it becomes a job with a number."""
    page.goto(base + "/")
    page.click("a:has-text('New enquiry') >> nth=0")
    page.fill("[name=customer]", "Wren Tolland")
    page.fill("[name=email]", "wren@tolland.example")
    page.fill("[name=title]", "Bow fairing")
    page.fill("[name=description]", "To the yard's pattern.")
    page.fill("[name=due_on]", f"{timezone.localdate() + timedelta(days=30):%Y-%m-%d}")
    page.set_input_files("[name=photos]", [photo_file("sienna")])
    fits(page)
    page.click("text=Take it in")
    expect(page.locator("h1")).to_have_text("New panel")
    job = Job.objects.get()
    assert job.customer.name == "Wren Tolland"
    assert job.photos.get().subject == Photo.Subject.OLD_PART
    return job


def add_panel(page: Page, *, script: bool) -> Panel:
    """Step 2: metal, shape and dimensions as the trade writes them; the figures follow."""
    page.fill("[name=name]", "Fairing skin")
    page.select_option("[name=metal]", label="Aluminium 1100-O")
    page.fill("[name=thickness_mm]", "1/16 in")
    page.fill("[name=arch-outside_radius_mm]", "13 in")
    page.fill("[name=arch-bend_radius_mm]", "1 in")
    page.fill("[name=arch-depth_mm]", '2 1/2"')
    before = page.locator("#b-result").inner_text()
    if script:
        page.locator("[name=arch-turn_rad]").fill("")
        page.locator("[name=arch-turn_rad]").press_sequentially("85", delay=30)
    else:
        page.fill("[name=arch-turn_rad]", "85")
        page.click("button[data-spare]")
    expect(page.locator("#b-result")).not_to_have_text(before)
    expect(page.locator("#b-drawing svg:visible").first).to_be_visible()
    fits(page)
    page.click("button:has-text('Add the panel')")
    page.wait_for_url("**/quotes/1/")
    panel = Panel.objects.get()
    assert panel.dimensions["outside_radius_mm"] == pytest.approx(13 * 25.4)
    assert panel.dimensions["depth_mm"] == pytest.approx(2.5 * 25.4)
    assert panel.thickness_mm == pytest.approx(25.4 / 16)
    return panel


def send_quote(page: Page, base: str, job: Job) -> str:
    """Step 3, first half: hours and money, one figure of the owner's own with its reason, sent. Gives the link."""
    page.goto(f"{base}{job.get_absolute_url()}")
    page.click("a:has-text('To the quote')")
    total = page.locator("#quote-send [name=total]").input_value()
    page.click("a:has-text('Change Gathering')")
    page.fill("[name=low_hours]", "9")
    page.fill("[name=high_hours]", "12")
    page.fill("[name=reason]", "The old part has a kink to copy")
    page.click("button:has-text('Use this figure')")
    expect(page.locator("#lines")).to_contain_text("The old part has a kink to copy")
    expect(page.locator("#quote-send [name=total]")).not_to_have_value(total)
    fits(page)
    page.click("button:has-text('Send quote')")
    expect(page.locator("#customers-link")).to_be_visible()
    link = page.locator("#customers-link").input_value()
    quote = job.quotes.get()
    assert quote.state == "sent"
    assert quote.frozen
    fits(page)
    return link


def accept(page: Page, link: str) -> None:
    """Step 3, second half: the customer, who has no account, says yes."""
    page.goto(link)
    fits(page)
    page.fill("[name=name]", "Wren Tolland")
    page.click("text=Accept the quote")
    expect(page.locator("main")).to_contain_text("You accepted our quote")
    assert Job.objects.get().state == Job.State.IN_WORK
    assert Stage.objects.count() == 4


def work(page: Page, base: str, panel: Panel) -> Stage:
    """Step 4: clock, hours by hand with a correction, metal out of the stock, a photo, a note."""
    stage = panel.stages.get(kind__slug="layout")
    bench = base + stage.get_absolute_url()
    page.goto(bench)
    fits(page)
    page.click(".clock-plate")
    expect(page.locator("[data-clock-do]")).to_have_text("Stop")
    page.click(".clock-plate")
    expect(page.locator("[data-clock-do]")).to_have_text("Start")

    page.click("a:has-text('Hours by hand')")
    page.fill("[name=hours]", "2.5")
    page.click("text=Add the hours")
    page.wait_for_url(lambda url: not url.endswith("/hours/"))
    entry = TimeEntry.objects.get(source=TimeEntry.Source.HAND)
    page.goto(f"{base}/hours/{entry.pk}/correct/")
    page.fill("[name=hours]", "2")
    page.fill("[name=reason]", "Half an hour was the telephone")
    page.click("main button:has-text('Correct') >> nth=0")
    page.wait_for_url(lambda url: not url.endswith("/correct/"))
    entry.refresh_from_db()
    assert entry.hours == Decimal("2")
    assert entry.corrections.get().old_hours == Decimal("2.5")

    page.goto(bench)
    page.click(".bench-actions a:has-text('Material')")
    page.click("text=Book the metal")
    page.wait_for_url(lambda url: "material" not in url or "#" in url)
    assert MaterialUse.objects.get().drop is not None

    page.goto(bench)
    page.click(".bench-actions a:has-text('Photo')")
    page.set_input_files("[name=photos]", [photo_file("slategray")])
    page.fill("[name=caption]", "Lined and cut")
    page.click("text=Keep the photo")
    page.wait_for_url(lambda url: not url.endswith("/photo/"))
    assert stage.photos.get().taken_by.username == "maro"

    page.goto(bench)
    page.fill("#note textarea", "Centre line is scribed on the inside")
    page.click("text=Keep the note")
    expect(page.locator("#note")).to_contain_text("Centre line is scribed on the inside")
    return stage


def compare(page: Page, base: str, job: Job) -> None:
    """Step 5: hours spent, estimated, to go; and what it has cost so far."""
    page.goto(f"{base}/jobs/{job.number}/against/")
    row = page.locator("tr", has_text="Layout").first
    expect(row).to_contain_text("2.0")
    expect(page.locator(".result")).to_contain_text("Spent")
    fits(page)


def print_work_order(page: Page, base: str, job: Job) -> None:
    """Step 6: the work order is a PDF that names the panel and says what to be careful of."""
    answer = page.request.get(f"{base}/jobs/{job.number}/panels/1/work-order.pdf")
    assert answer.ok
    assert answer.headers["content-type"].startswith("application/pdf")
    text = " ".join(
        "".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.body())).pages).split()
    )
    assert "Fairing skin" in text
    assert job.number in text
    assert "Take care" in text


def look_at_today(page: Page, base: str) -> None:
    """Step 7: the opening page knows the panel, its hours and who waits for what."""
    page.goto(base + "/")
    expect(page.locator("main")).to_contain_text("Fairing skin")
    expect(page.locator("main")).to_contain_text("deposit")
    fits(page)


@pytest.mark.parametrize(
    ("viewport", "script"),
    [(DESK, True), (PHONE, True), (DESK, False), (PHONE, False)],
    ids=["desk", "phone", "desk without a script", "phone without a script"],
)
def test_an_enquiry_becomes_a_price_a_job_and_a_work_order(
    visit, live_server, owner, shaper, aluminium, sheet, viewport, script
):
    base = live_server.url
    osk, wren, maro = (visit(viewport=viewport, java_script_enabled=script) for _ in range(3))
    half_typed = "422 (Unprocessable Entity)"  # a dimension emptied to be typed anew has no drawing meanwhile
    with nothing_amiss(osk, half_typed), nothing_amiss(wren), nothing_amiss(maro):
        sign_in(osk, base, "osk")
        job = enquire(osk, base)
        panel = add_panel(osk, script=script)
        accept(wren, send_quote(osk, base, job))
        sign_in(maro, base, "maro")
        work(maro, base, panel)
        compare(osk, base, job)
        print_work_order(osk, base, job)
        look_at_today(osk, base)
