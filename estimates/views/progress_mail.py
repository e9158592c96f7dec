"""Sending a customer the link of their progress page."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from estimates.forms.answers import EmailForm
from estimates.mailing import MailRefused
from estimates.models import ProgressSent
from estimates.paper.facts.panels import job_with_customer
from estimates.progress.link import standing_link
from estimates.progress.mail import email_progress, usual_progress_words
from shop.outside import address_for, mail_goes_out, said_of_mail
from shop.roles import owner_only


@require_http_methods(["GET", "HEAD", "POST"])
@owner_only
def progress_email(request: HttpRequest, number: str) -> HttpResponse:
    """The e-mail to a customer, and those sent before it."""
    job = job_with_customer(number)
    link = standing_link(job)
    if link is None:
        messages.error(request, "Make the customer’s page first; then its link can be sent.")
        return redirect(job)
    usual = {"to": job.customer.email, "words": usual_progress_words(job, request.shop)}
    form = EmailForm(request.POST or None, shop=request.shop, initial=usual)
    if form.is_bound and form.is_valid():
        url = address_for(request, reverse("progress", args=[link.token]))
        try:
            sent = email_progress(link, request.user, request.shop, url=url, **form.cleaned_data)
        except MailRefused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, said_of_mail(sent.to))
            return redirect("progress-email", number)
    context = {
        "job": job,
        "form": form,
        "mail_goes_out": mail_goes_out(),
        "sent": ProgressSent.objects.filter(link=link).select_related("person"),
    }
    return render(request, "estimates/progress_email.html", context, status=422 if form.is_bound else 200)
