"""The rack: sheets and drops, and what has to be ordered for the panels in work."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from jobs.sheets_needed import sheet_plan
from shop.models import SheetStock


@require_safe
def sheet_list(request: HttpRequest) -> HttpResponse:
    sheets = SheetStock.objects.select_related("metal").order_by(
        "metal__name", "thickness_mm", "kind", "-length_mm"
    )
    shows_used = "used" in request.GET
    if not shows_used:
        sheets = sheets.exclude(state=SheetStock.State.USED)
    context = {"sheets": sheets, "plan": sheet_plan(request.shop.units), "shows_used": shows_used}
    return render(request, "jobs/sheets.html", context)
