"""The shop a request is for, fetched once: its name on the page, its units in the fields, its clock."""

from urllib.parse import urlencode, urlsplit
from zoneinfo import ZoneInfo

from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import SimpleLazyObject
from django_htmx.http import HttpResponseClientRedirect

from shop.models import Shop


class StandingShop:
    """Middleware that puts the shop on the request and the shop's time zone on the clock.

    A book without a shop has one page only: the one that sets it up.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        request.shop = Shop.standing()
        set_up = reverse("set-up")
        if not request.shop.stands and request.path != set_up:
            return redirect(set_up)
        with timezone.override(ZoneInfo(request.shop.time_zone)):
            return self.get_response(request)


def standing(request):
    """Context of every page: the shop."""
    return {"shop": getattr(request, "shop", None) or SimpleLazyObject(Shop.standing)}


class SendToTheDoor:
    """Middleware: an htmx request that meets the sign-in page opens it as a page, not inside another page."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        if request.htmx and response.status_code == 302 and response.url.startswith(reverse("sign-in")):
            here = urlsplit(request.htmx.current_url_abs_path or "").path or reverse("today")
            return HttpResponseClientRedirect(f"{reverse('sign-in')}?{urlencode({'next': here})}")
        return response
