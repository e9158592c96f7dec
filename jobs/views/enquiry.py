"""Taking in an enquiry."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from jobs.customers import suggestions
from jobs.enquiry import take_enquiry
from jobs.forms.enquiry import EnquiryForm
from jobs.search import tidy


@require_http_methods(["GET", "HEAD", "POST"])
def job_new(request: HttpRequest) -> HttpResponse:
    """Take in an enquiry, then go on to its first panel."""
    form = EnquiryForm(
        request.POST or None,
        request.FILES or None,
        shop=request.shop,
        request=request,
        initial={"customer": request.GET.get("customer", "")[:120]},
    )
    if form.is_valid():
        job = take_enquiry(form.enquiry(), request.user)
        messages.success(request, f"{job} is in the book. Now its first panel.")
        return redirect("panel-new", job.number)
    context = {"form": form, "customers": suggestions(tidy(form["customer"].value() or ""))}
    return render(request, "jobs/enquiry.html", context, status=422 if form.is_bound else 200)
