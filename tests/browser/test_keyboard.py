"""Without a mouse: signing in, setting a shop up, taking an enquiry in, and seeing where one is all the while."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from jobs.models import Job
from shop.models import Metal, Person, Shop
from tests.browser.conftest import PHONE, WCAG, nothing_amiss, sign_in, too_wide
from tests.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
MOST_TABS = 80

# A field shows its ring round the box that holds it and its unit. The calendar button inside a field for a day is the
# browser's own, ring and all.
HAS_FOCUS_RING = """() => {
  const at = document.activeElement;
  return !at.matches(':focus') || [at, at.parentElement].some((one) => {
    const style = getComputedStyle(one);
    return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
  });
}"""
WHERE = "() => { const e = document.activeElement; return e.name || e.textContent.trim() || e.tagName; }"


def tab_to(page: Page, wanted: str) -> None:
    """Press Tab until a control with this name or text has the focus, which must be seen at every stop."""
    seen = [page.evaluate(WHERE)]
    for _ in range(MOST_TABS):
        if seen[-1] == wanted:
            return
        page.keyboard.press("Tab")
        seen.append(page.evaluate(WHERE))
        if page.evaluate("document.activeElement !== document.body"):
            assert page.evaluate(HAS_FOCUS_RING), f"{seen[-1]!r} has the focus and does not show it"
    raise AssertionError(f"{wanted!r} cannot be reached with Tab; there is {seen}")


def type_into(page: Page, name: str, text: str) -> None:
    tab_to(page, name)
    page.keyboard.type(text)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_signing_in_and_taking_an_enquiry_in_need_no_mouse(visit, live_server, owner, theme):
    page = visit(color_scheme=theme)
    with nothing_amiss(page):
        page.goto(live_server.url + "/")
        type_into(page, "username", "osk")
        type_into(page, "password", PASSWORD)
        page.keyboard.press("Enter")
        page.wait_for_url(live_server.url + "/")
        expect(page.locator(".masthead-name")).to_have_text("Drumlin & Daughter")
        tab_to(page, "New enquiry")
        page.keyboard.press("Enter")
        page.wait_for_url(live_server.url + "/jobs/new/")
        expect(page.locator("h1")).to_have_text("New enquiry")
        type_into(page, "customer", "Wren Tolland")
        type_into(page, "title", "Bow fairing")
        tab_to(page, "Take it in")
        page.keyboard.press("Enter")
        expect(page.locator("h1")).to_have_text("New panel")
    assert Job.objects.get().title == "Bow fairing"


def test_the_first_tab_leads_past_the_navigation(visit, live_server, owner):
    page = visit()
    sign_in(page, live_server.url, "osk")
    page.keyboard.press("Tab")
    expect(page.locator("a.skip")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#content")).to_be_focused()


def test_what_is_wrong_is_said_beside_the_field_and_what_was_typed_stays(visit, live_server, owner):
    page = visit(java_script_enabled=False)
    sign_in(page, live_server.url, "osk", then="/jobs/new/")
    page.fill("[name=title]", "Bow fairing")
    page.fill("[name=due_on]", "2001-01-01")
    page.click("text=Take it in")
    expect(page.locator("[name=title]")).to_have_value("Bow fairing")
    for name, words in (("customer", "Write who asks"), ("due_on", "is past")):
        field = page.locator(f"[name={name}]")
        said = field.get_attribute("aria-describedby").split()
        assert field.get_attribute("aria-invalid") == "true"
        assert words in " ".join(page.locator(f"#{one}").inner_text() for one in said)
    assert not Job.objects.exists()


@pytest.mark.parametrize("viewport", [{"width": 1280, "height": 900}, PHONE], ids=["desk", "phone"])
def test_a_new_book_asks_for_its_shop_and_opens(visit, live_server, transactional_db, viewport):
    page = visit(viewport=viewport)
    with nothing_amiss(page):
        page.goto(live_server.url + "/")
        assert page.url.endswith("/set-up/")
        assert too_wide(page) <= 0
        found = Axe().run(page, options={"runOnly": WCAG})
        assert found.violations_count == 0, found.generate_report()
        page.fill("[name=shop_name]", "Anvil & Ewe")
        page.fill("[name=per_hour]", "48")
        page.fill("[name=first_name]", "Ruth")
        page.fill("[name=username]", "ruth")
        page.fill("[name=password]", "a-hammer-and-a-bag")
        page.click("main button[type=submit]")
        page.wait_for_url(lambda url: not url.endswith("/set-up/"))
        expect(page.locator(".masthead-name")).to_have_text("Anvil & Ewe")
        assert too_wide(page) <= 0
    assert Shop.objects.get().name == "Anvil & Ewe"
    assert Person.objects.get().is_owner
    assert Metal.objects.count() > 10
