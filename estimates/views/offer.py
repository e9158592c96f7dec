"""The customer's page of one quote: read, choose, accept, decline, ask. It shows nothing else of the shop."""

from functools import wraps
from types import SimpleNamespace

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_http_methods, require_safe

from estimates.acceptance import accept
from estimates.after_acceptance import next_steps
from estimates.answers import AlreadyAnswered, AnswerRefused, ask, decline, offer_of, why_not_open
from estimates.forms.answers import AskForm, DeclineForm, OfferForm
from estimates.models import Answer, Quote
from estimates.quoting.frozen import offer_text
from estimates.quoting.sheet import with_pieces
from estimates.views.quote_page import option_words, paper_address
from jobs.drawings.rule import DayMark, days_rule
from shop.pages import render_page

RULE_WIDTH = 1056.0
RULE_DAYS = 45  # a rule of more days than this has no room for their numbers


def customers_page(view):
    """Open to whoever has the link; kept out of indexes and caches, since it is private all the same."""

    @login_not_required
    @wraps(view)
    def private(request, token, *args, **kwargs):
        quote = offer_of(token)
        if quote is None:
            raise Http404
        response = view(request, quote, *args, **kwargs)
        response.headers["X-Robots-Tag"] = "noindex, nofollow"
        patch_cache_control(response, no_store=True, private=True)
        return response

    return private


@customers_page
@require_safe
def offer(request: HttpRequest, quote: Quote) -> HttpResponse:
    """The quote as the customer reads it; ``option`` in the address ticks options, and the total follows."""
    known = {key for key, _ in option_words(quote.frozen)}
    ticked = [key for key in request.GET.getlist("options") if key in known]
    return _page(request, quote, ticked)


def _page(
    request: HttpRequest, quote: Quote, ticked: list[str], *, status: int = 200, **shown
) -> HttpResponse:
    is_open = quote.state == Quote.State.SENT and not quote.has_expired
    accepted = quote.state == Quote.State.ACCEPTED
    if not is_open and not accepted:
        return shut_page(request, quote, status, **_asked(shown))
    taken = quote.answer.options_taken if accepted else ticked
    text = offer_text(quote.frozen, taken)
    form = OfferForm(shop=request.shop, options=option_words(quote.frozen))
    context = {
        "quote": quote, "offer": text, "as_sent": SimpleNamespace(**text.shop), "is_open": is_open,
        "answer": quote.answer if accepted else None, "next": next_steps(quote) if accepted else None,
        "form": form, "ask_form": AskForm(shop=request.shop), "questions": quote.questions.all(),
        "items": with_pieces(text),
        "rule": _rule(quote) if is_open else None,
        "pdf": paper_address("offer-pdf", quote.token),
    } | shown  # fmt: skip
    return render_page(request, "estimates/offer.html", "estimates/_offer_sum.html", context, status=status)


def shut_page(request: HttpRequest, quote: Quote, status: int, **shown) -> HttpResponse:
    """What is left of a quote that takes no answer any more: why, and where to ask."""
    answer = quote.answer if quote.state == Quote.State.DECLINED else None
    context = {
        "quote": quote, "as_sent": SimpleNamespace(**quote.frozen["shop"]), "answer": answer,
        "questions": quote.questions.all(), "ask_form": AskForm(shop=request.shop),
    } | shown  # fmt: skip
    return render(request, "estimates/offer_shut.html", context, status=status)


def _asked(shown: dict) -> dict:
    """A shut page takes questions only; a form for an answer that came too late has no place on it."""
    return {name: form for name, form in shown.items() if name == "ask_form"}


def _rule(quote: Quote):
    """The days from today to the last on which the quote holds, where they fit on a rule."""
    today = timezone.localdate()
    days = (quote.valid_until - today).days + 4
    if days > RULE_DAYS:
        return None
    mark = DayMark(quote.valid_until, "last day", "of this offer")
    return days_rule(today, max(days, 14), [mark], width=RULE_WIDTH)


@customers_page
@require_http_methods(["GET", "HEAD", "POST"])
def offer_answer(request: HttpRequest, quote: Quote) -> HttpResponse:
    """Take the customer's yes or no; opened as a page it leads to the quote.

    Two buttons of the same form write nothing yet: ``total`` shows what the options ticked come to, and a first
    ``declined`` asks whether it is meant.
    """
    if request.method != "POST":
        return redirect(reverse("offer", args=[quote.token]))
    kind = request.POST.get("kind")
    if kind == "total":
        return _total(request, quote)
    if kind == Answer.Kind.DECLINED:
        return _decline(request, quote)
    return _accept(request, quote)


def _total(request: HttpRequest, quote: Quote) -> HttpResponse:
    """The same page with another total, for a browser without scripts; what was typed stays."""
    words = option_words(quote.frozen)
    ticked = [key for key in request.POST.getlist("options") if key in dict(words)]
    typed = {name: request.POST.get(name, "") for name in ("name", "note")}
    return _page(request, quote, ticked, form=OfferForm(shop=request.shop, options=words, initial=typed))


def _decline(request: HttpRequest, quote: Quote) -> HttpResponse:
    """Take a no that was asked about; ask about one that was not."""
    if why_not_open(quote):
        return _too_late(request, quote, why_not_open(quote))
    form = DeclineForm(request.POST, shop=request.shop)
    sure = "sure" in request.POST
    if not sure or not form.is_valid():
        typed = {name: request.POST.get(name, "") for name in ("name", "note")}
        text = offer_text(quote.frozen)
        context = {
            "quote": quote, "offer": text, "as_sent": SimpleNamespace(**text.shop),
            "form": form if sure else DeclineForm(shop=request.shop, initial=typed),
        }  # fmt: skip
        return render(request, "estimates/offer_decline.html", context, status=422 if sure else 200)
    name = form.cleaned_data["name"] or quote.frozen["customer"]["name"]
    try:
        decline(quote, name=name, note=form.cleaned_data["note"])
    except AnswerRefused as refusal:
        return _too_late(request, quote, str(refusal))
    return redirect(reverse("offer", args=[quote.token]))


def _too_late(request: HttpRequest, quote: Quote, why: str) -> HttpResponse:
    """An answer to a quote that takes none any more: its page says where it stands, and why comes first."""
    messages.warning(request, why)
    return redirect(reverse("offer", args=[quote.token]))


def _accept(request: HttpRequest, quote: Quote) -> HttpResponse:
    """Take a yes, with the options and the total that stood on the page."""
    words = option_words(quote.frozen)
    form = OfferForm(request.POST, shop=request.shop, options=words)
    ticked = [key for key in request.POST.getlist("options") if key in dict(words)]
    if not form.is_valid():
        return _page(request, quote, ticked, form=form, status=422)
    cleaned = form.cleaned_data
    try:
        accept(quote, name=cleaned["name"], options=ticked, note=cleaned["note"], seen_total=cleaned["total"])
    except AlreadyAnswered as refusal:
        return _too_late(request, quote, str(refusal))
    except AnswerRefused as refusal:
        return _refused(request, quote, ticked, form, str(refusal))
    return redirect(reverse("offer", args=[quote.token]))


def _refused(
    request: HttpRequest, quote: Quote, ticked: list[str], form: OfferForm, why: str
) -> HttpResponse:
    """The page as it is now; the total beside the button is the one that the next press accepts."""
    now = offer_of(quote.token) or quote
    if why_not_open(now):
        return _too_late(request, now, why)
    form.add_error(None, why)
    form.data = form.data.copy()
    form.data["total"] = str(offer_text(quote.frozen, ticked).total)
    return _page(request, now, ticked, form=form, status=422)


@customers_page
@require_http_methods(["GET", "HEAD", "POST"])
def offer_ask(request: HttpRequest, quote: Quote) -> HttpResponse:
    """Keep a question; opened as a page it leads to those that were asked."""
    if request.method != "POST":
        return redirect(reverse("offer", args=[quote.token]) + "#questions")
    form = AskForm(request.POST, shop=request.shop)
    if not form.is_valid():
        return _page(request, quote, [], ask_form=form, status=422)
    try:
        ask(quote, **form.cleaned_data)
    except AnswerRefused as refusal:
        form.add_error(None, str(refusal))
        return _page(request, quote, [], ask_form=form, status=422)
    messages.success(request, "Your question is with the shop. The reply will stand here, on this page.")
    return redirect(reverse("offer", args=[quote.token]) + "#questions")
