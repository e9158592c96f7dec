"""What an inch shop reads on a phone, where fractions and long words need the room."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from jobs.models import Panel
from shop.models import Shop
from tests.browser.conftest import PHONE, sign_in
from tests.estimates.quote_cast import sent_quote

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
CUT_OFF = (
    "elements => elements.filter(one => one.scrollWidth > one.clientWidth + 1).map(one => one.textContent)"
)


@pytest.fixture
def inches(shop):
    dollars = {
        "currency": "USD",
        "currency_symbol": "$",
        "money_style": "sign-comma",
        "tax_name": "Sales tax",
    }
    Shop.objects.update(units="in", **dollars)
    return Shop.objects.get()


def test_the_rates_of_the_stages_are_read_without_pushing_them_aside(visit, live_server, owner, inches):
    page = visit(viewport=PHONE)
    sign_in(page, live_server.url, "osk", then=reverse("rates"))
    assert page.locator(".table-scroll").evaluate_all(CUT_OFF) == []


def test_the_words_of_a_quote_have_the_room_that_its_price_leaves(visit, live_server, panel, owner, inches):
    quote = sent_quote(panel.job, owner, inches)
    page = visit(viewport=PHONE)
    page.goto(live_server.url + reverse("offer", args=[quote.token]))
    words = page.locator(".offer-lines tbody th").first.bounding_box()
    assert words["width"] > 0.6 * page.locator(".offer-lines").bounding_box()["width"]


def test_a_field_shows_the_whole_of_what_it_said_before(visit, live_server, panel, owner, inches):
    panel.dimensions |= {"outside_radius_mm": 11.75 * 25.4}
    Panel.objects.filter(pk=panel.pk).update(dimensions=panel.dimensions)
    page = visit(viewport=PHONE)
    sign_in(page, live_server.url, "osk", then=reverse("panel-edit", args=[panel.job.number, panel.position]))
    page.locator("[name=arch-outside_radius_mm]").fill("12 1/2")
    expect(page.locator("#was-arch-outside_radius_mm")).to_have_text("11 3/4")
    page.locator("[name=arch-depth_mm]").fill("2 1/2")
    expect(page.locator("#was-arch-depth_mm")).not_to_be_empty()
    assert page.locator(".line-box .was").evaluate_all(CUT_OFF) == []
