"""Papers as PDF files. A shaper prints what goes to the bench; what speaks of money is the owner's."""

import tempfile
from collections.abc import Iterable

from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from estimates.models import Quote
from estimates.paper.closing import ClosingPaper
from estimates.paper.document import Document, Imprint, write
from estimates.paper.facts.closing import closing_sheet
from estimates.paper.facts.imprint import imprint_of
from estimates.paper.facts.job_set import job_set
from estimates.paper.facts.panels import job_with_customer, panel_at, plan_or_404, short_address
from estimates.paper.facts.pattern import gauges_of, head_of, pattern_of
from estimates.paper.facts.quote import draft_letter, quote_imprint, quote_letter
from estimates.paper.facts.statement import statement_letter
from estimates.paper.facts.work_order import with_all, work_orders
from estimates.paper.gauges import gauge_papers
from estimates.paper.pattern import PatternPaper, RollPaper
from estimates.paper.quote import QuotePaper
from estimates.paper.statement import StatementPaper
from estimates.paper.work_order import WorkOrderPaper
from estimates.pricing.money import Unpriceable
from estimates.views.offer import customers_page, shut_page
from jobs.models import Panel
from shop.outside import address_for
from shop.roles import owner_only

GONE = 410
IN_MEMORY = 4 * 1024 * 1024  # a larger file waits on the disk while it is sent


def pdf_response(documents: Iterable[Document], imprint: Imprint, title: str, name: str) -> FileResponse:
    """Make a PDF file and send it in pieces, to be shown in the browser under a name that says what it is."""
    file = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115, the response closes it
    try:
        write(documents, file, title=title, imprint=imprint)
    except BaseException:
        file.close()
        raise
    size = file.tell()
    file.seek(0)
    response = FileResponse(file, content_type="application/pdf", filename=f"{slugify(name) or 'paper'}.pdf")
    response.headers["Content-Length"] = str(size)
    response.headers["Cache-Control"] = "private, no-store"
    return response


@require_safe
def work_order(request: HttpRequest, number: str, position: int) -> FileResponse:
    shown = panel_at(number, position)
    panels = list(with_all(Panel.objects.filter(pk=shown.pk)))
    imprint = imprint_of(request.shop)
    orders = work_orders(panels, request.shop, short_address(request))
    papers = [WorkOrderPaper(imprint, order) for order in orders]
    return pdf_response(papers, imprint, papers[0].title, f"work-order-{shown.mark}")


@require_safe
def job_work_orders(request: HttpRequest, number: str) -> FileResponse:
    """Every panel's work order, a cover sheet in front."""
    job = job_with_customer(number)
    _, papers = job_set(job, request.shop, short_address(request))
    imprint = imprint_of(request.shop)
    return pdf_response(papers, imprint, f"Work orders {job}", f"work-orders-{job.number}")


@require_safe
def pattern(request: HttpRequest, number: str, position: int) -> HttpResponse:
    """The full-size pattern over the printer's pages; ``?sheet=roll`` puts it on one large sheet."""
    panel = panel_at(number, position)
    imprint = imprint_of(request.shop)
    kind, pages = (RollPaper, None) if request.GET.get("sheet") == "roll" else (PatternPaper, imprint.paper)
    drawn = pattern_of(panel, plan_or_404(panel), request.shop, pages)
    try:
        paper = kind(imprint, drawn)
    except ValueError as refusal:
        return _too_large(request, number, refusal)
    return pdf_response([paper], imprint, paper.title, f"pattern-{panel.mark}")


@require_safe
def gauges(request: HttpRequest, number: str, position: int) -> HttpResponse:
    """The gauges of a panel's section, to cut out of card."""
    panel = panel_at(number, position)
    made = gauges_of(panel, plan_or_404(panel), request.shop)
    if not made:
        messages.info(request, f"{panel} has no section to make a gauge of.")
        return redirect("papers", number)
    imprint = imprint_of(request.shop)
    try:
        papers = list(gauge_papers(imprint, head_of(panel, request.shop, made[0]), made))
    except ValueError as refusal:
        return _too_large(request, number, refusal)
    return pdf_response(papers, imprint, f"Gauges {panel}", f"gauges-{panel.mark}")


def _too_large(request: HttpRequest, number: str, refusal: ValueError) -> HttpResponse:
    messages.error(request, str(refusal))
    return redirect("papers", number)


@require_safe
@owner_only
def quote(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """A quote as a letter: a sent one from what was frozen, a draft as it would be sent today."""
    rows = Quote.objects.select_related("job__customer", "answer")
    shown = get_object_or_404(rows, job__number=number, revision=revision)
    if shown.state == Quote.State.DRAFT:
        try:
            letter = draft_letter(shown, request.shop)
        except Unpriceable as refusal:
            messages.error(request, f"It cannot be printed yet. {refusal}")
            return redirect(shown)
        return _letter(QuotePaper(imprint_of(request.shop), letter), f"draft-of-quote-{shown.number}")
    return _quote(request, shown)


@customers_page
@require_safe
def offer(request: HttpRequest, shown: Quote) -> HttpResponse:
    """The same letter for the customer, by their link, for as long as the quote holds or once it is accepted."""
    if not _holds(shown) and shown.state != Quote.State.ACCEPTED:
        return shut_page(request, shown, GONE)
    return _quote(request, shown)


def _holds(shown: Quote) -> bool:
    return shown.state == Quote.State.SENT and not shown.has_expired


def _quote(request: HttpRequest, shown: Quote) -> FileResponse:
    address = address_for(request, reverse("offer", args=[shown.token])) if _holds(shown) else ""
    imprint = quote_imprint(shown.frozen, imprint_of(request.shop).printed)
    return _letter(QuotePaper(imprint, quote_letter(shown, address)), f"quote-{shown.number}")


@require_safe
@owner_only
def statement(request: HttpRequest, number: str) -> FileResponse:
    job = job_with_customer(number)
    imprint = imprint_of(request.shop)
    return _letter(StatementPaper(imprint, statement_letter(job, request.shop)), f"statement-{number}")


@require_safe
@owner_only
def closing(request: HttpRequest, number: str, copy: str) -> FileResponse:
    """The closing sheet: the shop's copy, or the customer's without hours and money."""
    job = job_with_customer(number)
    sheet = closing_sheet(job, request.shop, for_customer=copy == "customer")
    return _letter(ClosingPaper(imprint_of(request.shop), sheet), f"closing-{number}-{copy}")


def _letter(paper: Document, name: str) -> FileResponse:
    return pdf_response([paper], paper.imprint, paper.title, name)
