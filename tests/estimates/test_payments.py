"""Payments: the account of a job, each press once, and nothing paid back that never came."""

import uuid
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from estimates.acceptance import accept
from estimates.models import Payment
from estimates.payments import MuchMoney, PaymentRefused, job_statement, keep_payment, strike_payment
from shop.models import AuditEntry
from tests.estimates.quote_cast import bought_in, sent_quote

pytestmark = pytest.mark.django_db


def paid(amount, kind="payment", **more) -> Payment:
    return Payment(kind=kind, amount=Decimal(amount), received_on=timezone.localdate(), **more)


@pytest.fixture
def accepted(job, panel, owner, shop):
    quote = sent_quote(job, owner, shop, bought_in("Primer", "100", is_option=True))
    accept(quote, name="Tamsin", options=[quote.frozen["lines"][0]["key"]])
    return quote


def test_the_account_knows_what_was_accepted_with_its_options(accepted, job, owner, shop):
    account = job_statement(job)
    assert account.price == accepted.answer.total > accepted.total
    assert account.deposit_asked == round(account.price * Decimal("0.30"), 2)
    keep_payment(job, paid(account.deposit_asked, "deposit"), owner, shop)
    keep_payment(job, paid("50"), owner, shop)
    keep_payment(job, paid("20", "refund"), owner, shop)
    account = job_statement(job)
    assert account.received == account.deposit_asked + 30
    assert account.balance == account.price - account.received
    assert account.deposit_open == 0


def test_a_quote_that_is_only_sent_is_not_owed(job, panel, owner, shop):
    sent_quote(job, owner, shop)
    assert job_statement(job).price == 0


def test_one_press_is_one_payment(job, owner, shop):
    press = uuid.uuid4()
    first = keep_payment(job, paid("10"), owner, shop, press)
    assert keep_payment(job, paid("10"), owner, shop, press) == first
    assert Payment.objects.count() == 1


def test_no_more_goes_back_than_came_in(job, owner, shop):
    keep_payment(job, paid("10"), owner, shop)
    with pytest.raises(PaymentRefused, match=r"Only €.10 has come in"):
        keep_payment(job, paid("10.01", "refund"), owner, shop)


def test_money_to_come_is_not_written_down(job, owner, shop):
    payment = paid("10")
    payment.received_on = timezone.localdate() + timedelta(days=1)
    with pytest.raises(PaymentRefused, match="to come"):
        keep_payment(job, payment, owner, shop)


def test_a_payment_is_taken_out_with_a_reason_and_stays_in_the_trail(job, owner, shop):
    payment = keep_payment(job, paid("10"), owner, shop)
    with pytest.raises(PaymentRefused, match="Say why"):
        strike_payment(job, payment.pk, owner, shop, " ")
    for _ in range(2):
        strike_payment(job, payment.pk, owner, shop, "Written twice")
    assert not Payment.objects.exists()
    assert AuditEntry.objects.first().changes == {
        "amount": ["10.000", None],
        "reason": [None, "Written twice"],
    }


def test_what_was_paid_back_holds_the_payment_it_came_from(job, owner, shop):
    payment = keep_payment(job, paid("10"), owner, shop)
    keep_payment(job, paid("10", "refund"), owner, shop)
    with pytest.raises(PaymentRefused, match="More would have gone back"):
        strike_payment(job, payment.pk, owner, shop, "Slip")


def test_the_database_refuses_a_payment_of_nothing(job):
    with pytest.raises(IntegrityError), transaction.atomic():
        Payment.objects.create(job=job, amount=0)


def test_more_than_twice_what_is_open_is_asked_about_and_then_taken(accepted, job, owner, shop):
    still_open = job_statement(job).balance
    keep_payment(job, paid(still_open / 4), owner, shop)
    still_open = job_statement(job).balance
    cent = Decimal("0.01")
    with pytest.raises(MuchMoney, match=r"Only €.* is open on this job\. Is €.* right\?"):
        keep_payment(job, paid(2 * still_open + cent), owner, shop)
    assert keep_payment(job, paid(2 * still_open + cent), owner, shop, sure=True).pk
    with pytest.raises(MuchMoney, match="Nothing is open on this job any more"):
        keep_payment(job, paid("1"), owner, shop)


def test_twice_what_is_open_is_taken_unasked(accepted, job, owner, shop):
    assert keep_payment(job, paid(2 * job_statement(job).balance), owner, shop).pk


def test_before_acceptance_a_payment_is_held_against_the_quote_that_waits(job, panel, owner, shop):
    keep_payment(job, paid("9000"), owner, shop)  # no price at all: nothing to hold it against
    quote = sent_quote(job, owner, shop)
    with pytest.raises(MuchMoney):
        keep_payment(job, paid(quote.total * 2 + 1), owner, shop)
    assert keep_payment(job, paid(quote.total * 2), owner, shop).pk


def test_the_page_asks_once_and_takes_one_payment_for_two_presses(accepted, job, owner_client):
    where = reverse("payments", args=[job.number])
    form = owner_client.get(where).context["form"]
    press = str(form["submission"].value())
    post = {"kind": "payment", "amount": "90000", "received_on": "2026-01-05", "submission": press}
    asked = owner_client.post(where, post)
    page = asked.content.decode()
    assert asked.status_code == 422
    assert "Yes, write it down" in page
    assert f'name="submission" value="{press}"' in page
    assert not Payment.objects.exists()
    sure = page.split('name="sure" value="')[1].split('"')[0]
    other = owner_client.post(where, post | {"amount": "80000", "sure": sure})
    assert other.status_code == 422  # another amount than the one asked about is asked about itself
    for _ in range(2):
        assert owner_client.post(where, post | {"sure": sure}).status_code == 302
    assert Payment.objects.get().amount == 90000
