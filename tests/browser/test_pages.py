"""Every page of the example shop in a real browser: open to everybody, in both themes, on desk and phone."""

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.management import call_command
from django.db import connection
from django.urls import reverse
from pytest_django.live_server_helper import LiveServer

from estimates.demo.people import PASSWORD
from estimates.models import PastPanel, Quote
from jobs.models import Customer, Job, Panel, Photo, ProgressLink, Stage, TimeEntry
from shop.models import Metal, Person, SheetStock, StageKind
from tests.browser.conftest import ANSWERING, DESK, PHONE, WCAG, nothing_amiss, sign_in, too_wide

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.django_db]
# Two frames on, the page is laid out in its new window and what listens for the change has heard of it.
LAID_OUT = """width => new Promise(done => {
  const wait = () => requestAnimationFrame(() => innerWidth === width ? requestAnimationFrame(done) : wait());
  wait();
})"""
LOOKS = [(window, theme) for window in (DESK, PHONE) for theme in ("light", "dark")]


@pytest.fixture(scope="module")
def base(django_db_setup, django_db_blocker, chromium):
    """The address of a served book that holds the demo, for all tests of this file; emptied afterwards."""
    with django_db_blocker.unblock():
        connection.inc_thread_sharing()
        call_command("load_demo", picture_width=172, verbosity=0)
        server = LiveServer("localhost")
        yield server.url
        server.stop()
        ANSWERING.done()
        call_command("flush", interactive=False, verbosity=0)
        connection.dec_thread_sharing()


@pytest.fixture(scope="module")
def owner_page(base, chromium):
    context = chromium.new_context(viewport=DESK, locale="en-GB")
    page = context.new_page()
    sign_in(page, base, "osk", PASSWORD)
    yield page
    context.close()


@pytest.fixture(scope="module")
def stranger_page(base, chromium):
    context = chromium.new_context(viewport=DESK, locale="en-GB")
    yield context.new_page()
    context.close()


def _job(title: str) -> Job:
    return Job.objects.get(title=title)


def _live() -> Job:
    return _job("Sidecar mudguard skins")


def _panel() -> Panel:
    return Panel.objects.get(job=_live(), mirrors=None)


def _stage(slug: str = "gathering") -> Stage:
    return Stage.objects.get(panel=_panel(), kind__slug=slug)


def _quote(state: str) -> Quote:
    return Quote.objects.filter(state=state).select_related("job").latest("pk")


def _of_panel(name: str) -> Callable[[], str]:
    return lambda: reverse(name, args=[_live().number, _panel().position])


def _of_job(name: str) -> Callable[[], str]:
    return lambda: reverse(name, args=[_live().number])


def _of_stage(name: str, slug: str = "gathering") -> Callable[[], str]:
    return lambda: reverse(name, args=[_stage(slug).code])


def _first(name: str, model, **which) -> Callable[[], str]:
    return lambda: reverse(name, args=[model.objects.filter(**which).order_by("pk").first().pk])


def _plain(name: str) -> Callable[[], str]:
    return lambda: reverse(name)


PLAIN = [
    "today", "quote-list", "job-list", "job-new", "customer-list", "customer-new", "hours-list", "sheet-list",
    "sheet-new", "shop-settings", "people", "person-new", "rates", "stage-kind-new", "metals", "metal-new", "audit",
    "past-panels", "past-panels-import", "dates", "exports", "paper-gauge",
]  # fmt: skip
JOBS_PAGES = [
    "progress-email",
    "statement-email",
    "job",
    "job-edit",
    "job-against",
    "job-close",
    "payments",
    "job-photos",
    "papers",
]
OWNERS = {
    **{name: _plain(name) for name in PLAIN},
    **{name: _of_job(name) for name in JOBS_PAGES},
    **{name: _of_panel(name) for name in ("panel", "panel-figured")},
    **{name: _of_stage(name) for name in ("bench", "hours-add", "material-add", "photo-add")},
    "bench of a stage without passes": _of_stage("bench", "blending"),
    "search": lambda: reverse("search") + "?q=cap",
    "panel-edit": lambda: reverse("panel-edit", args=[_job("Rim for the lower fountain").number, 1]),
    "panel-new": lambda: reverse("panel-new", args=[_job("Ladle bowl, big").number]),
    "quote-new": lambda: reverse("quote-new", args=[_job("Ladle bowl, big").number]),
    "quote, a draft": lambda: _quote("draft").get_absolute_url(),
    "quote, changing a line": lambda: _quote("draft").get_absolute_url()
    + f"?change=panel-{_quote('draft').panels.first().pk}:gathering",
    "quote, sent": lambda: Quote.objects.get(job__title="Wing-root fairings, glider").get_absolute_url(),
    "quote, accepted": lambda: _quote("accepted").get_absolute_url(),
    "job, closed": lambda: _job("Font cover").get_absolute_url(),
    "job, an enquiry": lambda: _job("Ladle bowl, big").get_absolute_url(),
    "job against its estimate, over": lambda: reverse("job-against", args=[_job("Bow fairing, lake launch").number]),
    "job-close, closed": lambda: reverse("job-close", args=[_job("Font cover").number]),
    "customer": _first("customer", Customer),
    "customer-edit": _first("customer-edit", Customer),
    "photo": _first("photo", Photo),
    "hours-correct": _first("hours-correct", TimeEntry),
    "clock-mend": _first("clock-mend", TimeEntry, ended_at=None),
    "sheet": _first("sheet", SheetStock),
    "metal": _first("metal", Metal),
    "person": _first("person", Person),
    "stage-kind": _first("stage-kind", StageKind),
    "past-panel": _first("past-panel", PastPanel, origin="closed"),
    "labels": lambda: reverse("labels") + f"?job={_live().number}",
    "a page that is not there": lambda: "/jobs/1999-001/",
}  # fmt: skip
STRANGERS = {
    "sign-in": _plain("sign-in"),
    "offer, open": lambda: reverse(
        "offer", args=[Quote.objects.get(job__title="Ball for a weathervane").token]
    ),
    "offer, accepted": lambda: reverse("offer", args=[_quote("accepted").token]),
    "offer, declined": lambda: reverse("offer", args=[_quote("declined").token]),
    "progress": lambda: ProgressLink.objects.first().get_absolute_url(),
    "a link that is none": lambda: "/for/nothing-of-the-kind/",
}


# Presses, files, fragments and addresses that send on; the set-up of an empty book is tried in test_keyboard.py.
NO_PAGES = {
    "calendar", "calendar-link", "clock", "closing-customer-pdf", "closing-pdf", "code", "customer-names",
    "date-promise", "day-off-add", "day-off-remove", "export-archive", "export-csv", "gauges-pdf", "job-reopen",
    "job-work-orders", "material-take-back", "note-add", "offer-answer", "offer-ask", "offer-pdf",
    "panel-dxf", "panel-mirror", "panel-remove", "panel-svg", "papers-set", "papers-set-file", "pass-tick",
    "past-panel-back", "past-panels-csv", "pattern-pdf", "payment-strike", "photo-file", "photo-remove",
    "photo-thumbnail", "progress-link", "progress-photo", "progress-set", "question-reply",
    "quote-answer", "quote-discard", "quote-email", "quote-line-add", "quote-line-remove", "quote-override",
    "quote-panels", "quote-pdf", "quote-price", "quote-revise", "quote-send", "quote-withdraw", "reading-add",
    "reading-take-back",
    "sheet-arrived", "set-up", "sign-out", "statement-pdf", "today-aside", "work-order",
}  # fmt: skip


def look_over(page, address: str) -> None:
    """Load the page once and try it in both windows and both themes; the browser itself must not complain either."""
    with nothing_amiss(page, "404 (Not Found)"):
        page.set_viewport_size(DESK)
        page.goto(address, wait_until="load")
        for window, theme in LOOKS:
            page.set_viewport_size(window)
            page.emulate_media(color_scheme=theme, reduced_motion="reduce")
            page.evaluate(LAID_OUT, window["width"])
            assert too_wide(page) <= 0, f"{window['width']} px, {too_wide(page)} px too wide"
            found = Axe().run(page, options={"runOnly": WCAG})
            assert found.violations_count == 0, f"{window['width']} px, {theme}: {found.generate_report()}"


@pytest.mark.parametrize("name", OWNERS)
def test_a_page_of_the_shop_is_open_to_everybody(owner_page, base, name):
    look_over(owner_page, base + OWNERS[name]())


@pytest.mark.parametrize("name", STRANGERS)
def test_a_page_outside_the_door_is_open_to_everybody(stranger_page, base, name):
    look_over(stranger_page, base + STRANGERS[name]())


def test_every_page_with_a_name_is_looked_over():
    """A page that is added later is added here too."""
    from django.urls import get_resolver

    from tests.estimates.test_demo import named_patterns

    looked_over = {name.split(",")[0] for name in (*OWNERS, *STRANGERS)}
    names = {name for name, _ in named_patterns(get_resolver())}
    assert names - looked_over - NO_PAGES == set()


@pytest.mark.parametrize("name", ["job", "panel", "quote, sent", "job-against", "bench"])
def test_print_is_black_on_white_and_as_wide_as_the_sheet(owner_page, base, name):
    owner_page.set_viewport_size(
        {"width": 718, "height": 1047}
    )  # A4 less 10 mm all round, at 96 dots to the inch
    owner_page.emulate_media(media="print", color_scheme="dark")
    owner_page.goto(base + OWNERS[name]())
    try:
        seen = owner_page.evaluate(
            "() => [getComputedStyle(document.body).color, getComputedStyle(document.documentElement).backgroundColor,"
            " getComputedStyle(document.body).backgroundColor]"
        )
        assert seen[0] == "rgb(0, 0, 0)"
        assert set(seen[1:]) <= {"rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"}
        assert too_wide(owner_page) <= 0
        assert not owner_page.locator("nav.masthead-nav, .foot").filter(visible=True).count()
    finally:
        owner_page.emulate_media(media="screen")


def test_a_printed_bench_has_nothing_to_press_or_to_type(owner_page, base):
    owner_page.emulate_media(media="print")
    owner_page.goto(base + OWNERS["bench"]())
    try:
        useless = "main :is(button, input:not([type=hidden]), textarea, .bench-links)"
        assert not owner_page.locator(useless).filter(visible=True).count()
        for head in ("check", "passes", "readings"):
            assert owner_page.locator(f"#{head}-head").is_visible()
    finally:
        owner_page.emulate_media(media="screen")


@pytest.mark.parametrize(("window", "kept"), [(DESK, "wide"), (PHONE, "narrow")])
def test_a_panels_page_has_one_drawing_for_the_window_it_is_in(owner_page, base, window, kept):
    owner_page.set_viewport_size(window)
    owner_page.goto(base + OWNERS["panel"]())
    for room in ("wide", "narrow"):
        drawings = owner_page.locator(f".panel-drawings .for-{room}")
        assert drawings.count() == 1
        assert drawings.is_visible() == (room == kept)
        assert owner_page.locator(f"main .for-{room} .rule, .rule-slot .for-{room}").first.is_visible() == (
            room == kept
        )
