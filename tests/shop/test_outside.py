"""Addresses for others, and the truth about mail."""

import pytest
from django.test import RequestFactory

from shop.outside import address_for, mail_goes_out, only_here, said_of_mail


@pytest.fixture
def request_here():
    return RequestFactory(SERVER_NAME="localhost").get("/")


def test_without_a_public_address_links_follow_the_request(request_here, settings):
    settings.PUBLIC_ADDRESS = ""
    assert address_for(request_here, "/for/x/") == "http://localhost/for/x/"


def test_a_public_address_stands_in_every_link(request_here, settings):
    settings.PUBLIC_ADDRESS = "https://book.example/"
    assert address_for(request_here, "/for/x/") == "https://book.example/for/x/"


@pytest.mark.parametrize(
    ("address", "here"),
    [
        ("http://localhost:8000/", True),
        ("http://127.0.0.9/", True),
        ("http://[::1]:8000/", True),
        ("https://book.example/", False),
        ("http://192.168.1.20:8000/", False),
    ],
)
def test_a_loopback_address_is_told_from_one_that_others_can_open(address, here):
    assert only_here(address) is here


def test_mail_written_to_a_file_is_not_called_sent(settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    assert mail_goes_out() is False
    assert "nothing has gone to marge@pell.example" in said_of_mail("marge@pell.example")
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    assert said_of_mail("marge@pell.example") == "The link is on its way to marge@pell.example."
