"""Temporary: an address whose page is still being written. Removed before the first release."""

from django.http import HttpRequest, HttpResponse


def coming(request: HttpRequest, **_kwargs) -> HttpResponse:
    return HttpResponse("This page is still being written.", status=501)
