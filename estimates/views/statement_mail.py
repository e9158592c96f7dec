"""Sending a customer the statement of their job."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from estimates.forms.answers import StatementEmailForm
from estimates.mailing import MailRefused
from estimates.paper.facts.panels import job_with_customer
from estimates.statement_mail import email_statement, usual_statement_words
from shop.outside import mail_goes_out, said_of_mail
from shop.roles import owner_only


@require_http_methods(["GET", "HEAD", "POST"])
@owner_only
def statement_email(request: HttpRequest, number: str) -> HttpResponse:
    """The e-mail with the statement, and those sent before it."""
    job = job_with_customer(number)
    usual = {"to": job.customer.email, "words": usual_statement_words(job, request.shop)}
    form = StatementEmailForm(request.POST or None, shop=request.shop, initial=usual)
    if form.is_bound and form.is_valid():
        try:
            sent = email_statement(job, request.user, request.shop, **form.cleaned_data)
        except MailRefused as refusal:
            form.add_error(None, str(refusal))
        else:
            attach = "Attach the statement to a message of your own."
            messages.success(request, said_of_mail(sent.to, "The statement", attach))
            return redirect("statement-email", number)
    context = {
        "job": job, "form": form, "sent": job.statements_sent.select_related("person"),
        "mail_goes_out": mail_goes_out(),
    }  # fmt: skip
    return render(request, "estimates/statement_email.html", context, status=422 if form.is_bound else 200)
