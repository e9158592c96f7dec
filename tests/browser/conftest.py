"""A real browser for the tests in this folder: found where .ci/find-browser finds it, and never skipped in silence."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Condition

import pytest
from django.core.handlers.wsgi import WSGIHandler
from django.core.signals import request_finished, request_started
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, sync_playwright

from tests.conftest import PASSWORD

DESK, PHONE = {"width": 1280, "height": 900}, {"width": 390, "height": 844}
# htmx reports a request that a later press has replaced as an error of its own.
REPLACED = ("htmx:afterRequest", "htmx:sendAbort")
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
NAMES = ("chromium", "chromium-browser", "google-chrome")


def browser_path() -> str:
    """Where the browser is; fails in words where there is none."""
    for name in (os.environ.get("GATHERBOOK_BROWSER", ""), *NAMES):
        if name and (found := shutil.which(name)):
            return found
    pytest.fail(
        "The browser tests need Chromium. On Debian: sudo apt-get install chromium. Elsewhere, put the path of a "
        "Chromium into GATHERBOOK_BROWSER."
    )


class Answering:
    """Counts the requests that the served book is still answering, those of a page that has gone among them."""

    def __init__(self):
        self._open, self._changed = 0, Condition()
        request_started.connect(self._began, weak=False)
        request_finished.connect(self._ended, weak=False)

    def _began(self, sender, **_):
        self._count(sender, 1)

    def _ended(self, sender, **_):
        self._count(sender, -1)

    def _count(self, sender, more: int) -> None:
        if sender is None or not issubclass(sender, WSGIHandler):
            return  # asked by a test itself, without a server between
        with self._changed:
            self._open += more
            self._changed.notify_all()

    def done(self, seconds: float = 20) -> None:
        """Wait until nothing is being answered, so that no test reaches into the next one's book."""
        with self._changed:
            assert self._changed.wait_for(lambda: self._open == 0, seconds), (
                f"{self._open} requests still run"
            )


ANSWERING = Answering()


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # the browser's own loop runs in this thread
    path = browser_path()
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield browser
        browser.close()
    os.environ.pop("DJANGO_ALLOW_ASYNC_UNSAFE")


@pytest.fixture
def visit(chromium):
    """Open a context of its own for somebody; options are the browser context's. All are closed at the end."""
    opened: list[BrowserContext] = []

    def visit(**options) -> Page:
        context = chromium.new_context(**{"viewport": DESK, "locale": "en-GB", **options})
        context.set_default_timeout(15_000)
        opened.append(context)
        return context.new_page()

    yield visit
    for context in opened:
        context.close()
    ANSWERING.done()


def sign_in(page: Page, base: str, username: str, password: str = PASSWORD, *, then: str = "/") -> None:
    """Ask for a page, be asked who one is, and wait for the whole of the page that was asked for."""
    page.goto(base + then)
    page.fill("[name=username]", username)
    page.fill("[name=password]", password)
    page.click("main button[type=submit]")
    page.wait_for_url(base + then)


@contextmanager
def nothing_amiss(page: Page, *expected: str) -> Iterator[list[str]]:
    """Fail for anything the browser complains of meanwhile: script errors, failed files, a breach of the policy.

    A message that holds one of ``expected`` is meant, such as the refusal of a form (422).
    """
    complaints: list[str] = []

    def heard(message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"} and not any(
            words in message.text for words in (*REPLACED, *expected)
        ):
            complaints.append(f"{page.url}: {message.text}")

    def raised(error: Exception) -> None:
        complaints.append(f"{page.url}: {error}")

    page.on("console", heard)
    page.on("pageerror", raised)
    yield complaints
    page.remove_listener("console", heard)
    page.remove_listener("pageerror", raised)
    assert not complaints, "\n".join(complaints)


def too_wide(page: Page) -> int:
    """By how many pixels the page is wider than the window, once its letters are there."""
    page.wait_for_load_state("load")
    page.evaluate("document.fonts.ready.then(() => true)")
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
