"""The owner's page of a quote to read: cost beside price, sending from the top, and what it leads with once sent."""

import pytest

from estimates.drafts import new_draft
from estimates.models import Quote
from estimates.pricing.money import format_money
from estimates.quoting.figures import quote_figures
from shop.figures import full_day
from tests.estimates.quote_cast import address, bought_in, sent_quote, version

pytestmark = pytest.mark.django_db


@pytest.fixture
def draft(job, panel, owner, shop):
    return new_draft(job, owner, shop)


@pytest.fixture
def sent(job, panel, owner, shop):
    return sent_quote(job, owner, shop, bought_in("Primer", is_option=True))


def flat(response) -> str:
    return " ".join(response.content.decode().split())


def test_first_rates_are_said_once_and_not_on_every_line(draft, owner_client):
    page = flat(owner_client.get(address(draft)))
    assert page.lower().count("first rates") == 1


def test_every_line_says_what_it_costs_and_what_it_is_sold_for(draft, owner_client):
    response = owner_client.get(address(draft))
    sheet, page = response.context["sheet"], flat(response)
    assert (
        '<th scope="col" class="number">Costs us</th><th scope="col" class="number">Price to them</th>'
        in page
    )
    lines = [line for line in sheet.priced.lines if line.priced.cost]
    assert lines
    for line in lines:
        assert line.priced.cost < line.priced.net
        row = page.split(f'id="{line.key.replace(":", "")}"')[1].split("</tr>")[0]
        cost, price = row.split('quote-cost">')[1].split("<")[0], row.split('quote-price">')[1].split("<")[0]
        assert (cost, price) == tuple(
            " ".join(format_money(amount, sheet.priced.inputs.terms.currency, decimals=True).split())
            for amount in (line.priced.cost, line.priced.net)
        )


def test_sending_is_reached_from_the_top_through_the_one_form(draft, owner_client):
    page = flat(owner_client.get(address(draft)))
    assert page.index('href="#quote-send"') < page.index('id="panels-head"')
    assert page.count(f'formaction="{address(draft, "send/")}"') == 1


def test_words_typed_beside_the_button_go_out_with_the_quote(draft, owner_client, shop):
    form = owner_client.get(address(draft)).context["texts_form"]
    post = {
        "version": version(draft), "total": quote_figures(draft, shop).priced.total.gross, "seen": form["seen"].value(),
        "intro": "A skin for the bow", "terms": "", "valid_until": "", "deposit_percent": "30",
    }  # fmt: skip
    owner_client.post(address(draft, "send/"), post)
    assert Quote.objects.get().frozen["intro"] == "A skin for the bow"


def test_words_that_cannot_be_are_not_sent_and_kept_as_typed(draft, owner_client, shop):
    post = {
        "version": version(draft), "total": quote_figures(draft, shop).priced.total.gross,
        "intro": "A skin for the bow", "terms": "", "valid_until": "", "deposit_percent": "130",
    }  # fmt: skip
    response = owner_client.post(address(draft, "send/"), post)
    assert response.status_code == 422
    assert "0 to 100 %" in flat(response)
    assert "A skin for the bow" in flat(response)
    assert Quote.objects.get().state == "draft"


def test_a_sent_quote_leads_with_the_customers_link_and_what_happens_next(sent, owner_client):
    page = flat(owner_client.get(address(sent)))
    link = f"http://testserver/for/{sent.token}/"
    assert f'readonly value="{link}"' in page
    places = [page.index(words) for words in (
        f'value="{link}"', "Copy the link", "What happens next", "Send the link by e-mail", "An answer by telephone",
        'id="panels-head"',
    )]  # fmt: skip
    assert places == sorted(places)


def test_a_sent_quote_carries_its_date_with_the_year(sent, owner_client):
    assert f"dated {full_day(sent.made_on)}" in flat(owner_client.get(address(sent)))
    with_offer = flat(owner_client.get(f"/for/{sent.token}/"))
    assert f'of <span class="nowrap">{full_day(sent.made_on)}</span>' in with_offer
