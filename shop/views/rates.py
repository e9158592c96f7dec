"""Stages and what an hour of each is charged at: the owner's pages."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from shop.forms.stages import RateForm, StageKindForm
from shop.models import LabourRate, StageKind
from shop.rates import keep_stage, rates_on, set_rate
from shop.roles import owner_only


@owner_only
@require_http_methods(["GET", "POST"])
def rates(request: HttpRequest) -> HttpResponse:
    """Today's rates, those to come and those that held before, and a form for the next."""
    form = RateForm(request.POST or None, shop=request.shop)
    if form.is_valid():
        typed = form.cleaned_data
        kinds = [typed["stage_kind"]] if typed["stage_kind"] else StageKind.objects.filter(in_use=True)
        set_rate(kinds, typed["per_hour"], typed["holds_from"], request.user)
        messages.success(request, "The rate is set. Quotes already sent keep the rate they were made at.")
        return redirect("rates")
    today = rates_on(timezone.localdate())
    context = {
        "form": form,
        "kinds": [(kind, today.get(kind.pk)) for kind in StageKind.objects.all()],
        "all_rates": LabourRate.objects.select_related("stage_kind").order_by(
            "-holds_from", "stage_kind__position"
        ),
        "today": timezone.localdate(),
    }
    return render(request, "shop/rates.html", context, status=422 if form.is_bound else 200)


@owner_only
@require_http_methods(["GET", "POST"])
def stage_kind(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Change a stage's first rate, or add a stage of the shop's own such as trimming or welding."""
    kind = get_object_or_404(StageKind, pk=pk) if pk else StageKind(driver=StageKind.Driver.FIXED)
    form = StageKindForm(request.POST or None, instance=kind, shop=request.shop)
    if form.is_valid():
        kind = form.save(commit=False)
        keep_stage(kind, form.cleaned_data, request.user)
        messages.success(request, f"{kind.name} is saved.")
        return redirect("rates")
    context = {"form": form, "title": kind.name or "A stage of your own", "back": "rates"}
    return render(request, "shop/form_page.html", context, status=422 if form.is_bound else 200)
