"""The customer's page: what it shows and what it keeps to itself, and what a press does there."""

import uuid
from datetime import timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from estimates.acceptance import accept
from estimates.answers import ask, decline, reply_to
from estimates.drafts import add_line, make_revision, new_draft
from estimates.models import Answer, Payment, Question, Quote
from estimates.payments import job_statement, keep_payment
from estimates.progress.link import make_link
from estimates.quoting.frozen import offer_text
from estimates.sending import send_quote, withdraw_quote
from estimates.views.quote_page import option_words
from jobs.models import Job, Stage
from shop.figures import full_day
from shop.models import Shop
from tests.estimates.quote_cast import address, bought_in, discount, sent_quote
from tests.estimates.test_answers import past

pytestmark = pytest.mark.django_db


@pytest.fixture
def quote(job, panel, owner, shop):
    return sent_quote(
        job, owner, shop, bought_in("Chrome plating", "100"), bought_in("Primer", "120", is_option=True),
        discount(percent="5", reason="Their father was at school with us"),
    )  # fmt: skip


@pytest.fixture
def customer_client(shop) -> Client:
    return Client()


@pytest.fixture
def option(quote) -> str:
    return next(line["key"] for line in quote.frozen["lines"] if line["is_option"])


def page_of(quote, rest: str = "") -> str:
    return f"/for/{quote.token}/{rest}"


def flat(response) -> str:
    return " ".join(response.content.decode().split())


def test_the_customer_reads_what_is_offered(quote, customer_client):
    page = flat(customer_client.get(page_of(quote)))
    for words in (
        "Bow fairing",
        "Fairing skin",
        "Chrome plating",
        "Primer",
        "VAT, 23 %",
        f"€ {quote.total.quantize(Decimal('0.01'))}",
        "Deposit",
    ):
        assert words in page


def test_the_customer_reads_nothing_of_the_shops_own(quote, job, customer_client, customer):
    page = flat(customer_client.get(page_of(quote)))
    for words in (
        "contingency", "margin", "overhead", "gathering", "smoothing", "past panel", "school with us", "Osk", "per hour",
        "/jobs/", " h at ", job.code if hasattr(job, "code") else "quote-sheet",
    ):  # fmt: skip
        assert words not in page


def test_the_page_is_kept_out_of_indexes_and_caches(quote, customer_client):
    response = customer_client.get(page_of(quote))
    assert response.headers["X-Robots-Tag"] == "noindex, nofollow"
    assert "no-store" in response.headers["Cache-Control"]
    assert 'content="noindex, nofollow"' in response.content.decode()
    assert response.headers["Referrer-Policy"] == "same-origin"


@pytest.mark.parametrize("token", ["x", "0" * 64, "%00", "a" * 500])
def test_a_guessed_link_leads_nowhere(token, quote, customer_client):
    assert customer_client.get(f"/for/{token}/").status_code == 404


def test_a_link_in_other_letters_leads_nowhere(quote, customer_client):
    assert customer_client.get(f"/for/{quote.token.swapcase()}/").status_code == 404


def test_a_draft_has_no_page(job, panel, owner, shop, customer_client):
    draft = new_draft(job, owner, shop)
    assert customer_client.get(page_of(draft)).status_code == 404


def test_the_customer_cannot_open_the_shops_pages(quote, customer_client):
    assert customer_client.get(address(quote)).status_code == 302
    assert customer_client.post(address(quote, "withdraw/")).status_code == 302


def test_options_ticked_without_htmx_change_the_total(quote, option, customer_client):
    page = customer_client.get(page_of(quote), {"options": option})
    assert page.context["offer"].total > quote.total
    assert " checked" in flat(page)


def test_the_total_is_shown_without_a_script_and_without_the_token_in_the_address(
    quote, option, customer_client
):
    """The button posts: a form that is sent by GET would write its token, and the name, into the address."""
    page = flat(customer_client.get(page_of(quote)))
    assert "Show the total" in page
    assert "formmethod" not in page
    assert 'method="get"' not in page
    post = {
        "kind": "total",
        "options": [option],
        "name": "Tamsin Pell",
        "note": "Soon please",
        "total": quote.total,
    }
    response = customer_client.post(page_of(quote, "answer/"), post)
    again = flat(response)
    assert response.status_code == 200
    assert response.context["offer"].total > quote.total
    assert f'name="total" value="{response.context["offer"].total}"' in again
    assert 'value="Tamsin Pell"' in again
    assert "Soon please" in again
    assert " checked" in again
    assert not Answer.objects.exists()


def test_one_option_and_several_are_offered_in_plain_words(quote, job, panel, owner, shop, customer_client):
    assert "You may add this, if you like" in flat(customer_client.get(page_of(quote)))
    several = make_revision(quote, owner)
    add_line(several, owner, shop, bought_in("Second coat", "40", is_option=True))
    send_quote(several, owner, shop)
    assert "You may add any of these, if you like" in flat(customer_client.get(page_of(several)))


def test_the_price_comes_first_then_what_is_in_it_then_until_when_then_the_answer(quote, customer_client):
    page = flat(customer_client.get(page_of(quote)))
    places = [page.index(words) for words in (
        'id="offer-price"', "Fairing skin", "Deposit on acceptance", "This quote holds until", "Accept the quote",
        "No, thank you", 'id="questions"',
    )]  # fmt: skip
    assert places == sorted(places)


def test_options_ticked_with_htmx_swap_the_sum(quote, option, customer_client):
    response = customer_client.get(page_of(quote), {"options": option}, headers={"HX-Request": "true"})
    page = flat(response)
    assert "<html" not in page
    assert 'id="offer-price" hx-swap-oob="true"' in page
    assert f'name="total" value="{response.context["offer"].total}"' in page


def test_options_that_are_not_there_are_left_out(quote, customer_client):
    page = customer_client.get(page_of(quote), {"options": ["line-9999", "\0", "x" * 900]})
    assert page.context["offer"].total == quote.total


def test_a_typed_name_accepts(quote, option, customer_client):
    total = customer_client.get(page_of(quote), {"options": option}).context["offer"].total
    post = {"kind": "accepted", "name": "Tamsin Pell", "options": [option], "total": total}
    page = flat(customer_client.post(page_of(quote, "answer/"), post, follow=True))
    assert "Thank you. You accepted our quote" in page
    assert "added as you chose" in page
    answer = Answer.objects.get()
    assert (answer.name, answer.total, answer.options_taken, answer.person) == (
        "Tamsin Pell",
        total,
        [option],
        None,
    )
    assert Job.objects.get().state == Job.State.IN_WORK
    assert Stage.objects.count() == 4


def test_what_is_accepted_is_what_was_read(quote, option, customer_client):
    """Ticked without JavaScript, the total on the page is still the old one: it is shown before it is accepted."""
    post = {"kind": "accepted", "name": "Tamsin", "options": [option], "total": quote.total}
    response = customer_client.post(page_of(quote, "answer/"), post)
    page = flat(response)
    assert response.status_code == 422
    assert "another with these options" in page
    assert 'value="Tamsin"' in page
    assert not Answer.objects.exists()
    again = post | {"total": response.context["offer"].total}
    assert customer_client.post(page_of(quote, "answer/"), again).status_code == 302
    assert Answer.objects.get().options_taken == [option]


@pytest.mark.parametrize(
    "typed",
    [{"name": ""}, {"name": "  "}, {"name": "x" * 121}, {"name": "T\0"}, {"kind": "maybe"}, {"kind": ""},
     {"options": ["line-9999"]}, {"note": "x" * 2001}, {"total": "lots"}],
)  # fmt: skip
def test_an_answer_that_cannot_be_keeps_what_was_typed(typed, quote, customer_client):
    post = {"kind": "accepted", "name": "Tamsin Pell", "note": "Soon please"} | typed
    response = customer_client.post(page_of(quote, "answer/"), post)
    assert response.status_code == 422
    assert typed.get("name", "Tamsin Pell").replace("\0", "").strip()[:20] in flat(response)
    assert not Answer.objects.exists()


def test_pressing_twice_answers_once(quote, customer_client):
    post = {"kind": "accepted", "name": "Tamsin", "total": quote.total}
    for _ in range(2):
        page = flat(customer_client.post(page_of(quote, "answer/"), post, follow=True))
    assert Answer.objects.count() == 1
    assert "A quote takes one answer" in page


def test_of_two_people_with_the_link_the_second_is_told(quote, customer_client):
    customer_client.post(
        page_of(quote, "answer/"), {"kind": "accepted", "name": "First", "total": quote.total}
    )
    page = flat(Client().post(page_of(quote, "answer/"), {"kind": "declined", "name": "Second"}, follow=True))
    assert "accepted already by First" in page
    assert Answer.objects.get().name == "First"


def test_a_no_is_taken_with_its_words(quote, customer_client):
    post = {"kind": "declined", "name": "Tamsin", "note": "Too dear", "sure": "1"}
    page = flat(customer_client.post(page_of(quote, "answer/"), post, follow=True))
    assert "Thank you for telling us" in page
    assert "You declined this quote" in page
    assert Answer.objects.get().note == "Too dear"


def test_a_first_no_is_asked_about_and_keeps_what_was_typed(quote, customer_client):
    post = {"kind": "declined", "name": "Tamsin Pell", "note": "Too dear"}
    response = customer_client.post(page_of(quote, "answer/"), post)
    page = flat(response)
    assert response.status_code == 200
    assert "Decline this quote?" in page
    assert "Would you tell us why?" in page
    assert 'value="Tamsin Pell"' in page
    assert "Too dear" in page
    assert not Answer.objects.exists()


def test_a_no_needs_neither_name_nor_reason(quote, customer_client):
    customer_client.post(page_of(quote, "answer/"), {"kind": "declined", "sure": "1"})
    answer = Answer.objects.get()
    assert (answer.kind, answer.name, answer.note) == ("declined", "Tamsin Pell", "")


def test_a_no_that_cannot_be_kept_as_written_is_asked_again(quote, customer_client):
    post = {"kind": "declined", "sure": "1", "note": "x" * 2001, "name": "Tamsin"}
    response = customer_client.post(page_of(quote, "answer/"), post)
    assert response.status_code == 422
    assert 'value="Tamsin"' in flat(response)
    assert not Answer.objects.exists()


@pytest.mark.parametrize("why", ["withdrawn", "replaced", "expired", "declined"])
def test_a_quote_that_is_shut_says_so_and_nothing_else(why, quote, owner, shop, customer_client):
    words = {
        "withdrawn": "This quote was withdrawn", "replaced": "There is a newer quote",
        "expired": "This quote has run out", "declined": "Thank you for telling us",
    }[why]  # fmt: skip
    if why == "withdrawn":
        withdraw_quote(quote, owner)
    elif why == "replaced":
        send_quote(make_revision(quote, owner), owner, shop)
    elif why == "declined":
        decline(quote, name="Tamsin")
    else:
        past(quote)
    page = flat(customer_client.get(page_of(quote)))
    assert words in page
    for hidden in (
        "Fairing skin",
        "Chrome plating",
        "Bow fairing",
        str(quote.total),
        "Accept",
        "No, thank you",
    ):
        assert hidden not in page
    letter = customer_client.get(page_of(quote, "pdf/"))
    assert letter.status_code == 410
    assert words in flat(letter)
    answer = customer_client.post(
        page_of(quote, "answer/"), {"kind": "accepted", "name": "Tamsin"}, follow=True
    )
    assert words in flat(answer)
    late_no = customer_client.post(page_of(quote, "answer/"), {"kind": "declined"}, follow=True)
    assert words in flat(late_no)
    assert "Decline this quote?" not in flat(late_no)
    question = customer_client.post(
        page_of(quote, "question/"), {"text": "May we have a new one?"}, follow=True
    )
    assert words in flat(question)
    assert "May we have a new one?" in flat(question)
    assert Question.objects.count() == 1
    assert not Answer.objects.filter(kind="accepted").exists()


def test_a_question_is_asked_once_and_its_reply_read(quote, owner, customer_client):
    post = {"text": "Can it be bright?", "name": "Tamsin", "submission": str(uuid.uuid4())}
    for _ in range(2):
        customer_client.post(page_of(quote, "question/"), post)
    reply_to(Question.objects.get(), owner, "Yes, it can")
    page = flat(customer_client.get(page_of(quote)))
    assert page.count("Can it be bright?") == 1
    assert "Yes, it can" in page


@pytest.mark.parametrize("text", ["", "  ", "x" * 2001, "a\0b"])
def test_a_question_that_cannot_be(text, quote, customer_client):
    assert customer_client.post(page_of(quote, "question/"), {"text": text}).status_code == 422
    assert not Question.objects.exists()


def test_one_customer_sees_nothing_of_another(quote, customer_client, owner, shop):
    from jobs.models import Customer
    from jobs.numbers import save_with_number

    other = save_with_number(
        Job(customer=Customer.objects.create(name="Hearth Lane Bakery"), title="Oven dome")
    )
    theirs = sent_quote(other, owner, shop, bought_in("Chimney ring"))
    page = flat(customer_client.get(page_of(theirs)))
    assert "Chimney ring" in page
    for hidden in ("Tamsin", "Bow fairing", "Chrome plating"):
        assert hidden not in page
    stolen = {"kind": "accepted", "name": "x", "options": [quote.frozen["lines"][1]["key"]]}
    assert customer_client.post(page_of(theirs, "answer/"), stolen).status_code == 422


def test_the_page_takes_few_queries(quote, customer_client, django_assert_max_num_queries):
    for number in range(5):
        ask(quote, text=f"Question {number}")
    with django_assert_max_num_queries(4):
        customer_client.get(page_of(quote))


def test_an_accepted_page_stays_readable(quote, customer_client):
    accept(quote, name="Tamsin")
    page = flat(customer_client.get(page_of(quote)))
    assert "Chrome plating" in page
    assert "Accept the quote" not in page
    assert Quote.objects.get().state == "accepted"


def test_answers_are_posted(quote, customer_client):
    """Opened as pages, where a browser reloads what it posted, the addresses lead back to the quote."""
    for rest in ("answer/?kind=accepted&name=Tamsin", "question/?text=Why"):
        assert customer_client.get(page_of(quote, rest)).url.startswith(page_of(quote))
    assert not Answer.objects.exists()
    assert not Question.objects.exists()
    assert Client(enforce_csrf_checks=True).post(page_of(quote, "answer/"), {}).status_code == 403


def test_the_address_has_a_name(quote):
    assert reverse("offer", args=[quote.token]) == page_of(quote)


def test_each_panel_says_its_metal_thickness_finish_and_blank(job, panel, owner, shop):
    shop.units = "in"
    shop.save()
    quote = sent_quote(job, owner, shop)
    words = offer_text(quote.frozen).items[0].words

    # 1.6 mm is within 2 % of 14 ga Brown & Sharpe (0.0641 in).
    assert words.startswith("Aluminium 1100-O 14 ga (0.063 in), smooth finish, from a blank of ")
    assert words.endswith(" in")


def test_after_a_yes_the_page_says_what_happens_next(quote, job, owner, shop, customer_client):
    accept(quote, name="Tamsin")
    page = flat(customer_client.get(page_of(quote)))
    asked = job_statement(job).deposit_open
    assert "What happens next" in page
    assert f'Please pay the deposit of <b class="nowrap">€ {asked}</b>' in page
    assert "We will tell you the day it is ready by" in page
    keep_payment(job, Payment(kind="deposit", amount=asked, received_on=timezone.localdate()), owner, shop)
    promised = timezone.localdate() + timedelta(days=20)
    Job.objects.update(promised_on=promised)
    link = make_link(job, owner)
    page = flat(customer_client.get(page_of(quote)))
    assert "Your deposit has come in" in page
    assert f'You have our word for <b class="nowrap">{full_day(promised)}</b>' in page
    assert link.get_absolute_url() in page


def test_an_accepted_page_can_still_be_asked_on(quote, customer_client):
    accept(quote, name="Tamsin")
    customer_client.post(page_of(quote, "question/"), {"text": "May we watch?"})
    assert "May we watch?" in flat(customer_client.get(page_of(quote)))


def test_an_old_tab_answering_after_withdrawal_is_told_so(quote, owner, customer_client):
    opened = customer_client.get(page_of(quote))
    withdraw_quote(quote, owner)
    post = {"kind": "accepted", "name": "Tamsin", "total": opened.context["offer"].total}
    page = flat(customer_client.post(page_of(quote, "answer/"), post, follow=True))
    assert "This quote was withdrawn. Ask for a new one." in page
    assert "Ask us something" in page
    assert not Answer.objects.exists()


def test_a_revised_quotes_old_link_says_there_is_a_newer_one(quote, owner, shop, customer_client):
    newer = send_quote(make_revision(quote, owner), owner, shop)
    for kind in ("accepted", "declined"):
        post = {"kind": kind, "name": "Tamsin", "sure": "1"}
        page = flat(customer_client.post(page_of(quote, "answer/"), post, follow=True))
        assert "A newer quote has taken the place of this one." in page
        assert newer.token not in page
    assert not Answer.objects.exists()


def test_a_link_of_a_job_is_no_link_of_its_quote_and_the_other_way_round(quote, job, owner, customer_client):
    accept(quote, name="Tamsin")
    link = make_link(job, owner)
    assert customer_client.get(f"/for/{link.token}/").status_code == 404
    assert customer_client.get(f"/for/job/{quote.token}/").status_code == 404
    assert customer_client.post(f"/for/{link.token}/answer/", {"kind": "accepted"}).status_code == 404


def test_a_question_on_a_quote_that_is_shut_reaches_today(quote, owner, customer_client, owner_client):
    withdraw_quote(quote, owner)
    customer_client.post(page_of(quote, "question/"), {"text": "A new one?", "name": "Tamsin"})
    assert "asked something about quote" in flat(owner_client.get("/"))


def test_a_sent_quote_keeps_the_writing_of_money_it_was_sent_with(job, panel, owner, shop, customer_client):
    shop.money_style, shop.currency, shop.currency_symbol = "sign-comma", "USD", "$"
    shop.save()
    quote = sent_quote(job, owner, shop, bought_in("Primer", "1049.29", is_option=True))
    Shop.objects.update(money_style="dot-sign", currency_symbol="€")
    shown = flat(customer_client.get(page_of(quote)))
    priced = offer_text(quote.frozen).options[0].amount
    assert priced > 1000
    assert f"${priced:,.2f}" in shown
    assert option_words(quote.frozen)[0][1] == f"Primer, ${priced:,.2f}"
    assert "€" not in shown
