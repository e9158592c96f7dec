"""When jobs will be done, and what to promise."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.text import capfirst
from django.views.decorators.http import require_POST, require_safe

from estimates.forms.dates import EnquiryHoursForm, PromiseForm
from estimates.work.date_words import chance_words
from estimates.work.dates import DateRefused, expected_of_job, promise_date
from estimates.work.dates_page import dates_page
from jobs.models import Job
from shop.roles import owner_only


@require_safe
def dates(request: HttpRequest) -> HttpResponse:
    """Every job in work with its dates, and where a new one would come."""
    asked = "low" in request.GET
    form = EnquiryHoursForm(request.GET if asked else None, shop=request.shop)
    hours = (form.cleaned_data["low"], form.cleaned_data["high"]) if asked and form.is_valid() else None
    shown = dates_page(request.shop, timezone.localdate(), hours)
    context = {"shown": shown, "form": form}
    return render(request, "estimates/dates.html", context, status=422 if asked and not hours else 200)


@require_POST
@owner_only
def date_promise(request: HttpRequest, number: str) -> HttpResponse:
    """Promise a date for a job, or take the promise back."""
    job = get_object_or_404(Job, number=number)
    form = PromiseForm(request.POST)
    if not form.is_valid():
        messages.error(request, "That is not a day. Write it such as 2026-05-29.")
        return redirect("dates")
    try:
        job = promise_date(job, request.user, **form.cleaned_data)
    except DateRefused as error:
        messages.error(request, str(error))
    else:
        messages.success(
            request, f"Promised: {job}." if job.promised_on else f"Nothing is promised for {job}."
        )
        today = timezone.localdate()
        one = expected_of_job(job, request.shop, today) if job.promised_on else None
        if one and one.at_risk:
            messages.warning(request, capfirst(chance_words(one, today)))
    return redirect("dates")
