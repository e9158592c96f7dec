"""Metal for a panel, cut from the rack."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from jobs.forms.material import MaterialForm
from jobs.material import (
    AlreadyBooked,
    MaterialRefused,
    booked_on,
    booked_words,
    take_back,
    use_sheet,
)
from jobs.models import MaterialUse
from jobs.rack import blank_size, sorted_by_fit
from jobs.views.bench import stage_or_404
from shop.lengths import format_blank


@require_http_methods(["GET", "HEAD", "POST"])
def material_add(request: HttpRequest, code: str) -> HttpResponse:
    """Say which sheet was cut, what was cut from it and what came back."""
    stage = stage_or_404(code)
    posted = request.method == "POST"
    blank = blank_size(stage.panel)
    fitting, others = sorted_by_fit(stage.panel)
    booked = booked_on(stage.panel)
    form = MaterialForm(
        request.POST or None,
        panel=stage.panel,
        fitting=fitting,
        others=others,
        booked=booked,
        shop=request.shop,
    )
    if posted and form.is_valid() and (use := _cut(request, stage.panel, form)):
        messages.success(request, _said(use))
        return redirect("bench", code)
    context = {
        "form": form, "stage": stage, "panel": stage.panel, "job": stage.panel.job,
        "booked": booked_words(booked) if booked else "",
        "blank": format_blank(blank.length_mm, blank.width_mm, request.shop.units),
        "uses": MaterialUse.objects.filter(panel=stage.panel).select_related("sheet__metal", "drop", "person"),
    }  # fmt: skip
    return render(request, "jobs/material_add.html", context, status=422 if posted else 200)


@require_POST
def material_take_back(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Take a booking back that was made by mistake."""
    stage = stage_or_404(code)
    use = get_object_or_404(MaterialUse, pk=pk, panel=stage.panel)
    try:
        sheet = take_back(use, request.user)
    except MaterialRefused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"Sheet {sheet.code} is on the rack again.")
    return redirect("material-add", code)


def _cut(request: HttpRequest, panel, form: MaterialForm) -> MaterialUse | None:
    given, drop = form.cleaned_data, form.drop()
    try:
        return use_sheet(
            panel, given["sheet"], given["length"], given["width"],
            drop.length_mm if drop else None, drop.width_mm if drop else None,
            person=request.user, note=given["note"], place=given["place"] or None, submission=given["submission"],
            booked_seen=given["booked_seen"] or 0 if given["another"] else 0,
        )  # fmt: skip
    except AlreadyBooked as question:
        form.ask_again(len(question.uses))
        form.add_error("another", "Tick this to book another; what is booked stands below.")
        return None
    except MaterialRefused as refusal:
        form.add_error(refusal.field, str(refusal))
        return None


def _said(use: MaterialUse) -> str:
    if use.drop is None:
        return f"Sheet {use.sheet.code} is used up."
    where = f" to {use.drop.place}" if use.drop.place else ""
    return f"Sheet {use.sheet.code} is cut; drop {use.drop.code} went back{where}."
