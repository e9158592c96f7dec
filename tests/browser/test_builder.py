"""The panel builder in a real browser: typing is never lost, the drawing follows, nobody is shut out."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from jobs.models import Panel
from tests.browser.conftest import ANSWERING, DESK, PHONE, sign_in

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def builder(chromium, live_server, panel, sheet):
    """Open the builder of the cast's panel as the owner; options are the browser context's."""
    opened = []

    def open_it(**options):
        context = chromium.new_context(**{"viewport": DESK, **options})
        opened.append(context)
        page = context.new_page()
        where = f"/jobs/{panel.job.number}/panels/{panel.position}/edit/"
        sign_in(page, live_server.url, "osk", then=where)
        page.wait_for_load_state("networkidle")
        return page

    yield open_it
    for context in opened:
        context.close()
    ANSWERING.done()


def depth(page):
    return page.locator("[name=arch-depth_mm]")


def test_typing_redraws_and_takes_neither_focus_nor_text(builder):
    page = builder()
    depth(page).fill("6")
    depth(page).press_sequentially("6.5", delay=60)
    expect(page.locator("#b-sum")).to_contain_text("Depth 60 to 66.5: gather at the edge up")
    expect(depth(page)).to_be_focused()
    expect(depth(page)).to_have_value("66.5")
    expect(page.locator("#was-arch-depth_mm")).to_have_text("60")
    expect(page.locator(".builder-views .d-editing-text")).to_have_text("66.5")


def test_what_a_field_said_before_never_lies_under_what_it_says_now(builder):
    page = builder()
    depth(page).fill("66.500000000000 mm")
    expect(page.locator("#was-arch-depth_mm")).to_have_text("60")
    was, now = page.locator("#was-arch-depth_mm").bounding_box(), depth(page).bounding_box()
    assert was["x"] + was["width"] <= now["x"]


def test_what_was_typed_meanwhile_in_the_next_field_stays(builder):
    page = builder()
    depth(page).fill("66")
    page.locator("[name=arch-turn_rad]").select_text()
    page.locator("[name=arch-turn_rad]").press_sequentially("112", delay=40)
    expect(page.locator("#b-sum")).to_contain_text("to 112, depth 60 to 66")
    expect(page.locator("[name=arch-turn_rad]")).to_have_value("112")
    expect(page.locator("[name=arch-turn_rad]")).to_be_focused()


def test_the_dimension_in_hand_is_thick_before_anything_is_typed(builder):
    page = builder()
    depth(page).focus()
    expect(page.locator(".builder-views .d-editing-text")).to_have_text("60")


def test_a_field_that_is_wrong_is_marked_and_right_again(builder):
    page = builder()
    depth(page).fill("20")
    expect(page.locator("#field-arch-depth_mm")).to_contain_text("no room for the bend")
    expect(depth(page)).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".builder-stale-words")).to_be_visible()
    depth(page).fill("62")
    expect(page.locator("#field-arch-depth_mm .error")).to_have_count(0)
    expect(depth(page)).not_to_have_attribute("aria-invalid", "true")
    expect(page.locator(".builder-stale-words")).to_have_count(0)


def test_forms_are_switched_there_and_back_without_losing_a_dimension(builder):
    page = builder()
    depth(page).fill("66")
    page.select_option("[name=form]", "dome")
    expect(page.locator("#b-sum")).to_contain_text("to dome")
    page.wait_for_timeout(100)  # no hand is on the next field sooner
    page.fill("[name=dome-height_mm]", "55")
    expect(page.locator(".builder-views .d-editing-text").first).to_have_text("55")
    page.select_option("[name=form]", "arch")
    expect(depth(page)).to_have_value("66")
    page.select_option("[name=form]", "dome")
    expect(page.locator("[name=dome-height_mm]")).to_have_value("55")


def test_enter_updates_and_only_the_button_saves(builder, panel):
    page = builder()
    depth(page).fill("66")
    depth(page).press("Enter")
    expect(page.locator("#b-sum")).to_contain_text("Depth 60 to 66")
    assert Panel.objects.get().dimensions["depth_mm"] == 60
    page.click("text=Save the panel")
    page.wait_for_url("**/panels/1/")
    assert Panel.objects.get().dimensions["depth_mm"] == 66


def test_undo_brings_back_what_was(builder):
    page = builder()
    depth(page).fill("66")
    page.click("text=Undo the change")
    expect(depth(page)).to_have_value("60")


def test_without_a_script_the_button_does_it(builder):
    page = builder(java_script_enabled=False)
    depth(page).fill("66")
    page.click(".builder-foot button[value=update]")
    expect(page.locator("#b-sum")).to_contain_text("Depth 60 to 66")


@pytest.mark.parametrize("viewport", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("typed", ["66", "20"], ids=["changed", "impossible"])
def test_nobody_is_shut_out(builder, viewport, scheme, typed):
    page = builder(viewport=viewport, color_scheme=scheme)
    depth(page).fill(typed)
    expect(page.locator("#b-sum")).not_to_be_empty()
    page.wait_for_timeout(500)
    found = Axe().run(page).response["violations"]
    assert not found, [(one["id"], [node["html"][:120] for node in one["nodes"]][:4]) for one in found]
    assert page.evaluate("document.documentElement.scrollWidth") <= viewport["width"]


def test_a_phone_shows_the_fields_first_and_leads_to_the_drawing_and_back(builder):
    page = builder(viewport=PHONE)
    drawing = page.locator("#b-drawing svg:visible").first
    expect(page.locator("[name=arch-depth_mm]")).to_be_in_viewport()
    expect(drawing).not_to_be_in_viewport()
    page.click("text=To the drawing")
    expect(drawing).to_be_in_viewport()
    expect(page.locator("#b-rule svg:visible").first).to_be_in_viewport()
    page.click("text=Back to the fields")
    expect(page.locator("[name=arch-depth_mm]")).to_be_in_viewport()


def test_a_desk_shows_the_drawing_beside_the_fields(builder):
    page = builder()
    drawing, field = page.locator("#b-drawing").bounding_box(), depth(page).bounding_box()
    assert drawing["x"] + drawing["width"] <= field["x"]
    assert abs(page.locator("#b-rule").bounding_box()["y"] - drawing["y"]) < 80
    expect(page.locator("text=To the drawing")).to_be_hidden()


def test_on_a_phone_the_pattern_fits_under_its_rule_and_follows_what_is_typed(builder):
    page = builder(viewport=PHONE)
    patterns = page.locator("#b-drawing [aria-label='Flat pattern']")
    assert [one.is_visible() for one in patterns.all()] == [False, True]
    shown = patterns.nth(1)
    assert shown.evaluate("it => it.scrollWidth <= it.clientWidth + 1")
    depth(page).fill("66")
    expect(page.locator("#b-sum")).to_contain_text("Depth 60 to 66")
    assert [one.is_visible() for one in patterns.all()] == [False, True]
    rule = page.locator("#b-rule .rule-pull:visible")
    expect(rule).to_have_count(1)
    assert rule.evaluate("it => getComputedStyle(it).overflowX") == "hidden"
