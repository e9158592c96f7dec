"""Figures of whole pages and papers, each beside what the same work costs bare, through the same middleware."""

from __future__ import annotations

import io
import subprocess
import sys
from collections.abc import Callable
from contextlib import contextmanager
from importlib import import_module
from itertools import count
from pathlib import Path
from urllib.parse import urlencode

from django.conf import settings
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.test import Client
from django.test.utils import CaptureQueriesContext, override_settings
from django.urls import path

from estimates.demo.cast import Cast
from estimates.paper.document import write
from estimates.paper.facts.imprint import imprint_of
from estimates.paper.facts.work_order import with_all, work_orders
from estimates.paper.letters import fonts
from estimates.paper.work_order import WorkOrderPaper
from estimates.quoting.figures import panel_key
from jobs.models import Job, Panel
from shop.urls import urlpatterns as shops
from tests.estimates.test_builder import LIVE, fields_of
from tests.performance.big_book import twelve_panels
from tests.performance.measure import Figure, count_at_most, ratio_at_most
from tests.performance.work_order_paper import record, replay

MOST_QUERIES = 15
FORM = "application/x-www-form-urlencoded"


class Remembered:
    """A page as it was answered once: what it asked the database, and what its template was filled with."""

    queries: tuple[str, ...] = ()
    filled: tuple = ()


def empty_page(request: HttpRequest) -> HttpResponse:
    """The shop's page with nothing on it: masthead, rule, clock, foot."""
    return render(request, "base.html")


def from_memory(request: HttpRequest) -> HttpResponse:
    """The same queries, and the same template filled from memory."""
    with connection.cursor() as cursor:
        for query in Remembered.queries:
            cursor.execute(query)
            cursor.fetchall()
    return render(request, *Remembered.filled)


urlpatterns = [path("empty/", empty_page), path("from-memory/", from_memory), *shops]


def all_of_them(cast: Cast) -> list[Figure]:
    """Everything that is asked of a whole page or paper."""
    with override_settings(ROOT_URLCONF=__name__):
        osk = Client(SERVER_NAME="localhost")
        osk.force_login(cast.osk)
        return [
            _live_change(osk),
            *_page(osk, "the opening page", "/", "estimates.views.today"),
            *_page(osk, "the list of jobs", "/jobs/", "shop.pages"),
            *_page(osk, "the list of all jobs", "/jobs/?state=all", "shop.pages"),
            _requote(cast, osk),
            _work_order(cast),
            _numpy_on_a_plain_page(),
        ]


def _empty(client: Client) -> Callable[[], HttpResponse]:
    return lambda: client.get("/empty/")


def _answered(response: HttpResponse) -> HttpResponse:
    assert response.status_code == 200, f"{response.status_code}: {response.content[:300]!r}"
    return response


def _live_change(client: Client) -> Figure:
    """One dimension of a panel retyped; another value each time, so that nothing is at hand already."""
    enquiry = Job.objects.filter(state=Job.State.ENQUIRY).first()
    address = f"/jobs/{enquiry.number}/panels/new/"
    typed = fields_of(client.get(address).content.decode())
    depths = count(8000)

    def change():
        data = urlencode(typed | {"arch-depth_mm": f"{next(depths) / 100:.2f}"})
        headers = LIVE | {"HX-Trigger-Name": "arch-depth_mm"}
        return _answered(client.post(address, data, content_type=FORM, headers=headers))

    return ratio_at_most(5, "a panel, live change with its drawings", change, "an empty page", _empty(client))


def _page(client: Client, what: str, address: str, rendered_in: str) -> list[Figure]:
    with CaptureQueriesContext(connection) as of_every_page:
        client.get("/empty/")
    with _keeping_what_fills(rendered_in), CaptureQueriesContext(connection) as asked:
        _answered(client.get(address))
    queries, known = len(asked), {query["sql"] for query in of_every_page}
    Remembered.queries = tuple(query["sql"] for query in asked if query["sql"] not in known)
    page = ratio_at_most(
        2, what, lambda: _answered(client.get(address)), "its queries and template",
        lambda: _answered(client.get("/from-memory/")),
    )  # fmt: skip
    return [page, count_at_most(MOST_QUERIES, f"{what}: queries", queries)]


@contextmanager
def _keeping_what_fills(module: str):
    """Remember the template that a view fills, and with what."""
    holder = import_module(module)
    true = holder.render

    def kept(request, template, context=None, **options):
        Remembered.filled = (template, context)
        return true(request, template, context, **options)

    holder.render = kept
    try:
        yield
    finally:
        holder.render = true


def _requote(cast: Cast, client: Client) -> Figure:
    """One figure of a quote of six pairs overridden, and the whole sheet worked out and shown again."""
    quote = twelve_panels(cast)
    line = panel_key(quote.panels.first(), "gathering")
    address = f"{quote.get_absolute_url()}override/"
    lows = count(400)

    def change():
        quote.refresh_from_db(fields=["version"])
        low = next(lows)
        data = {
            "line": line, "version": quote.version, "low_hours": f"{low / 100}", "high_hours": f"{low / 80:.2f}",
            "reason": "Measured again",
        }  # fmt: skip
        return _answered(client.post(address, urlencode(data), content_type=FORM, headers=LIVE))

    return ratio_at_most(8, "a quote of 12 panels, live change", change, "an empty page", _empty(client))


def _work_order(cast: Cast) -> Figure:
    """A work order from its stored panel to the file, beside the bare library drawing the same pages."""
    imprint = imprint_of(cast.shop)
    stored = Panel.objects.filter(job__state=Job.State.IN_WORK)[:1]

    def papers():
        panels = list(with_all(Panel.objects.filter(pk__in=[panel.pk for panel in stored])))
        orders = work_orders(panels, cast.shop, lambda code: f"http://localhost/c/{code}/")
        return [WorkOrderPaper(imprint, order) for order in orders]

    fonts()
    calls = record(papers(), imprint)
    return ratio_at_most(
        3, "a work order (PDF)", lambda: write(papers(), io.BytesIO(), title="Work order", imprint=imprint),
        "the bare drawing", lambda: replay(calls), tries=9,
    )  # fmt: skip


PLAIN_PAGES = """
import sys, django
django.setup()
from django.test import Client
from shop.models import Person
client = Client(SERVER_NAME="localhost")
assert client.get("/sign-in/").status_code == 200
client.force_login(Person.objects.get(username="osk"))
for address in ("/jobs/", "/customers/", "/sheets/", "/my-hours/", "/shop/"):
    assert client.get(address).status_code == 200, address
sys.exit(3 if "numpy" in sys.modules else 0)
"""


def _numpy_on_a_plain_page() -> Figure:
    """A process that has only answered pages without estimates has not loaded the array library."""
    root = Path(settings.BASE_DIR)
    done = subprocess.run(
        [sys.executable, "-c", PLAIN_PAGES], cwd=root, check=False, capture_output=True, text=True
    )
    if done.returncode not in (0, 3):
        raise RuntimeError(done.stderr[-2000:])
    return count_at_most(0, "numpy loaded for plain pages (0 no, 1 yes)", done.returncode // 3)
