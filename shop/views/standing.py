"""The shop's settings, its people and days off: the owner's pages."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.forms.standing import DayOffForm, PersonForm, ShopSettingsForm
from shop.keeping import keep
from shop.models import DayOff, Person, Shop
from shop.people import keep_person
from shop.roles import owner_only


@owner_only
@require_http_methods(["GET", "POST"])
def settings_page(request: HttpRequest) -> HttpResponse:
    shop = Shop.standing()
    form = ShopSettingsForm(request.POST or None, request.FILES or None, instance=shop, shop=shop)
    if form.is_valid():
        keep(form.save(commit=False), request.user, form.Meta.fields, "settings")
        messages.success(request, "The settings are saved. Drafts of quotes follow them; sent quotes do not.")
        return redirect("shop-settings")
    return render(request, "shop/settings.html", {"form": form}, status=422 if form.is_bound else 200)


@owner_only
@require_safe
def people(request: HttpRequest) -> HttpResponse:
    context = {
        "people": Person.objects.order_by("-is_active", "first_name"),
        "days_off": DayOff.objects.filter(date__gte=timezone.localdate()).select_related("person"),
        "day_off_form": DayOffForm(shop=request.shop),
    }
    return render(request, "shop/people.html", context)


@owner_only
@require_http_methods(["GET", "POST"])
def person(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Add somebody, or change their account."""
    somebody = get_object_or_404(Person, pk=pk) if pk else Person()
    form = PersonForm(request.POST or None, instance=somebody, shop=request.shop)
    if form.is_valid():
        keep_person(form.save(commit=False), request.user, password=form.cleaned_data["password"])
        messages.success(request, f"{somebody} is saved.")
        return redirect("people")
    context = {"form": form, "title": f"{somebody}" if pk else "Somebody new", "back": "people"}
    return render(request, "shop/form_page.html", context, status=422 if form.is_bound else 200)


@owner_only
@require_POST
def day_off_add(request: HttpRequest) -> HttpResponse:
    form = DayOffForm(request.POST, shop=request.shop)
    if form.is_valid():
        keep(form.save(commit=False), request.user, form.Meta.fields, "day off")
        return redirect("people")
    context = {"form": form, "title": "A day off", "back": "people"}
    return render(request, "shop/form_page.html", context, status=422)


@owner_only
@require_POST
def day_off_remove(request: HttpRequest, pk: int) -> HttpResponse:
    DayOff.objects.filter(pk=pk).delete()
    return redirect("people")
