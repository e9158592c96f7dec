"""Past panels: the list and the record, one panel, leaving out, bringing in, giving away."""

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from estimates.forms.history import BringInForm, LeaveOutForm, NotebookForm
from estimates.history import HistoryRefused, import_panels, leave_out, take_back, written_history
from estimates.models import PastPanel
from estimates.past.pages import one_past, past_page
from shop.figures import counted
from shop.roles import owner_only


@require_safe
def past_panels(request: HttpRequest) -> HttpResponse:
    """The list, with how the estimates have come out."""
    shown = past_page(
        request.shop, metal=request.GET.get("metal", ""), stage=request.GET.get("stage", ""),
        page=request.GET.get("page"),
    )  # fmt: skip
    query = urlencode(
        {name: value for name, value in (("metal", shown.metal), ("stage", shown.stage)) if value}
    )
    return render(request, "estimates/past_panels.html", {"shown": shown, "query": query})


@require_http_methods(["GET", "HEAD", "POST"])
def past_panel(request: HttpRequest, pk: int) -> HttpResponse:
    """One past panel; the owner leaves it out here with a reason."""
    past = get_object_or_404(PastPanel.objects.select_related("panel__job", "left_out_by"), pk=pk)
    posted = request.method == "POST"
    form = LeaveOutForm(request.POST if posted else None, shop=request.shop)
    if posted and form.is_valid():
        try:
            leave_out(past, request.user, form.cleaned_data["reason"])
        except HistoryRefused as error:
            form.add_error("reason", str(error))
        else:
            messages.success(request, f"{past} is left out. The next estimate does without it.")
            return redirect("past-panel", pk)
    shown = one_past(past, request.shop, request.GET.get("stage", ""))
    context = {"shown": shown, "past": past, "form": form}
    return render(request, "estimates/past_panel.html", context, status=422 if form.errors else 200)


@require_POST
@owner_only
def past_panel_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a past panel back."""
    past = take_back(get_object_or_404(PastPanel, pk=pk), request.user)
    messages.success(request, f"{past} teaches again.")
    return redirect("past-panel", pk)


@require_http_methods(["GET", "HEAD", "POST"])
@owner_only
def past_panels_import(request: HttpRequest) -> HttpResponse:
    """Look at a notebook first; nothing is written until it is brought in."""
    if "held" in request.POST:
        return _bring_in(request)
    posted = request.method == "POST"
    form = NotebookForm(*([request.POST, request.FILES] if posted else []), shop=request.shop)
    if posted and form.is_valid():
        ready = BringInForm(shop=request.shop, initial={"held": form.held})
        return render(
            request, "estimates/past_import.html", {"form": form, "plan": form.plan, "ready": ready}
        )
    status = 422 if posted else 200
    return render(request, "estimates/past_import.html", {"form": form}, status=status)


def _bring_in(request: HttpRequest) -> HttpResponse:
    form = BringInForm(request.POST, shop=request.shop)
    if form.is_valid():
        count = import_panels(form.plan.new, request.user)
        messages.success(
            request, f"{counted(count, 'panel')} brought in." if count else "All were in the book already."
        )
        return redirect("past-panels")
    context = {"form": NotebookForm(shop=request.shop), "plan": form.plan, "ready": form}
    return render(request, "estimates/past_import.html", context, status=422)


@require_safe
def past_panels_csv(request: HttpRequest) -> HttpResponse:
    """All past panels as a CSV file that this book, or a spreadsheet, reads."""
    response = HttpResponse(written_history(), content_type="text/csv; charset=utf-8")
    response.headers["Content-Disposition"] = 'attachment; filename="past-panels.csv"'
    return response
