"""What the owner does with a quote once it is sent: its link, its answer, its questions, its next revision."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from estimates.acceptance import accept
from estimates.answers import AnswerRefused, decline, reply_to
from estimates.drafts import QuoteRefused, make_revision
from estimates.forms.answers import EmailForm, ReplyForm
from estimates.models import Question, Quote
from estimates.sending import email_link, withdraw_quote
from estimates.views.quote_page import phone_form, quote_or_404, sent_page
from shop.outside import address_for, said_of_mail
from shop.roles import owner_only


def _sent(number: str, revision: int) -> Quote:
    return get_object_or_404(
        Quote.objects.exclude(state=Quote.State.DRAFT).select_related("job__customer"),
        job__number=number, revision=revision,
    )  # fmt: skip


@owner_only
@require_POST
def quote_email(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """Send the link by e-mail, for the first time or to ask again."""
    quote = _sent(number, revision)
    form = EmailForm(request.POST, shop=request.shop)
    if not form.is_valid():
        return sent_page(request, quote, email_form=form, status=422)
    url = address_for(request, reverse("offer", args=[quote.token]))
    try:
        sent = email_link(quote, request.user, url=url, **form.cleaned_data)
    except QuoteRefused as refusal:
        form.add_error(None, str(refusal))
        return sent_page(request, quote, email_form=form, status=422)
    messages.success(request, said_of_mail(sent.to))
    return redirect(quote)


@owner_only
@require_POST
def quote_answer(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """Write down an answer that did not come over the link."""
    quote = _sent(number, revision)
    form = phone_form(request, quote, request.POST)
    if not form.is_valid():
        return sent_page(request, quote, answer_form=form, status=422)
    cleaned = form.cleaned_data
    given = {"name": cleaned["name"], "note": cleaned["note"], "person": request.user}
    try:
        if cleaned["kind"] == "accepted":
            accept(quote, options=cleaned.get("options", []), **given)
        else:
            decline(quote, **given)
    except AnswerRefused as refusal:
        now = _sent(number, revision)
        if now.state != Quote.State.SENT:
            messages.error(request, str(refusal))
            return redirect(now)
        form.add_error(None, str(refusal))
        return sent_page(request, now, answer_form=form, status=422)
    messages.success(request, f"The answer of {cleaned['name']} is written down.")
    return redirect(quote)


@owner_only
@require_POST
def quote_withdraw(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    quote = quote_or_404(number, revision)
    try:
        withdraw_quote(quote, request.user)
        messages.success(request, f"{quote} is withdrawn. Its link says so.")
    except QuoteRefused as refusal:
        messages.error(request, str(refusal))
    return redirect(quote)


@owner_only
@require_POST
def quote_revise(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    quote = _sent(number, revision)
    try:
        return redirect(make_revision(quote, request.user))
    except QuoteRefused as refusal:
        messages.error(request, str(refusal))
        return redirect(quote)


@owner_only
@require_POST
def question_reply(request: HttpRequest, number: str, revision: int, pk: int) -> HttpResponse:
    quote = _sent(number, revision)
    question = get_object_or_404(Question, pk=pk, quote=quote)
    form = ReplyForm(request.POST, shop=request.shop)
    if not form.is_valid():
        return sent_page(request, quote, reply_form=form, replying=pk, status=422)
    reply_to(question, request.user, form.cleaned_data["text"])
    messages.success(request, "Your reply stands on the customer's page.")
    return redirect(f"{quote.get_absolute_url()}#questions")
