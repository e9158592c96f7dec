"""The first page of a new book."""

from zoneinfo import ZoneInfo

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from shop.forms.set_up import SetUpForm
from shop.models import Person, Shop
from shop.setting_up import needs_code
from shop.starting import start_shop


@login_not_required
@require_http_methods(["GET", "POST"])
def set_up(request: HttpRequest) -> HttpResponse:
    """Name the shop and its owner. The page is there only while the book has no shop."""
    if Shop.objects.exists():
        return redirect("today")
    form = SetUpForm(request.POST or None, shop=Shop(name=""), ask_code=needs_code())
    if not form.is_valid():
        return render(request, "shop/set_up.html", {"form": form}, status=422 if form.is_bound else 200)
    typed = form.cleaned_data
    owner = Person(username=typed["username"], first_name=typed["first_name"])
    owner.set_password(typed["password"])
    today = timezone.localdate(timezone=ZoneInfo(typed["time_zone"]))  # no shop's zone is in force yet
    start_shop(form.shop_typed(), owner, per_hour=typed["per_hour"], on=today)
    login(request, owner, backend="django.contrib.auth.backends.ModelBackend")
    messages.success(
        request,
        "The book is open. Look these settings through: tax, overhead and margin begin at 0. "
        "Then write what your metals cost, and take the first enquiry in under Today.",
    )
    return redirect("shop-settings")
