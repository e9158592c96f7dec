"""Customers."""

from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from jobs.customers import customers_matching, keep_customer, suggestions, with_job_counts
from jobs.forms.customer import CustomerForm
from jobs.listing import job_rows
from jobs.models import Customer
from jobs.search import tidy
from shop.pages import render_page

CUSTOMERS_A_PAGE = 50
JOBS_A_PAGE = 25


@require_safe
def customer_list(request: HttpRequest) -> HttpResponse:
    text = tidy(request.GET.get("q", ""))
    found = with_job_counts(customers_matching(text)).order_by("name", "pk")
    page = Paginator(found, CUSTOMERS_A_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "text": text, "query": urlencode({"q": text}) if text else ""}
    return render_page(request, "jobs/customers.html", "jobs/_customer_rows.html", context)


@require_safe
def customer_names(request: HttpRequest) -> HttpResponse:
    """Names for the field in which a customer is typed."""
    found = suggestions(tidy(request.GET.get("customer", "")))
    return render(request, "jobs/_customer_names.html", {"customers": found})


@require_safe
def customer(request: HttpRequest, pk: int) -> HttpResponse:
    """A customer and their jobs, last first."""
    shown = get_object_or_404(Customer, pk=pk)
    page = Paginator(shown.jobs.all(), JOBS_A_PAGE).get_page(request.GET.get("page"))
    for job in page.object_list:
        job.customer = shown
    context = {"customer": shown, "page": page, "rows": job_rows(page.object_list)}
    return render(request, "jobs/customer.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def customer_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Add a customer, or change one."""
    somebody = get_object_or_404(Customer, pk=pk) if pk else Customer()
    form = CustomerForm(request.POST or None, instance=somebody, shop=request.shop)
    if form.is_valid():
        submission = form.cleaned_data["submission"]
        kept = keep_customer(form.save(commit=False), request.user, submission=submission)
        messages.success(request, f"{kept} is saved.")
        return redirect("customer", kept.pk)
    context = {"form": form, "customer": get_object_or_404(Customer, pk=pk) if pk else None}
    return render(request, "jobs/customer_edit.html", context, status=422 if form.is_bound else 200)
