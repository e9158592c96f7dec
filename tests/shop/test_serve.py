"""Serving a shop's own book: to its own machine, or to the phones in the workshop."""

import os
import subprocess
import sys
from io import StringIO

import pytest
from django.core.management import call_command

HOSTS = "from shop import settings; print(*settings.ALLOWED_HOSTS)"


def hosts_of(**given: str) -> list[str]:
    """The names that a book started with these variables answers to."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("GATHERBOOK_")}
    done = subprocess.run(
        [sys.executable, "-c", HOSTS], env=kept | given, capture_output=True, text=True, check=True
    )
    return done.stdout.split()


def test_a_book_for_the_workshop_still_answers_its_own_machine(tmp_path):
    own = ["localhost", "127.0.0.1", "[::1]"]
    assert hosts_of(GATHERBOOK_VAR=str(tmp_path)) == own
    assert hosts_of(GATHERBOOK_VAR=str(tmp_path), GATHERBOOK_HOSTS="192.168.1.20") == ["192.168.1.20", *own]


def test_on_a_server_it_answers_only_to_the_names_given():
    public = {
        "GATHERBOOK_MODE": "production",
        "GATHERBOOK_SECRET_KEY": "k" * 64,
        "GATHERBOOK_HOSTS": "book.example",
    }
    assert hosts_of(**public) == ["book.example"]


@pytest.mark.parametrize(
    ("host", "named", "warned"),
    [("127.0.0.1", [], False), ("0.0.0.0", [], True), ("0.0.0.0", ["192.168.1.20"], False)],
)
def test_serving_a_network_that_is_not_let_in_says_how_to_let_it_in(
    monkeypatch, settings, host, named, warned
):
    monkeypatch.setattr("waitress.serve", lambda *_, **__: None)
    settings.ALLOWED_HOSTS = [*named, *settings.THIS_MACHINE]
    said = StringIO()
    call_command("serve", host=host, stdout=said)
    assert ("Only this machine is let in" in said.getvalue()) is warned
