"""A statement by e-mail: the printed PDF, once for a press, and only said to be sent where it was."""

import io
import uuid
from decimal import Decimal
from smtplib import SMTPServerDisconnected

import pypdf
import pytest
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend

from estimates.mailing import MailRefused
from estimates.models import Payment, StatementSent
from estimates.payments import keep_payment
from estimates.statement_mail import email_statement, usual_statement_words
from jobs.models import Job
from shop.models import AuditEntry
from tests.estimates.work_cast import accepted

pytestmark = pytest.mark.django_db


@pytest.fixture
def agreed(job, panel, owner, shop):
    accepted(job, owner, shop)
    return job


def address(job) -> str:
    return f"/jobs/{job.number}/statement/e-mail/"


def typed(**more) -> dict[str, str]:
    return {"to": "tamsin@pell.example", "words": "Hello", "submission": str(uuid.uuid4())} | more


def test_the_printed_statement_goes_with_it(agreed, owner, shop):
    sent = email_statement(agreed, owner, shop, to="tamsin@pell.example", words="Hello")
    (message,) = mail.outbox
    assert message.to == ["tamsin@pell.example"]
    assert message.subject == f"Drumlin & Daughter: statement for {agreed.number}, Bow fairing"
    ((name, content, kind),) = message.attachments
    assert (name, kind) == (f"statement-{agreed.number}.pdf", "application/pdf")
    text = pypdf.PdfReader(io.BytesIO(content)).pages[0].extract_text()
    assert "Still to pay" in text
    assert sent.to_pay == agreed.quotes.get().total


def test_one_press_sends_one_e_mail(agreed, owner_client):
    press = typed()
    for _ in range(2):
        assert owner_client.post(address(agreed), press).status_code == 302
    assert len(mail.outbox) == StatementSent.objects.count() == 1
    owner_client.post(address(agreed), typed())
    assert len(mail.outbox) == 2


def test_a_mail_server_that_refuses_leaves_nothing_said_to_be_sent(agreed, owner_client, monkeypatch):
    def refuse(*_):
        raise SMTPServerDisconnected("gone")

    press = typed()
    with monkeypatch.context() as patched:
        patched.setattr(EmailBackend, "send_messages", refuse)
        response = owner_client.post(address(agreed), press)
    assert response.status_code == 422
    assert (
        "Nothing was sent; try again, or attach the statement to a message of your own."
        in response.content.decode()
    )
    assert not StatementSent.objects.exists()
    assert not AuditEntry.objects.filter(what__contains="statement").exists()
    owner_client.post(address(agreed), press)
    assert len(mail.outbox) == 1
    assert AuditEntry.objects.filter(what="sent the statement to tamsin@pell.example").count() == 1


def test_without_a_mail_server_nothing_is_said_to_be_on_its_way(agreed, owner_client, settings, tmp_path):
    settings.EMAIL_BACKEND, settings.EMAIL_FILE_PATH = (
        "django.core.mail.backends.filebased.EmailBackend",
        str(tmp_path),
    )
    assert "No mail server is set" in owner_client.get(address(agreed)).content.decode()
    page = owner_client.post(address(agreed), typed(), follow=True).content.decode()
    assert "nothing has gone to tamsin@pell.example" in page
    assert "on its way" not in page
    (written,) = tmp_path.iterdir()
    assert b"application/pdf" in written.read_bytes()
    assert AuditEntry.objects.filter(what__startswith="wrote an e-mail with the statement").exists()


def test_with_a_mail_server_it_is_on_its_way(agreed, owner_client):
    page = owner_client.post(address(agreed), typed(), follow=True).content.decode()
    assert "The statement is on its way to tamsin@pell.example." in page
    assert "To tamsin@pell.example on" in page


def test_there_must_be_something_to_state(job, panel, owner, shop):
    with pytest.raises(MailRefused, match="nothing to state"):
        email_statement(job, owner, shop, to="tamsin@pell.example", words="Hello")
    assert not mail.outbox


def test_a_bad_address_keeps_what_was_typed(agreed, owner_client):
    response = owner_client.post(address(agreed), typed(to="nobody", words="My own words"))
    assert response.status_code == 422
    assert "That is no e-mail address." in response.content.decode()
    assert "My own words" in response.content.decode()


def test_usual_words_say_what_is_open(agreed, owner, shop):
    total = agreed.quotes.get().total
    assert f"{total:,.2f}".replace(",", "\u2009") in usual_statement_words(agreed, shop)
    keep_payment(agreed, Payment(kind="payment", amount=total), owner, shop)
    assert "Nothing is open on it. Thank you." in usual_statement_words(agreed, shop)
    keep_payment(agreed, Payment(kind="payment", amount=Decimal(10)), owner, shop, sure=True)
    assert "10.00 stands to your credit" in usual_statement_words(agreed, shop)


def test_a_title_cannot_write_mail_headers(agreed, owner, shop):
    Job.objects.filter(pk=agreed.pk).update(title="Dome\nBcc: all@shop.example")
    agreed.refresh_from_db()
    email_statement(agreed, owner, shop, to="t@pell.example", words="x")
    assert mail.outbox[0].subject.endswith("Dome Bcc: all@shop.example")
    assert mail.outbox[0].bcc == []


def test_a_shaper_sends_no_statement(agreed, shaper_client):
    assert shaper_client.get(address(agreed)).status_code == 403
    assert shaper_client.post(address(agreed), typed()).status_code == 403


@pytest.mark.parametrize("page", ["payments/", "papers/"])
def test_pages_lead_to_it(agreed, owner_client, page):
    assert f'href="{address(agreed)}"' in owner_client.get(f"/jobs/{agreed.number}/{page}").content.decode()
