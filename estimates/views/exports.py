"""What goes out of the book: CSV files, the whole shop as an archive, and the calendar's private address."""

from collections.abc import Iterable, Iterator
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from estimates.exports.archive import archive
from estimates.exports.calendar_feed import (
    CONTENT_TYPE,
    calendar_bytes,
    make_calendar_link,
    open_calendar_link,
    withdraw_calendar_link,
)
from estimates.exports.tables import EXPORTS, csv_lines
from estimates.models import CalendarLink
from jobs.models import Job
from shop.models import Shop
from shop.outside import address_for
from shop.roles import owner_only


@require_safe
@owner_only
def exports(request: HttpRequest) -> HttpResponse:
    link = open_calendar_link()
    address = address_for(request, reverse("calendar", args=[link.token])) if link else ""
    context = {"exports": EXPORTS.values(), "link": link, "address": address}
    return render(request, "estimates/exports.html", context)


@require_safe
@owner_only
def export_csv(request: HttpRequest, key: str) -> StreamingHttpResponse:
    if key not in EXPORTS:
        raise Http404
    return _file(csv_lines(EXPORTS[key]), request.shop, "text/csv; charset=utf-8", f"{key}.csv")


@require_safe
@owner_only
def export_archive(request: HttpRequest) -> StreamingHttpResponse:
    """The whole shop with its photos."""
    name = f"{slugify(request.shop.name) or 'shop'}-{timezone.localdate():%Y-%m-%d}.zip"
    return _file(archive(request.shop), request.shop, "application/zip", name)


def _file(pieces: Iterable, shop: Shop, content_type: str, name: str) -> StreamingHttpResponse:
    response = StreamingHttpResponse(_on_the_shops_clock(pieces, shop), content_type=content_type)
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    response.headers["Cache-Control"] = "private, no-store"
    return response


def _on_the_shops_clock(pieces: Iterable, shop: Shop) -> Iterator:
    """The response is sent after the middleware has put the clock back to UTC."""
    zone = ZoneInfo(shop.time_zone)
    rows = iter(pieces)
    while True:
        with timezone.override(zone):
            piece = next(rows, None)
        if piece is None:
            return
        yield piece


@require_POST
@owner_only
def calendar_link(request: HttpRequest) -> HttpResponse:
    """Make the calendar's address, or withdraw it."""
    if request.POST.get("action") == "withdraw":
        withdraw_calendar_link(request.user)
        messages.success(
            request, "The calendar’s address is withdrawn: whoever has it gets nothing any more."
        )
    else:
        make_calendar_link(request.user)
        messages.success(request, "The calendar has an address. Whoever has it can read the shop’s dates.")
    return redirect("exports")


@login_not_required
@require_safe
def calendar(request: HttpRequest, token: str) -> HttpResponse:
    """The feed, for whoever has the address while it holds."""
    get_object_or_404(CalendarLink, token=token, withdrawn_at=None)

    def address_of(job: Job) -> str:
        return address_for(request, job.get_absolute_url())

    feed = calendar_bytes(request.shop, request.get_host().partition(":")[0], address_of)
    response = HttpResponse(feed, content_type=CONTENT_TYPE)
    response.headers["Content-Disposition"] = 'inline; filename="dates.ics"'
    response.headers["Cache-Control"] = "private, no-store"
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    return response
