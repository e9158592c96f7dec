"""The opening page, and putting a need aside for the day."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from estimates.today.aside import NoSuchNeed, put_aside
from estimates.today.gathering import today_of
from shop.pages import render_page


@require_safe
def today(request: HttpRequest) -> HttpResponse:
    """What needs somebody today, and where every panel in work stands."""
    shown = today_of(request.user, request.shop, page=request.GET.get("page"), all_needs="all" in request.GET)
    return render(request, "estimates/today.html", {"shown": shown, "needs": shown.needs})


@require_POST
def aside(request: HttpRequest) -> HttpResponse:
    """Put a need aside for today, or take it back."""
    try:
        put_aside(
            request.user, request.POST.get("key", ""), timezone.localdate(), back="back" in request.POST
        )
    except NoSuchNeed as error:
        messages.error(request, str(error))
    if not request.htmx:
        return redirect("today")
    context = {"needs": today_of(request.user, request.shop).needs}
    return render_page(request, "estimates/today.html", "estimates/_needs.html", context)
