"""Payments: the account of a job, each press once, and nothing paid back that never came."""

import uuid
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from estimates.acceptance import accept
from estimates.models import Payment
from estimates.payments import PaymentRefused, job_statement, keep_payment, strike_payment
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
