"""The shop a request is for, fetched once: its name on the page, its units in the fields, its clock."""

from zoneinfo import ZoneInfo

from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import SimpleLazyObject

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
