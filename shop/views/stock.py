"""Metals and single sheets."""

from contextlib import suppress

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.forms.stock import MetalForm, SheetForm
from shop.models import Metal, SheetStock
from shop.roles import owner_only
from shop.stock import add_sheets, change_sheet, keep_metal, sheet_arrived


@require_safe
def metals(request: HttpRequest) -> HttpResponse:
    context = {"metals": Metal.objects.prefetch_related("gather_sizes").order_by("-in_use", "family", "name")}
    return render(request, "shop/metals.html", context)


@owner_only
@require_http_methods(["GET", "POST"])
def metal(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    metal = get_object_or_404(Metal, pk=pk) if pk else Metal()
    form = MetalForm(request.POST or None, instance=metal, shop=request.shop)
    if form.is_valid():
        keep_metal(form.save(commit=False), form.gather_sizes(), request.user)
        messages.success(request, f"{metal.name} is saved.")
        return redirect("metals")
    context = {"form": form, "title": metal.name or "A new metal", "back": "metals"}
    return render(request, "shop/form_page.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """One sheet or drop: where it is, what it was cut from and what was cut from it."""
    sheet = get_object_or_404(SheetStock.objects.select_related("metal", "cut_from__metal"), pk=pk)
    form = SheetForm(request.POST or None, instance=sheet, shop=request.shop, person=request.user)
    if form.is_valid():
        change_sheet(form.save(commit=False), request.user)
        messages.success(request, f"{sheet.in_words(request.shop.units)} is saved.")
        return redirect("sheet-list")
    context = {"form": form, "sheet": sheet, "drops": sheet.drops.select_related("metal")}
    return render(request, "shop/sheet.html", context, status=422 if form.is_bound else 200)


def _wanted(asked: QueryDict) -> dict[str, str | float]:
    """What the form starts from; what is no number is left out, for only an address somebody bent holds it."""
    wanted: dict[str, str | float] = {"metal": metal} if (metal := asked.get("metal")) else {}
    with suppress(ValueError):
        wanted["thickness_mm"] = float(asked.get("thickness", ""))
    return wanted


@require_http_methods(["GET", "POST"])
def sheet_new(request: HttpRequest) -> HttpResponse:
    """Add sheets; ``?metal=&thickness=`` in millimetres fills the form in where a sheet is known to be wanted."""
    form = SheetForm(
        request.POST or None, shop=request.shop, person=request.user, initial=_wanted(request.GET)
    )
    if form.is_valid():
        sheets = add_sheets(form.save(commit=False), form.cleaned_data["how_many"], request.user)
        messages.success(request, f"Added {len(sheets)} × {sheets[0].in_words(request.shop.units)}.")
        return redirect("sheet-list")
    context = {"form": form, "title": "Sheets for the rack", "back": "sheet-list"}
    return render(request, "shop/form_page.html", context, status=422 if form.is_bound else 200)


@require_POST
def arrived(request: HttpRequest, pk: int) -> HttpResponse:
    sheet = sheet_arrived(get_object_or_404(SheetStock, pk=pk), request.user)
    messages.success(request, f"{sheet.in_words(request.shop.units)} is on the rack.")
    return redirect("sheet-list")
