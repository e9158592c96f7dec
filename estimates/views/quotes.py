"""Quotes while they are drafts, and the list of all of them."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from estimates.drafts import (
    QuoteRefused,
    add_line,
    change_texts,
    choose_panels,
    discard_draft,
    new_draft,
    override_line,
    price_at,
    remove_line,
    undo_override,
)
from estimates.forms.quotes import LineForm, PanelsForm, PriceForm, SendForm, TextsForm
from estimates.models import Quote
from estimates.quoting.figures import QuoteFigures
from estimates.quoting.listing import known_view, listed, views_with_counts
from estimates.sending import send_quote
from estimates.views.quote_page import draft_page, elsewhere, override_form, quote_or_404, sent_page
from jobs.models import Job
from shop.roles import owner_only

PAGE = 25


@owner_only
@require_safe
def quote_list(request: HttpRequest) -> HttpResponse:
    """Quotes waiting for an answer, drafts, or those answered."""
    view = known_view(request.GET.get("show", ""))
    page = Paginator(listed(view), PAGE).get_page(request.GET.get("page"))
    context = {"view": view, "views": views_with_counts(), "page": page, "query": f"show={view}"}
    return render(request, "estimates/quotes.html", context)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def quote_new(request: HttpRequest, number: str) -> HttpResponse:
    """Make a job's next draft; opening the address asks first."""
    job = get_object_or_404(Job.objects.select_related("customer"), number=number)
    if request.method != "POST":
        return render(
            request, "estimates/quote_new.html", {"job": job, "panels": job.panels.select_related("metal")}
        )
    try:
        return redirect(new_draft(job, request.user, request.shop))
    except QuoteRefused as refusal:
        messages.error(request, str(refusal))
        return redirect(job)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def quote(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """One quote: a draft to work on (its text is posted here), or one that was sent."""
    shown = quote_or_404(number, revision)
    if request.method != "POST":
        return draft_page(request, shown) if shown.state == Quote.State.DRAFT else sent_page(request, shown)
    form = TextsForm(request.POST, instance=quote_or_404(number, revision), shop=request.shop)
    if not form.is_valid():
        return draft_page(request, shown, texts_form=form, status=422)
    return _done(
        request,
        shown,
        change_texts,
        shown,
        request.user,
        form.cleaned_data,
        at="words",
        said="The words are saved.",
    )


def _done(
    request: HttpRequest, quote: Quote, action, *args, at: str = "lines", said: str = ""
) -> HttpResponse:
    """Do one thing to a draft, then show the draft again."""
    try:
        action(*args)
    except QuoteRefused as refusal:
        return _refused(request, quote, refusal)
    return _again(request, quote, at=at, said=said)


def _again(
    request: HttpRequest,
    quote: Quote,
    *,
    at: str = "lines",
    said: str = "",
    figures: QuoteFigures | None = None,
) -> HttpResponse:
    """The draft as it is now: the sheet for htmx, a redirect for a browser; ``at`` is the line that was changed.

    ``figures`` are those that the change was tried with; where somebody else has changed the draft since, they are
    worked out afresh.
    """
    if request.htmx:
        now = quote_or_404(quote.job.number, quote.revision)
        known = figures if now.version == quote.version + 1 else None
        return draft_page(request, now, figures=known, done=at)
    if said:
        messages.success(request, said)
    return redirect(f"{quote.get_absolute_url()}#{slugify(at)}")


def _refused(request: HttpRequest, quote: Quote, refusal: QuoteRefused, **shown) -> HttpResponse:
    """The page as it is now, with why nothing was done; elsewhere where the draft is a draft no more."""
    now = Quote.objects.select_related("job__customer").filter(pk=quote.pk).first()
    if now is None or now.state != Quote.State.DRAFT:
        messages.error(request, str(refusal))
        return elsewhere(request, now or quote.job)
    return draft_page(request, now, refusal=str(refusal), status=422, **shown)


@owner_only
@require_POST
def quote_override(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """Put the owner's figure in place of a line's, or take it back (``undo``)."""
    shown, line = quote_or_404(number, revision), request.POST.get("line", "")[:80].replace("\0", "")
    form = override_form(line, shown, None, request.shop, request.POST)
    if form is None:
        return _refused(request, shown, QuoteRefused("Say which line. Press Change beside it."))
    if "undo" in request.POST:
        undone = (shown, request.user, request.shop, line, _version(form))
        return _done(request, shown, undo_override, *undone, at=line)
    if not form.is_valid():
        return draft_page(request, shown, change=line, override_form=form, status=422)
    figure, cleaned = form.figure(), form.cleaned_data
    try:
        figures = override_line(
            shown,
            request.user,
            request.shop,
            line,
            reason=cleaned["reason"],
            version=cleaned["version"],
            **figure,
        )
    except QuoteRefused as refusal:
        return _refused(request, shown, refusal, change=line, override_form=_now(form, shown))
    return _again(request, shown, at=line, figures=figures)


def _version(form) -> int | None:
    form.is_valid()
    return form.cleaned_data.get("version")


def _now(form, quote: Quote):
    """The form as typed with the version of today, so that a second press is a decision."""
    form.data = form.data.copy()
    form.data["version"] = Quote.objects.filter(pk=quote.pk).values_list("version", flat=True).first()
    return form


@owner_only
@require_POST
def quote_line_add(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    shown = quote_or_404(number, revision)
    form = LineForm(request.POST, shop=request.shop)
    if not form.is_valid():
        return draft_page(request, shown, line_form=form, status=422)
    try:
        add_line(shown, request.user, request.shop, form.line(), form.cleaned_data["version"])
    except QuoteRefused as refusal:
        if refusal.field:
            form.add_error("figure", str(refusal))
            return draft_page(request, shown, line_form=_now(form, shown), status=422)
        return _refused(request, shown, refusal, line_form=_now(form, shown))
    return _again(request, shown, said="The line is added.")


@owner_only
@require_POST
def quote_line_remove(request: HttpRequest, number: str, revision: int, pk: int) -> HttpResponse:
    shown = quote_or_404(number, revision)
    form = SendForm(request.POST, shop=request.shop)
    return _done(request, shown, remove_line, shown, request.user, pk, _version(form))


@owner_only
@require_POST
def quote_panels(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    shown = quote_or_404(number, revision)
    form = PanelsForm(request.POST, quote=shown, shop=request.shop)
    if not form.is_valid():
        return draft_page(request, shown, panels_form=form, status=422)
    panels, version = list(form.cleaned_data["panels"]), form.cleaned_data["version"]
    return _done(request, shown, choose_panels, shown, request.user, panels, version)


@owner_only
@require_POST
def quote_price(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """Price at the middle of the hours or at the high end."""
    shown = quote_or_404(number, revision)
    form = PriceForm(request.POST, shop=request.shop)
    if not form.is_valid():
        return _refused(
            request, shown, QuoteRefused("A price rests on a confidence from 50 % to 95 %. Pick one.")
        )
    cleaned = form.cleaned_data
    return _done(request, shown, price_at, shown, request.user, cleaned["confidence"], cleaned["version"])


@owner_only
@require_POST
def quote_discard(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    shown = quote_or_404(number, revision)
    try:
        discard_draft(shown, request.user)
    except QuoteRefused as refusal:
        return _refused(request, shown, refusal)
    messages.success(request, f"{shown} is discarded.")
    return redirect(shown.job)


@owner_only
@require_POST
def quote_send(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """Freeze the draft. The customer gets nothing yet: their link and the e-mail are on the next page."""
    shown = quote_or_404(number, revision)
    form = SendForm(request.POST, shop=request.shop)
    seen = form.cleaned_data if form.is_valid() else {}
    words = _words_typed(request, shown)
    if words and not words.is_valid():
        return draft_page(request, shown, texts_form=words, status=422)
    try:
        sent = send_quote(
            shown, request.user, request.shop, version=seen.get("version"), seen_total=seen.get("total"),
            texts=words.cleaned_data if words else None,
        )  # fmt: skip
    except QuoteRefused as refusal:
        return _refused(request, shown, refusal, **({"texts_form": words} if words else {}))
    messages.success(request, f"{sent} is fixed and has a page for the customer. Now let them have its link.")
    return redirect(sent)


def _words_typed(request: HttpRequest, quote: Quote) -> TextsForm | None:
    """The words of a draft where they came with the press; without them, and once it is sent, there are none."""
    if "intro" not in request.POST or quote.state != Quote.State.DRAFT:
        return None
    return TextsForm(request.POST, instance=quote_or_404(quote.job.number, quote.revision), shop=request.shop)
