"""Readings typed at the bench."""

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from jobs.forms.reading import ReadingForm
from jobs.models import Reading
from jobs.reading_log import FarOff, ReadingRefused, log_reading, logged, take_back_reading
from jobs.reading_words import ON_THE_OUTSIDE
from jobs.readings import stepped
from jobs.views.bench import render_bench, stage_or_404


@require_POST
def reading_add(request: HttpRequest, code: str) -> HttpResponse:
    """Log a reading; or, where plus or minus was pressed without a script, come back with the value moved."""
    stage, form = stage_or_404(code), ReadingForm(request.POST, shop=request.shop)
    if not form.is_valid():
        return _refused(request, stage, form)
    given = form.cleaned_data
    if given["step"]:
        value = stepped(given["kind"], given["amount"], given["step"], request.shop)
        query = urlencode({"check": given["kind"], "value": value})
        return redirect(f"{reverse('bench', args=[code])}?{query}#check")
    try:
        reading = log_reading(
            stage.panel, request.user, given["pass_number"], given["kind"], given["amount"], note=given["note"],
            at=given["pressed_at"], submission=given["submission"], sure=form.is_sure,
        )  # fmt: skip
    except ReadingRefused as refusal:
        form.asked = isinstance(refusal, FarOff)
        form.add_error("value", str(refusal))
        return _refused(request, stage, form)
    said = logged(reading, request.shop, on_the_outside=given["kind"] == ON_THE_OUTSIDE)
    (messages.warning if said.is_past else messages.success)(request, said.words)
    return redirect(f"{reverse('bench', args=[code])}?{urlencode({'check': given['kind']})}")


@require_POST
def reading_take_back(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Take a reading of this panel back."""
    stage = stage_or_404(code)
    reading = get_object_or_404(Reading.objects.select_related("panel__job"), pk=pk, panel=stage.panel)
    try:
        take_back_reading(reading, request.user)
        messages.success(request, "The reading is taken back. The plan stands as it did before it.")
    except ReadingRefused as refusal:
        messages.error(request, str(refusal))
    return redirect(reverse("bench", args=[code]) + "#readings-head")


def _refused(request: HttpRequest, stage, form: ReadingForm) -> HttpResponse:
    return render_bench(request, stage, status=422, value=form.data.get("value", "")[:60], reading_form=form)
