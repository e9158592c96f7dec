"""What the pages of one quote show: a draft worked out afresh, a sent one from its own copy."""

from decimal import Decimal
from types import SimpleNamespace

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render, resolve_url
from django.urls import NoReverseMatch, reverse
from django.utils import timezone
from django_htmx.http import HttpResponseClientRedirect

from estimates.forms.answers import EmailForm, PhoneAnswerForm
from estimates.forms.quotes import LineForm, OverrideHoursForm, OverrideMoneyForm, PanelsForm, TextsForm
from estimates.models import Quote
from estimates.quoting.figures import MIDDLE, quote_figures
from estimates.quoting.freezing import written_down
from estimates.quoting.frozen import offer_text
from estimates.quoting.sheet import Sheet, sheet_of
from estimates.sending import usual_words
from jobs.drawings.rule import hours_rule
from jobs.drawings.strip import hours_scale
from shop.outside import address_for, mail_goes_out, only_here
from shop.pages import render_page

RULE_WIDTH = 1216.0
MONEY_LINES = (":metal", ":consumables")


def quote_or_404(number: str, revision: int) -> Quote:
    found = Quote.objects.select_related("job__customer", "sent_by")
    return get_object_or_404(found, job__number=number, revision=revision)


def paper_address(name: str, *args) -> str:
    """The address of a paper where it is there to be had."""
    try:
        return reverse(name, args=args)
    except NoReverseMatch:
        return ""


def elsewhere(request: HttpRequest, to) -> HttpResponse:
    """Send the whole browser to another page, also where htmx asked for a part of this one."""
    return HttpResponseClientRedirect(resolve_url(to)) if request.htmx else redirect(to)


def draft_page(request: HttpRequest, quote: Quote, *, status: int = 200, **shown) -> HttpResponse:
    """A draft's page, or the sheet that htmx swaps. ``shown`` holds bound forms, a refusal, and the draft's
    figures, where there are.
    """
    if quote.state != Quote.State.DRAFT:
        messages.error(
            request, f"{quote} is {quote.get_state_display().lower()} and does not change any more."
        )
        return elsewhere(request, quote)
    shop, today = request.shop, timezone.localdate()
    figures = shown.pop("figures", None) or quote_figures(quote, shop, today)
    held = written_down(quote, figures, shop, today, with_price=False)
    sheet = sheet_of(held, figures.priced)
    change = shown.pop("change", "") or request.GET.get("change", "")
    context = {
        "quote": quote, "job": quote.job, "figures": figures, "sheet": sheet, "editable": True, "as_sent": shop,
        "change": change, "done": request.GET.get("done", ""), "override_form": override_form(change, quote, sheet, shop),
        "line_form": LineForm(shop=shop, initial={"version": quote.version}),
        "choices": [
            {"confidence": level, "total": total, "picked": level == quote.confidence, "is_middle": level == MIDDLE}
            for level, total in figures.choices
        ],
        "was_total": _amount(request.POST.get("seen_total")), "swapped": bool(request.htmx),
        "missing": missing_panels(quote, figures), "pdf": paper_address("quote-pdf", quote.job.number, quote.revision),
    }  # fmt: skip
    if not request.htmx:
        context |= {
            "texts_form": TextsForm(instance=quote, shop=shop), "panels_form": PanelsForm(quote=quote, shop=shop),
            "rule": _rule(sheet),
        }  # fmt: skip
    context |= shown
    return render_page(
        request, "estimates/quote_draft.html", "estimates/_quote_sheet.html", context, status=status
    )


def _rule(sheet: Sheet):
    """The page's own measure: the hours of the job, its range hatched; days where there is no work yet."""
    if not sheet.high:
        return None
    return hours_rule(hours_scale(sheet.high), sheet.low, sheet.high, 0, width=RULE_WIDTH)


def _amount(text: str | None) -> Decimal | None:
    """A total that a form carried along to be struck through beside the new one; nothing where it is no amount."""
    try:
        return Decimal(text[:20]) if text else None
    except ArithmeticError:
        return None


def missing_panels(quote: Quote, figures) -> list:
    """Panels of the job that no quote has yet: neither this one nor one that was accepted."""
    agreed = quote.job.quotes.filter(state=Quote.State.ACCEPTED)
    here = [each.panel.pk for each in figures.panels]
    missing = quote.job.panels.exclude(pk__in=here).exclude(quotes__in=agreed)
    return list(missing.select_related("job").only("job__number", "position", "name", "hand"))


def override_form(change: str, quote: Quote, sheet: Sheet, shop, data=None):
    """The form in which a line's figure is changed, filled with what stands there; nothing where no line is picked."""
    if not change:
        return None
    kind = (
        OverrideMoneyForm if change.startswith("line-") or change.endswith(MONEY_LINES) else OverrideHoursForm
    )
    if data is not None:
        return kind(data, shop=shop)
    stands = quote.overrides.filter(line=change).first()
    initial = {"version": quote.version}
    if stands:
        initial |= {name: getattr(stands, name) for name in ("low_hours", "high_hours", "amount", "reason")}
        initial["none"] = stands.high_hours == 0
    return kind(shop=shop, initial=initial)


def sent_page(request: HttpRequest, quote: Quote, *, status: int = 200, **shown) -> HttpResponse:
    """The owner's page of a quote that was sent: everything on it is read from its own copy."""
    quote.answered = getattr(quote, "answer", None) if quote.state in {"accepted", "declined"} else None
    taken = quote.answered.options_taken if quote.answered else []
    sheet = sheet_of(quote.frozen, taken=taken)
    offer = offer_text(quote.frozen, taken)
    last = quote.links_sent.select_related("person").first()
    link = address_for(request, reverse("offer", args=[quote.token]))
    context = {
        "quote": quote, "job": quote.job, "sheet": sheet, "offer": offer, "editable": False,
        "as_sent": SimpleNamespace(**quote.frozen["shop"]), "rule": _rule(sheet),
        "link": link, "only_here": only_here(link), "mail_goes_out": mail_goes_out(),
        "questions": quote.questions.all(), "links_sent": quote.links_sent.select_related("person"),
        "email_form": EmailForm(shop=request.shop, initial={
            "to": quote.frozen["customer"]["email"], "words": usual_words(quote, again=last is not None),
        }),
        "answer_form": phone_form(request, quote),
        "days": quote.days_waiting,
        "pdf": paper_address("quote-pdf", quote.job.number, quote.revision),
    } | shown  # fmt: skip
    return render(request, "estimates/quote_sent.html", context, status=status)


def phone_form(request: HttpRequest, quote: Quote, data=None) -> PhoneAnswerForm:
    initial = {"name": quote.frozen["customer"]["name"]}
    return PhoneAnswerForm(data, shop=request.shop, options=option_words(quote.frozen), initial=initial)


def option_words(frozen: dict) -> list[tuple[str, str]]:
    """The options of a sent quote with their prices, for a list of tick boxes."""
    offer = offer_text(frozen)
    return [(item.key, f"{item.name}, {offer.money(item.amount)}") for item in offer.options]
