"""Addresses of quotes, their answers and the past panels."""

from django.urls import include, path

from estimates.views import builder, offer, payments, quotes, sent_quotes

JOB = "jobs/<str:number>/"
PANEL = "jobs/<str:number>/panels/"
QUOTE = "jobs/<str:number>/quotes/<int:revision>/"

urlpatterns = [
    path("", include("estimates.control_addresses")),
    path("", include("estimates.paper_addresses")),
    path("quotes/", quotes.quote_list, name="quote-list"),
    path(JOB + "quotes/new/", quotes.quote_new, name="quote-new"),
    path(QUOTE, quotes.quote, name="quote"),
    path(QUOTE + "override/", quotes.quote_override, name="quote-override"),
    path(QUOTE + "lines/", quotes.quote_line_add, name="quote-line-add"),
    path(QUOTE + "lines/<int:pk>/remove/", quotes.quote_line_remove, name="quote-line-remove"),
    path(QUOTE + "panels/", quotes.quote_panels, name="quote-panels"),
    path(QUOTE + "price/", quotes.quote_price, name="quote-price"),
    path(QUOTE + "discard/", quotes.quote_discard, name="quote-discard"),
    path(QUOTE + "send/", quotes.quote_send, name="quote-send"),
    path(QUOTE + "e-mail/", sent_quotes.quote_email, name="quote-email"),
    path(QUOTE + "answer/", sent_quotes.quote_answer, name="quote-answer"),
    path(QUOTE + "withdraw/", sent_quotes.quote_withdraw, name="quote-withdraw"),
    path(QUOTE + "revise/", sent_quotes.quote_revise, name="quote-revise"),
    path(QUOTE + "questions/<int:pk>/reply/", sent_quotes.question_reply, name="question-reply"),
    path(PANEL + "new/", builder.panel_new, name="panel-new"),
    path(PANEL + "<int:position>/edit/", builder.panel_edit, name="panel-edit"),
    path(JOB + "payments/", payments.payments, name="payments"),
    path(JOB + "payments/<int:pk>/strike/", payments.payment_strike, name="payment-strike"),
    path("for/<str:token>/", offer.offer, name="offer"),
    path("for/<str:token>/answer/", offer.offer_answer, name="offer-answer"),
    path("for/<str:token>/question/", offer.offer_ask, name="offer-ask"),
]
