"""What a customer is told once the job is closed."""

import pytest
from django.urls import reverse
from django.utils import timezone

from estimates.acceptance import accept
from estimates.models import Payment
from estimates.payments import job_statement, keep_payment
from jobs.models import Job
from tests.estimates.quote_cast import sent_quote


@pytest.mark.parametrize("paid", [False, True])
def test_no_deposit_is_thanked_for_that_never_came(client, job, panel, owner, shop, paid):
    shop.deposit_percent = 40
    shop.save()
    quote = sent_quote(job, owner, shop)
    accept(quote, name="Tamsin")
    if paid:
        asked = job_statement(job).deposit_open
        keep_payment(
            job, Payment(kind="deposit", amount=asked, received_on=timezone.localdate()), owner, shop
        )
    Job.objects.filter(pk=job.pk).update(state=Job.State.CLOSED, closed_at=timezone.now())

    page = client.get(reverse("offer", args=[quote.token])).content.decode()
    assert "the job is closed" in page
    assert ("Your deposit has come in" in page) is paid
    assert "Please pay the deposit" not in page
