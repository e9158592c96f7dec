"""Payments of a job: deposit asked, received, paid back, still open."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from estimates.forms.payments import PaymentForm
from estimates.payments import MuchMoney, PaymentRefused, job_statement, keep_payment, strike_payment
from jobs.models import Job
from shop.roles import owner_only


def _job(number: str) -> Job:
    return get_object_or_404(Job.objects.select_related("customer"), number=number)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def payments(request: HttpRequest, number: str) -> HttpResponse:
    """The account of a job, and the form for the next payment."""
    job = _job(number)
    form = PaymentForm(request.POST or None, shop=request.shop)
    if form.is_valid():
        try:
            kept = keep_payment(
                job, form.payment(), request.user, request.shop, form.cleaned_data["submission"], sure=form.is_sure
            )  # fmt: skip
        except PaymentRefused as refusal:
            form.asked_about = form.cleaned_data["amount"] if isinstance(refusal, MuchMoney) else None
            form.add_error(refusal.field, str(refusal))
        else:
            messages.success(request, f"{kept.get_kind_display()} written down.")
            return redirect("payments", number)
    account = job_statement(job)
    context = {
        "job": job, "form": form, "account": account, "by_hours": account.bills is not None,
        "payments": job.payments.select_related("person"),
    }  # fmt: skip
    return render(request, "estimates/payments.html", context, status=422 if form.is_bound else 200)


@owner_only
@require_POST
def payment_strike(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    try:
        strike_payment(_job(number), pk, request.user, request.shop, request.POST.get("reason", "")[:200])
        messages.success(request, "The payment is taken out. The trail keeps it.")
    except PaymentRefused as refusal:
        messages.error(request, str(refusal))
    return redirect("payments", number)
