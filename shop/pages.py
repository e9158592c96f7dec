"""One address, two sizes: the whole page for a browser, the changed part for htmx."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers


def render_page(
    request: HttpRequest, page: str, partial: str, context: dict[str, object], *, status: int = 200
) -> HttpResponse:
    """Render ``partial`` for an htmx request and ``page`` (which includes it) for any other."""
    wants_part = request.htmx and not request.htmx.boosted and not request.htmx.history_restore_request
    response = render(request, partial if wants_part else page, context, status=status)
    patch_vary_headers(response, ["HX-Request"])
    return response
