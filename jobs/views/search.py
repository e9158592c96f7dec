"""Finding things, and where a label's code leads."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_safe

from jobs.search import find, thing_with_code
from shop.models import SheetStock
from shop.pages import render_page


@require_safe
def search(request: HttpRequest) -> HttpResponse:
    """One box over jobs, panels, customers and sheets."""
    found = find(request.GET.get("q", ""))
    context = {"found": found, "labelled_url": address_of(found.labelled) if found.labelled else ""}
    return render_page(request, "jobs/search.html", "jobs/_found.html", context)


@require_safe
def code(request: HttpRequest, code: str) -> HttpResponse:
    """Where a label leads: a panel's page, a stage's bench, a sheet's page."""
    thing = thing_with_code(code)
    if thing is None:
        raise Http404("No panel, stage or sheet has this code. It may have been removed.")
    return redirect(address_of(thing))


def address_of(thing) -> str:
    """The page of something with a label."""
    return reverse("sheet", args=[thing.pk]) if isinstance(thing, SheetStock) else thing.get_absolute_url()
