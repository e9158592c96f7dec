"""Sending: frozen with all it was made from, replacing what came before, and one e-mail for a press."""

import json
import uuid
from datetime import date, timedelta
from decimal import Decimal
from smtplib import SMTPServerDisconnected

import pytest
from django.core import mail
from django.db import IntegrityError, transaction
from django.utils import timezone

from estimates.acceptance import accept
from estimates.drafts import QuoteRefused, add_line, change_texts, make_revision, new_draft, price_at
from estimates.models import LinkSent, Quote
from estimates.quoting import frozen
from estimates.quoting.figures import quote_figures
from estimates.quoting.frozen import offer_text, read_price
from estimates.quoting.sheet import sheet_of
from estimates.sending import email_link, send_quote, usual_words, withdraw_quote
from jobs.models import Job
from jobs.panels import save_panel
from shop.models import LabourRate, Metal, SheetStock, Shop
from tests.estimates.quote_cast import bought_in, discount, sent_quote, version

pytestmark = pytest.mark.django_db
URL = "https://shop.example/for/token/"


def test_sending_fixes_the_price_the_owner_saw(job, panel, owner, shop):
    draft = new_draft(job, owner, shop)
    total = quote_figures(draft, shop).priced.total.gross
    quote = send_quote(draft, owner, shop, version=version(draft), seen_total=total)
    assert quote.total == total == read_price(quote.frozen).total.gross == offer_text(quote.frozen).total
    assert (quote.state, quote.sent_by, quote.made_on) == ("sent", owner, timezone.localdate())
    assert quote.valid_until == timezone.localdate() + timedelta(days=30)
    job.refresh_from_db()
    assert job.state == Job.State.QUOTED


def test_nothing_changed_later_changes_a_sent_quote(job, panel, owner, shop, sheet):
    quote = sent_quote(job, owner, shop, bought_in(), discount(percent="5"))
    page_before, offer_before = sheet_of(quote.frozen), offer_text(quote.frozen)
    LabourRate.objects.update(per_hour=999)
    Metal.objects.update(price_per_kg=999, density_kg_m3=20000, name="Lead")
    SheetStock.objects.update(cost=999)
    Shop.objects.update(tax_percent=0, margin_percent=50, name="Other", currency_symbol="£")
    panel.refresh_from_db()
    panel.dimensions["depth_mm"] = 90.0
    save_panel(panel, owner)
    job.customer.name = "Somebody else"
    job.customer.save()
    kept = Quote.objects.get(pk=quote.pk)
    assert sheet_of(kept.frozen) == page_before
    assert offer_text(kept.frozen) == offer_before
    assert quote_figures(kept, Shop.standing()).priced.total.gross != kept.total


def test_the_copy_holds_all_it_was_made_from(job, panel, owner, shop, sheet):
    held = sent_quote(job, owner, shop, bought_in()).frozen
    assert json.loads(json.dumps(held, allow_nan=False)) == held
    stage = held["panels"][0]["stages"][1]
    assert held["version"] == 1
    assert held["shop"]["name"] == "Drumlin & Daughter"
    assert held["customer"]["email"] == "tamsin@pell.example"
    assert held["panels"][0]["mark"] == panel.mark
    assert held["panels"][0]["sheet"]["code"] == sheet.code
    assert held["panels"][0]["metal"]["density_kg_m3"] == 2710
    assert (stage["slug"], stage["per_hour"], stage["rate_from"]) == ("gathering", "54.000", "2020-01-01")
    assert {"mean_log", "scale", "df", "p50", "priced", "budget"} <= stage["hours"].keys()
    assert held["model"]["n_past"] == 0
    assert held["lines"][0]["label"] == "Plating"


def test_every_name_of_the_copy_is_written_up(job, panel, owner, shop, sheet):
    held = sent_quote(job, owner, shop, bought_in()).frozen
    panels = held["panels"][0]
    named = {
        *held,
        *panels,
        *panels["metal"],
        *panels["sheet"],
        *panels["stages"][0],
        *held["hours"],
        *held["shop"],
    }
    assert {name for name in named if name not in frozen.__doc__} == set()


def test_a_price_that_moved_since_the_page_was_made_is_not_sent(job, panel, owner, shop):
    draft = new_draft(job, owner, shop)
    seen = quote_figures(draft, shop).priced.total.gross
    LabourRate.objects.update(per_hour=60)
    with pytest.raises(QuoteRefused, match=r"The price is .* now, not "):
        send_quote(draft, owner, shop, seen_total=seen)
    assert Quote.objects.get().state == "draft"


@pytest.mark.parametrize("what", ["rate", "empty", "past", "closed", "discount"])
def test_an_unready_draft_is_not_sent(what, job, panel, owner, shop):
    draft = new_draft(job, owner, shop)
    if what == "rate":
        LabourRate.objects.all().delete()
    elif what == "empty":
        draft.panels.clear()
    elif what == "past":
        Quote.objects.filter(pk=draft.pk).update(valid_until=date(2020, 1, 1))
    elif what == "closed":
        Job.objects.update(state="closed", closed_at=timezone.now())
    else:
        draft.lines.create(position=1, kind="discount", label="x", reason="x", amount=Decimal(99999))
    with pytest.raises(QuoteRefused):
        send_quote(draft, owner, shop)
    assert Quote.objects.get().state == "draft"


def test_sending_twice_sends_once(job, panel, owner, shop):
    draft = new_draft(job, owner, shop)
    first = send_quote(draft, owner, shop)
    with pytest.raises(QuoteRefused, match="does not change"):
        send_quote(draft, owner, shop)
    assert Quote.objects.get().sent_at == first.sent_at


def test_the_database_refuses_a_sent_quote_without_its_copy(job, panel, owner, shop):
    draft = new_draft(job, owner, shop)
    draft.state = "sent"
    with pytest.raises(IntegrityError), transaction.atomic():
        draft.save()


def test_a_new_revision_replaces_the_open_one(job, panel, owner, shop):
    first = sent_quote(job, owner, shop)
    second = send_quote(make_revision(first, owner), owner, shop)
    first.refresh_from_db()
    assert (first.state, second.state) == ("replaced", "sent")


def test_a_further_quote_stands_beside_the_accepted_one(job, panel, owner, shop):
    first = sent_quote(job, owner, shop)
    accept(first, name="Tamsin")
    further = new_draft(job, owner, shop)
    assert (further.is_further, further.panels.count()) == (True, 0)
    add_line(further, owner, shop, bought_in("A second coat"))
    further = send_quote(further, owner, shop)
    again = new_draft(job, owner, shop)
    add_line(again, owner, shop, bought_in("Handles"))
    again = send_quote(again, owner, shop)
    revised = send_quote(make_revision(further, owner), owner, shop)
    states = {quote.letter: quote.state for quote in job.quotes.all()}
    assert states == {"A": "accepted", "B": "replaced", "C": "sent", "D": "sent"}
    assert revised.is_further is True


def test_an_accepted_quote_is_not_revised(job, panel, owner, shop):
    quote = sent_quote(job, owner, shop)
    accept(quote, name="Tamsin")
    quote.refresh_from_db()
    with pytest.raises(QuoteRefused, match="further quote"):
        make_revision(quote, owner)
    with pytest.raises(QuoteRefused, match="cannot be withdrawn"):
        withdraw_quote(quote, owner)


def test_withdrawing_twice_does_no_harm(job, panel, owner, shop):
    quote = sent_quote(job, owner, shop)
    for _ in range(2):
        assert withdraw_quote(quote, owner).state == "withdrawn"


def test_one_press_sends_one_e_mail(job, panel, owner, shop):
    quote, press = sent_quote(job, owner, shop), uuid.uuid4()
    for _ in range(2):
        email_link(quote, owner, to="tamsin@pell.example", words="Hello", url=URL, submission=press)
    assert LinkSent.objects.count() == 1
    (message,) = mail.outbox
    assert message.to == ["tamsin@pell.example"]
    assert message.body == f"Hello\n\n{URL}\n"
    assert message.subject == f"Drumlin & Daughter: quote {quote.number}, Bow fairing"


def test_a_second_press_asks_again(job, panel, owner, shop):
    quote = sent_quote(job, owner, shop)
    for again in (False, True):
        words = usual_words(quote, again=again)
        email_link(quote, owner, to="t@pell.example", words=words, url=URL, submission=uuid.uuid4())
    assert "We have not heard from you" in mail.outbox[1].body
    assert LinkSent.objects.count() == 2


def test_a_mail_server_that_refuses_leaves_nothing_said_to_be_sent(job, panel, owner, shop, monkeypatch):
    def refuse(*args, **kwargs):
        raise SMTPServerDisconnected("gone")

    quote, press = sent_quote(job, owner, shop), uuid.uuid4()
    monkeypatch.setattr("estimates.sending._mail", refuse)
    with pytest.raises(QuoteRefused, match="Nothing was sent"):
        email_link(quote, owner, to="t@pell.example", words="x", url=URL, submission=press)
    assert not LinkSent.objects.exists()
    monkeypatch.undo()
    email_link(quote, owner, to="t@pell.example", words="x", url=URL, submission=press)
    assert len(mail.outbox) == 1


def test_a_title_cannot_write_mail_headers(job, panel, owner, shop):
    Job.objects.filter(pk=job.pk).update(title="Dome\nBcc: all@shop.example")
    job.refresh_from_db()
    quote = sent_quote(job, owner, shop)
    email_link(quote, owner, to="t@pell.example", words="x", url=URL)
    assert mail.outbox[0].subject.endswith("Dome Bcc: all@shop.example")
    assert mail.outbox[0].bcc == []


def test_a_draft_at_the_middle_is_sent_at_the_middle(job, panel, owner, shop):
    draft = price_at(new_draft(job, owner, shop), owner, Decimal("0.50"))
    texts = {"intro": "", "terms": "", "valid_until": date(2099, 1, 1), "deposit_percent": Decimal(0)}
    quote = send_quote(change_texts(draft, owner, texts), owner, shop)
    assert (quote.frozen["confidence"], quote.frozen["budget_confidence"]) == ("0.50", "0.80")
    assert quote.valid_until == date(2099, 1, 1)
    assert offer_text(quote.frozen).deposit == 0
