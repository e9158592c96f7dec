"""The shop a request is for, fetched once: its name on the page, its units in the fields, its clock on the wall."""

from zoneinfo import ZoneInfo

from django.utils import timezone
from django.utils.functional import SimpleLazyObject

from shop.models import Shop


class StandingShop:
    """Middleware that puts the shop on the request and the shop's time zone on the clock."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        request.shop = SimpleLazyObject(Shop.standing)
        if request.user.is_authenticated or request.path.startswith("/for/"):
            timezone.activate(ZoneInfo(request.shop.time_zone))
        try:
            return self.get_response(request)
        finally:
            timezone.deactivate()


def standing(request):
    """Context of every page: the shop."""
    return {"shop": getattr(request, "shop", None) or SimpleLazyObject(Shop.standing)}
