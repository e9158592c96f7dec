"""The bench in a real browser: without signal, without a script, and with gloves on."""

from decimal import Decimal

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.utils import timezone
from playwright.sync_api import expect

from jobs.hours_log import add_hours
from jobs.material import use_sheet
from jobs.models import Job, PassDone, Photo, Reading, Stage, StageNote, TimeEntry
from jobs.panels import work_of
from jobs.passes import tick_pass
from jobs.reading_log import log_reading
from shop.lengths import format_length, parse_length_mm
from shop.models import Shop, StageKind
from tests.browser.conftest import ANSWERING, PHONE, sign_in
from tests.jobs.photo_files import picture, saved

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def stage(panel, shaper) -> Stage:
    Job.objects.update(state=Job.State.IN_WORK)
    for kind in StageKind.objects.all():
        Stage.objects.create(panel=panel, kind=kind, budget_low_hours=12, budget_high_hours=16)
    return Stage.objects.get(kind__slug="gathering")


@pytest.fixture
def at_the_bench(chromium, live_server, stage):
    """Open the bench as the shaper; options are the browser context's."""
    opened = []

    def open_it(**options):
        context = chromium.new_context(**{"viewport": PHONE, **options})
        opened.append(context)
        page = context.new_page()
        sign_in(page, live_server.url, "maro", then=stage.get_absolute_url())
        return page

    yield open_it
    for context in opened:
        context.close()
    ANSWERING.done()


def test_without_signal_presses_are_kept_and_sent_with_their_time(at_the_bench):
    page = at_the_bench()
    page.context.set_offline(True)
    page.click(".clock-plate")
    expect(page.locator("[data-clock-do]")).to_have_text("Stop")
    expect(page.locator("[data-kept-count]")).to_have_text("1 entry kept on this phone")
    page.click("[data-steps='1']")
    page.click(".stepper button:last-child")
    page.fill("textarea", "the tail lifts")
    page.click("text=Keep the note")
    expect(page.locator("[data-kept-count]")).to_have_text("3 entries kept on this phone")
    assert not TimeEntry.objects.exists()
    pressed = page.evaluate("JSON.parse(localStorage.getItem('gatherbook-kept')).map(one => one.at)")

    page.context.set_offline(False)
    expect(page.locator("[data-kept]")).to_be_hidden()
    expect(page.locator("[data-clock-do]")).to_have_text("Stop")
    sent = [TimeEntry.objects.get().started_at, Reading.objects.get().at, StageNote.objects.get().at]
    assert [moment.isoformat(timespec="milliseconds").replace("+00:00", "Z") for moment in sent] == pressed


def test_an_entry_sent_twice_is_written_once(at_the_bench):
    """The answer to the first sending is lost on the way; the phone sends again."""
    page = at_the_bench()
    page.fill("textarea", "once")
    lost = []

    def lose_the_answer(route):
        if not lost and route.request.method == "POST":
            lost.append(route.fetch(max_redirects=0))
            route.abort()
        else:
            route.continue_()

    page.route("**/note/", lose_the_answer)
    page.click("text=Keep the note")
    expect(page.locator("[data-kept-count]")).to_have_text("1 entry kept on this phone")
    assert StageNote.objects.count() == 1
    page.reload()
    expect(page.locator("[data-kept]")).to_be_hidden()
    assert StageNote.objects.count() == 1


def test_an_entry_that_is_refused_later_says_why_and_stays(at_the_bench, stage, shaper):
    page = at_the_bench()
    page.context.set_offline(True)
    page.click(".clock-plate")
    expect(page.locator("[data-kept-count]")).to_have_text("1 entry kept on this phone")
    Job.objects.update(state=Job.State.DECLINED)
    page.context.set_offline(False)
    expect(page.locator("[data-kept-list]")).to_contain_text("Not taken")
    expect(page.locator("[data-kept-list]")).to_contain_text("was declined")
    assert not TimeEntry.objects.exists()
    page.click("text=Put away")
    expect(page.locator("[data-kept]")).to_be_hidden()


def test_a_kept_press_can_be_taken_back(at_the_bench):
    page = at_the_bench()
    page.route("**/clock/", lambda route: route.abort())
    page.click(".clock-plate")
    page.click("text=Take back")
    expect(page.locator("[data-kept]")).to_be_hidden()
    expect(page.locator("[data-clock-do]")).to_have_text("Start")
    assert not TimeEntry.objects.exists()


def test_another_person_on_the_phone_does_not_send_what_is_not_theirs(
    at_the_bench, owner, live_server, stage
):
    page = at_the_bench()
    page.context.set_offline(True)
    page.click(".clock-plate")
    expect(page.locator("[data-kept-count]")).to_have_text("1 entry kept on this phone")
    page.context.clear_cookies()
    page.context.set_offline(False)
    sign_in(page, live_server.url, "osk", then=stage.get_absolute_url())
    expect(page.locator("[data-kept-count]")).to_contain_text("Maro has to sign in here to send theirs")
    assert not TimeEntry.objects.exists()


def test_plus_and_minus_move_the_reading_without_asking_the_server(at_the_bench):
    page = at_the_bench()
    assert page.input_value("#check-value") == ""
    before = float(page.locator("[data-check]").get_attribute("data-target"))
    page.context.set_offline(True)
    page.click("[data-steps='1']")
    page.click("[data-steps='1']")
    page.click("[data-steps='-1']")
    assert float(page.input_value("#check-value")) == pytest.approx(before + 0.5, abs=0.051)
    expect(page.locator("[data-difference]")).to_have_text(", +0.5")


def test_what_an_inch_shaper_types_is_read_as_it_is_meant(at_the_bench):
    Shop.objects.update(units="in")
    page = at_the_bench()
    plan = page.locator("#check-target b").inner_text()  # such as 21 31/32 in
    over_mm = parse_length_mm(plan) + 25.4 / 8
    fraction = format_length(over_mm, "in", with_unit=False).replace("\u00a0", " ")
    for written in (
        fraction, f'{fraction.replace(" ", "-")}"', f"{fraction} in", f"{over_mm / 25.4:.3f}", f"{over_mm:.1f} mm",
    ):  # fmt: skip
        page.fill("#check-value", written)
        expect(page.locator("[data-difference]")).to_have_text(", +1/8")
        page.click("[data-steps='1']")
        assert parse_length_mm(page.input_value("#check-value"), bare="in") == pytest.approx(
            over_mm + 25.4 / 32
        )
    page.fill("#check-value", "21 3/")  # half typed says nothing, rather than what was typed before
    expect(page.locator("[data-difference]")).to_have_text("")


def test_everything_works_without_a_script(at_the_bench):
    page = at_the_bench(java_script_enabled=False)
    page.click(".clock-plate")
    expect(page.locator("[data-clock-do]")).to_have_text("Stop")
    before = float(page.locator("[data-check]").get_attribute("data-target"))
    page.click("[data-steps='-1']")
    assert float(page.input_value("#check-value")) == pytest.approx(before - 0.5, abs=0.051)
    page.click(".stepper button:last-child")
    expect(page.locator("[data-answer]").first).to_contain_text("0.5 mm under")
    page.click(".clock-plate")
    page.click("text=Undo the stop")
    expect(page.locator("[data-clock-do]")).to_have_text("Stop")


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_clock_is_in_reach_and_big_enough_for_gloves(at_the_bench, theme):
    page = at_the_bench(color_scheme=theme)
    page.click(".clock-plate")
    expect(page.locator("[data-clock-do]")).to_have_text("Stop")
    page.reload()
    assert page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
    plate = page.locator(".clock-plate").bounding_box()
    assert plate["y"] + plate["height"] <= PHONE["height"]
    assert plate["height"] >= 120
    pressed = page.locator(".bench-now button:visible:not(.unseen), .bench-now a:visible").all()
    assert len(pressed) >= 9
    for target in pressed:
        box = target.bounding_box()
        assert min(box["width"], box["height"]) >= 48, target.inner_text()


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("address", ["", "hours/", "material/", "photo/", "/my-hours/"])
def test_the_pages_break_no_rule_of_access(at_the_bench, live_server, stage, sheet, theme, address):
    page = at_the_bench(color_scheme=theme)
    where = address if address.startswith("/") else stage.get_absolute_url() + address
    page.goto(live_server.url + where)
    result = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]})
    assert result.violations_count == 0, result.generate_report()


def test_the_clock_stays_in_reach_on_a_shorter_screen(at_the_bench):
    """A phone's browser takes a part of the height for its own bars."""
    page = at_the_bench(viewport={"width": 390, "height": 640})
    plate = page.locator(".clock-plate").bounding_box()
    assert plate["y"] + plate["height"] <= 640
    page.locator(".bench-actions a").last.focus()
    note = page.locator(".bench-actions a").last.bounding_box()
    assert note["y"] + note["height"] <= page.locator(".clock-plate").bounding_box()["y"]


SMALL_TARGETS = """
() => [...document.querySelectorAll("a, button, input:not([type=hidden]), select, textarea, summary")]
  .filter(one => one.checkVisibility() && !one.closest(".unseen, .skip"))
  .map(one => one.closest("label") || one)
  .filter(one => one.getBoundingClientRect().height < 43.9)
  .map(one => one.outerHTML.slice(0, 120))
"""


@pytest.mark.parametrize(
    "address", ["", "hours/", "material/", "photo/", "/my-hours/", "/jobs/2026-001/against/"]
)
def test_all_that_is_pressed_on_a_phone_is_high_enough_for_gloves(
    at_the_bench, live_server, stage, sheet, shaper, panel, address
):
    add_hours(stage, shaper, timezone.localdate(), Decimal("1.5"))
    tick_pass(panel, 1, shaper)
    log_reading(panel, shaper, 1, "edge-length", work_of(panel).passes[0].edge_length_mm)
    use_sheet(panel, sheet, 700, 400, 1800, 1250, person=shaper)
    page = at_the_bench()
    page.goto(live_server.url + (address if address.startswith("/") else stage.get_absolute_url() + address))
    assert page.locator("main a:visible, main button:visible").count() >= 2
    assert page.evaluate(SMALL_TARGETS) == []


def test_zoomed_to_twice_its_size_the_clock_covers_nothing(at_the_bench):
    """A phone at 200 %: half the width and height. WCAG 2.2, 1.4.10 and 2.4.11."""
    page = at_the_bench(viewport={"width": 195, "height": 422}, device_scale_factor=2)
    page.click(".clock-plate")
    expect(page.locator("[data-clock-do]")).to_have_text("Stop")
    assert page.evaluate("document.documentElement.scrollWidth") == 195
    for pressed in page.locator("main a:visible, main button:visible:not(.unseen), main input:visible").all():
        pressed.focus()
        box = pressed.bounding_box()
        assert pressed.evaluate(
            "(one, at) => one.contains(document.elementFromPoint(...at)) || !!one.closest('label')",
            [box["x"] + box["width"] / 2, box["y"] + min(box["height"] / 2, 20)],
        ), pressed.evaluate("one => one.outerHTML")


def test_passes_ticked_without_signal_are_kept_and_sent(at_the_bench, panel):
    page = at_the_bench()
    page.context.set_offline(True)
    page.fill("#made-1", "9")
    page.locator(".bench-pass-form").first.get_by_role("button").click()
    expect(page.locator("[data-kept-list]")).to_contain_text("Pass 1 done")
    assert not PassDone.objects.exists()

    page.context.set_offline(False)
    expect(page.locator(".bench-passes li").first).to_contain_text("it took 9")
    assert PassDone.objects.get().gathers_made == 9


def test_metal_waits_for_signal_in_words(at_the_bench):
    page = at_the_bench()
    page.context.set_offline(True)
    page.click("text=Material")
    expect(page.locator("[data-no-signal]")).to_contain_text("Not without a signal: material")
    expect(page.locator(".clock-plate")).to_be_visible()


def jpeg(name="IMG_1.jpg", **options):
    return {"name": name, "mimeType": "image/jpeg", "buffer": saved(picture(**options))}


def test_a_photo_picked_without_signal_is_kept_and_sent(at_the_bench, stage, shaper):
    page = at_the_bench()
    page.context.set_offline(True)
    with page.expect_file_chooser() as chooser:
        page.click("text=Photo")
    chooser.value.set_files([jpeg(), jpeg("IMG_2.jpg", size=(60, 90))])
    expect(page.locator("[data-photos-count]")).to_have_text("2 photos kept on this phone")
    assert not Photo.objects.exists()

    page.context.set_offline(False)
    expect(page.locator("[data-photos-count]")).to_have_text("The 2 kept photos are sent")
    expect(page.locator("[data-photos-list] li")).to_have_count(0)
    assert {(photo.stage, photo.taken_by, photo.width) for photo in Photo.objects.all()} == {
        (stage, shaper, 120), (stage, shaper, 60),
    }  # fmt: skip
    page.reload()
    expect(page.locator(".bench-photos img")).to_have_count(2)
    expect(page.locator("[data-kept-photos]")).to_be_hidden()


def test_a_photo_whose_signal_goes_on_the_way_keeps_its_words(at_the_bench, live_server, stage):
    """Also: kept once more for the sending whose answer was lost, and taken once."""
    page = at_the_bench()
    page.goto(live_server.url + stage.get_absolute_url() + "photo/")
    lost = []

    def lose_the_answer(route):
        if route.request.method == "POST" and not lost:
            lost.append(route.fetch(max_redirects=0))
            route.abort()
        else:
            route.continue_()

    page.route("**/photo/", lose_the_answer)
    page.set_input_files("[name=photos]", [jpeg()])
    page.fill("[name=caption]", "the tail, before smoothing")
    page.click("text=Keep the photo")
    expect(page.locator("[data-photos-count]")).to_have_text("1 photo kept on this phone")
    expect(page.locator("[name=caption]")).to_have_value("")
    assert Photo.objects.get().caption == "the tail, before smoothing"
    page.reload()
    expect(page.locator("[data-photos-count]")).to_have_text("The kept photo is sent")
    assert Photo.objects.count() == 1


def test_with_signal_a_photo_goes_at_once_and_says_so_at_the_bench(at_the_bench, live_server, stage):
    page = at_the_bench()
    page.goto(live_server.url + stage.get_absolute_url() + "photo/")
    page.set_input_files(
        "[name=photos]", [{"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"no picture"}]
    )
    page.fill("[name=caption]", "the tail")
    page.click("text=Keep the photo")
    expect(page.locator("#field-photos .error")).to_be_visible()
    expect(page.locator("[name=caption]")).to_have_value("the tail")
    page.set_input_files("[name=photos]", [jpeg()])
    page.click("text=Keep the photo")
    expect(page.locator("[data-photos-count]")).to_have_text("The photo is kept.")
    expect(page.locator(".bench-photos img")).to_have_count(1)
    assert Photo.objects.get().caption == "the tail"


def test_a_kept_photo_that_is_none_says_why_and_can_be_put_away(at_the_bench):
    page = at_the_bench()
    page.context.set_offline(True)
    with page.expect_file_chooser() as chooser:
        page.click("text=Photo")
    chooser.value.set_files([{"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"no picture"}])
    expect(page.locator("[data-photos-count]")).to_have_text("1 photo kept on this phone")
    page.context.set_offline(False)
    expect(page.locator("[data-photos-list]")).to_contain_text("Not taken: a.jpg")
    page.click("text=Put away")
    expect(page.locator("[data-kept-photos]")).to_be_hidden()
    assert not Photo.objects.exists()


def test_a_kept_photo_is_sent_by_nobody_else(at_the_bench, owner, live_server, stage):
    page = at_the_bench()
    page.context.set_offline(True)
    with page.expect_file_chooser() as chooser:
        page.click("text=Photo")
    chooser.value.set_files([jpeg()])
    expect(page.locator("[data-photos-count]")).to_have_text("1 photo kept on this phone")
    page.context.clear_cookies()
    page.context.set_offline(False)
    sign_in(page, live_server.url, "osk", then=stage.get_absolute_url())
    expect(page.locator("[data-photos-count]")).to_contain_text("Maro has to sign in here to send theirs")
    assert not Photo.objects.exists()
