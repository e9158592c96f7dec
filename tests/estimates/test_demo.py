"""The example shop, loaded as a person would load it: once, and once more."""

import html
import io
import re
from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise
from zoneinfo import ZoneInfo

import pypdf
import pytest
from django.contrib.auth import authenticate
from django.core.management import call_command
from django.core.signals import request_finished
from django.db import close_old_connections, transaction
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

from estimates.hours import STAGES
from estimates.hours.calibration import calibration
from estimates.learning import first_rates, past_panels, stage_kinds
from estimates.models import Answer, PastPanel, Payment, Question, Quote
from estimates.payments import job_statement
from jobs.models import Customer, Job, Panel, Photo, ProgressLink, Stage, StageNote, TimeEntry
from jobs.sheets_needed import sheet_plan
from shop.models import AuditEntry, DayOff, LabourRate, Metal, Person, SheetStock, Shop, StageKind

pytestmark = pytest.mark.slow
EVERYTHING = [
    AuditEntry, Answer, Customer, DayOff, Job, Metal, Panel, PastPanel, Payment, Person, Photo, Question, Quote,
    SheetStock, Shop, Stage, TimeEntry,
]  # fmt: skip


@pytest.fixture(scope="module")
def told(django_db_setup, django_db_blocker):
    """The demo in a book that was empty, and what the command said; rolled back once this file is done."""
    with django_db_blocker.unblock(), transaction.atomic():
        said = io.StringIO()
        call_command("load_demo", picture_width=86, stdout=said)
        yield said.getvalue()
        transaction.set_rollback(True)


@pytest.fixture
def book(told, db):
    return told


@pytest.fixture
def as_osk(book, client):
    client.force_login(Person.objects.get(username="osk"))
    return client


def test_it_says_where_to_go_and_how_to_sign_in(book):
    assert "http://127.0.0.1:8000" in book
    assert "for trying only" in book
    for name, role in (("osk", "owner"), ("maro", "shaper")):
        assert authenticate(username=name, password="planish-the-dome").role == role
        assert f"{name} " in book


def test_there_are_six_live_jobs_at_all_points_and_forty_past_panels(book):
    live = Job.objects.filter(state=Job.State.IN_WORK)
    assert live.count() == 6
    assert PastPanel.objects.count() == 40
    assert PastPanel.objects.filter(origin=PastPanel.Origin.CLOSED).count() == 13
    assert (
        PastPanel.objects.exclude(left_out_reason="").get().left_out_reason.startswith("Dropped on the floor")
    )
    reached = set(
        Stage.objects.filter(panel__job__in=live, started_at__isnull=False, done_at=None)
        .values_list("kind__slug", flat=True)
    )  # fmt: skip
    assert reached == {"layout", "gathering", "blending", "smoothing"}
    untouched = live.exclude(panels__stages__started_at__isnull=False).get()
    assert untouched.title == "Cowl for the cider press"
    assert "Copper" in str(sheet_plan("mm").to_order[0].metal)


def test_quotes_wait_ten_six_and_two_days(book):
    with timezone.override(ZoneInfo("Europe/Dublin")):
        waiting = Quote.objects.filter(state=Quote.State.SENT).order_by("sent_at")
        assert [quote.days_waiting for quote in waiting] == [10, 6, 2]
    assert Answer.objects.filter(kind=Answer.Kind.DECLINED).count() == 1
    assert Question.objects.filter(replied_at=None).count() == 1


def test_what_happened_is_in_the_past_and_in_order(book):
    now = timezone.now()
    assert not TimeEntry.objects.filter(started_at__gt=now).exists()
    assert not Photo.objects.filter(taken_at__gt=now).exists()
    assert not AuditEntry.objects.filter(at__gt=now).exists()
    for job in Job.objects.filter(accepted_at__isnull=False):
        hours = TimeEntry.objects.filter(stage__panel__job=job)
        assert job.created_at < job.quotes.earliest("sent_at").sent_at < job.accepted_at
        assert not hours.filter(started_at__lt=job.accepted_at).exists()
    assert TimeEntry.objects.get(ended_at=None).person.username == "maro"


def test_nobody_is_in_two_places_at_once(book):
    for person in Person.objects.all():
        by_the_clock = TimeEntry.objects.filter(
            person=person, source=TimeEntry.Source.CLOCK, ended_at__isnull=False
        )
        times = list(by_the_clock.order_by("started_at").values_list("started_at", "ended_at"))
        assert all(ended <= begins for (_, ended), (begins, _) in pairwise(times))


def test_the_past_panels_have_something_to_say_about_the_estimates(book):
    kinds = stage_kinds()
    result = calibration(past_panels(), first_rates(Shop.standing(), kinds))
    assert len(result.trials) > 100
    closed = PastPanel.objects.filter(origin=PastPanel.Origin.CLOSED)
    assert all(set(past.estimated) == {*STAGES} for past in closed if past.moved_dm2)


def test_a_stage_of_the_shops_own_and_a_job_by_the_hour_are_there_to_be_seen(book):
    own = StageKind.objects.get(driver=StageKind.Driver.FIXED)
    assert Stage.objects.get(kind=own).panel.job.title == "Flue hood for the second fire"
    by_hours = Job.objects.get(time_and_material=True)
    account = job_statement(by_hours)
    assert by_hours.state == Job.State.IN_WORK
    assert 0 < account.owed != account.price


def test_loading_twice_does_no_harm(book):
    before = {model: model.objects.count() for model in EVERYTHING}
    assert all(before.values())
    said = io.StringIO()
    call_command("load_demo", stdout=said)
    assert "nothing was loaded" in said.getvalue()
    assert {model: model.objects.count() for model in EVERYTHING} == before


def test_a_book_with_anybody_in_it_is_left_alone(book):
    """No shop, but people, and the owner has a password of his own by now."""
    Shop.objects.all().delete()
    osk = Person.objects.get(username="osk")
    osk.set_password("something of my own")
    osk.save()
    said = io.StringIO()
    call_command("load_demo", stdout=said)
    assert not Shop.objects.exists()
    assert "planish" not in said.getvalue()


def put_away(response) -> None:
    """Close a file that was sent, but not the connection: the test's own transaction is on it."""
    request_finished.disconnect(close_old_connections)
    response.close()
    request_finished.connect(close_old_connections)


def test_every_page_answers(as_osk):
    as_osk.raise_request_exception = False
    answers = {}
    for address in sorted(
        pages(leave_out={"offer-answer", "offer-ask"})
    ):  # opened, they lead back to the offer
        response = as_osk.get(address)
        answers[address] = response.status_code
        put_away(response)
    wrong = {address: code for address, code in answers.items() if code not in {200, 405}}
    assert wrong == {}
    assert sum(code == 200 for code in answers.values()) > 200


CUSTOMERS_OWN = {"offer", "offer-pdf", "offer-answer", "offer-ask"}  # whoever holds the link may read them
ASKED = [
    "/search/?q=aluminium", "/search/?q=2026", "/sheets/?used", "/jobs/?state=all", "/past-panels/?all",
    "/labels/?what=sheets&sheet=a4-24&print=1", "/jobs/?page=2",
]  # fmt: skip
UNMISTAKABLE = Decimal("7391.17")
PLACES = "d|points|transform|x|y|x1|y1|x2|y2|cx|cy|r|width|height|viewBox"  # attributes of drawings: no words


@pytest.fixture
def as_maro(book, client):
    client.force_login(Person.objects.get(username="maro"))
    return client


def test_a_shaper_sees_no_cost_rate_or_price_on_any_page(as_maro):
    amounts = amounts_of_the_book()
    tokens = list(Quote.objects.exclude(token="").values_list("token", flat=True))
    as_maro.raise_request_exception = False
    seen, refused, led = [], set(), {}
    for address in [*sorted(pages(leave_out=CUSTOMERS_OWN)), *ASKED]:
        for headers in ({}, {"HX-Request": "true"}):
            response = as_maro.get(address, headers=headers)
            if response.status_code != 200:
                refused |= {address} if response.status_code == 403 else set()
                break
            text = text_of(response)
            put_away(response)
            seen += [(address, word) for word in told_in(text, amounts, tokens)]
            led |= dict.fromkeys(re.findall(r'href="(/[^"#?]*)', text), address)
            if "HX-Request" not in response.headers.get("Vary", ""):
                break  # it knows no parts
    assert seen == []
    assert {"/quotes/", "/shop/", "/shop/rates/", "/exports/shop.zip"} <= refused
    assert {link: page for link, page in led.items() if link in refused} == {}


def amounts_of_the_book() -> list[Decimal]:
    """Every amount a shaper must not read; costs and rates are made such as no length or hour can be taken for."""
    amounts = [UNMISTAKABLE + count for count in range(4)]
    SheetStock.objects.update(cost=amounts[0])
    Metal.objects.update(price_per_kg=amounts[1])
    LabourRate.objects.update(per_hour=amounts[2])
    Shop.objects.update(consumables_per_hour=amounts[3])
    totals = [Decimal(quote.total) for quote in Quote.objects.exclude(state="draft")]
    paid = list(Payment.objects.values_list("amount", flat=True))
    return amounts + [
        amount for amount in totals + paid if amount % 1
    ]  # a whole one may be a length by chance


def told_in(text: str, amounts: list[Decimal], tokens: list[str]) -> list[str]:
    """The secrets that a page tells: a sign of money, an amount however it is parted, a customer's private link."""
    found = [word for word in ("€", *tokens) if word in text]
    for amount in amounts:
        whole, _, rest = f"{amount:,.2f}".partition(".")
        spaced = whole.replace(",", "[\u2009\u202f\xa0 ,.]?")
        if re.search(rf"(?<![\d.,]){spaced}[.,]{rest.rstrip('0')}(?![1-9])", text):
            found.append(f"{amount}")
    return found


def text_of(response) -> str:
    """What a person can read of an answer, whichever kind of file it is; where a drawing's lines lie is left out."""
    kind = response.headers["Content-Type"].partition(";")[0]
    body = b"".join(response.streaming_content) if response.streaming else response.content
    if kind == "application/pdf":
        return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(body)).pages)
    if kind.startswith("image/") and kind != "image/svg+xml":
        return ""
    return html.unescape(re.sub(rf' (?:{PLACES})="[^"]*"', "", body.decode()))


KEPT_AS_SENT = {"quote", "quote-pdf", *CUSTOMERS_OWN}  # in the units and the money of the day they were sent
METRIC = re.compile(r"[0-9½¼¾⅛⅜⅝⅞][\s\u2009\xa0]?(?:mm|cm|kg|dm²|m²)(?!\w)|kg/m³|h/dm²|€")
BOTH_UNITS = re.compile(
    r"[0-9.]+ mm(?: or|,) 0\.[0-9]+ in"  # a thickness, typed either way
    r"|25\.4 mm are an inch, 645\.16 mm² a square inch, 0\.4536 kg a pound"  # from formulas to the shop's units
)
# The size of a drawing, and a number drawn by lot, which may well end in 6mm.
NO_FIGURES = re.compile(
    r' (?:width|height)="[^"]*mm"|name="csrfmiddlewaretoken" value="\w+"'
    r'|<span class="figured-plain quiet">[^<]*</span>'  # what a formula in mm comes to, beside the shop's own unit
)


def test_an_inch_shop_with_dollars_reads_no_metric_figure_and_no_euro(as_osk):
    """Words people wrote stay as they wrote them, and so does what was sent or written down before."""
    Shop.objects.update(
        units="in", paper="Letter", currency="USD", currency_symbol="$", money_style="sign-comma"
    )
    StageNote.objects.all().delete()
    AuditEntry.objects.all().delete()
    found = []
    for address in sorted(
        pages(leave_out=KEPT_AS_SENT | {"labels", "shop-settings", "exports", "past-panels-import"})
    ):
        response = as_osk.get(address)
        kind = response.headers["Content-Type"].partition(";")[0]
        if response.status_code == 200 and kind in {"text/html", "application/pdf", "image/svg+xml"}:
            said = BOTH_UNITS.sub("", NO_FIGURES.sub("", text_of(response)))
            found += [(address, said[max(0, at.start() - 40) : at.end()]) for at in METRIC.finditer(said)]
        put_away(response)
    assert found == []


def pages(leave_out: frozenset[str] | set[str] = frozenset()) -> set[str]:
    """Every address of the book, filled in with everything of the demo that fits."""
    found = set()
    for name, wanted in named_patterns(get_resolver()):
        if name in {"sign-out", "code", "sign-in", "set-up", *leave_out}:
            continue  # they send on to another page, and are tried elsewhere
        for values in _fitting(name, wanted)[: PAPERS if "pdf" in name or "order" in name else None]:
            found.add(reverse(name, kwargs=values))
    return found


def named_patterns(resolver: URLResolver) -> Iterator[tuple[str, frozenset[str]]]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLResolver):
            yield from named_patterns(pattern)
        elif isinstance(pattern, URLPattern) and pattern.name:
            yield pattern.name, frozenset(pattern.pattern.regex.groupindex)


BY_KEY = {
    "customer": Customer, "customer-edit": Customer, "photo": Photo, "photo-file": Photo, "photo-thumbnail": Photo,
    "sheet": SheetStock, "metal": Metal, "person": Person, "past-panel": PastPanel, "stage-kind": StageKind,
    "hours-correct": TimeEntry, "clock-mend": TimeEntry,
}  # fmt: skip
PAPERS = 2  # of a kind: each is drawn and written afresh
MOST_OF_A_KIND = 6  # of photos and time entries; a page that fails for one fails for most


def _fitting(name: str, wanted: frozenset[str]) -> list[dict]:
    """What an address can be filled in with."""
    if not wanted:
        return [{}]
    if name in {"panel-new", "panel-edit"}:
        asked = Panel.objects.filter(job__state=Job.State.ENQUIRY).select_related("job")
        return [
            {key: {"number": one.job.number, "position": one.position}[key] for key in wanted}
            for one in asked
        ]
    if wanted == {"number", "position"}:
        return [
            {"number": one.job.number, "position": one.position}
            for one in Panel.objects.select_related("job")
        ]
    if wanted == {"number", "revision"}:
        return [
            {"number": one.job.number, "revision": one.revision}
            for one in Quote.objects.select_related("job")
        ]
    if name == "progress-email":
        return [{"number": link.job.number} for link in ProgressLink.objects.select_related("job")]
    if wanted == {"number"}:
        return [{"number": number} for number in Job.objects.values_list("number", flat=True)]
    if wanted == {"code"}:
        live = Stage.objects.filter(panel__job__state=Job.State.IN_WORK)
        return [{"code": code} for code in live.values_list("code", flat=True)]
    if wanted == {"token"} and name.startswith("offer"):
        sent = Quote.objects.exclude(state=Quote.State.DRAFT)
        return [{"token": token} for token in sent.values_list("token", flat=True)]
    if wanted == {"token"} and name == "progress":
        return [{"token": token} for token in ProgressLink.objects.values_list("token", flat=True)]
    if wanted == {"pk"} and name in BY_KEY:
        rows = BY_KEY[name].objects.order_by("pk")
        if name == "clock-mend":
            rows = rows.filter(ended_at=None)
        return [{"pk": pk} for pk in rows.values_list("pk", flat=True)[:MOST_OF_A_KIND]]
    return []
