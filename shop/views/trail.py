"""Who changed what, and when."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shop.models import AuditEntry
from shop.roles import owner_only

PER_PAGE = 50


@owner_only
@require_safe
def trail(request: HttpRequest) -> HttpResponse:
    """The whole trail, newest first, or one job's."""
    entries = AuditEntry.objects.select_related("person")
    if number := request.GET.get("job", "").strip():
        entries = entries.filter(job_number=number)
    page = Paginator(entries, PER_PAGE).get_page(request.GET.get("page"))
    query = f"job={number}" if number else ""
    return render(request, "shop/trail.html", {"page": page, "number": number, "query": query})
