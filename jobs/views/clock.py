"""The clock's one button: start, stop, switch, undo the stop."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from jobs.clock import clock_in, clock_out, undo_clock_out
from jobs.forgotten import ForgottenClock
from jobs.forms.bench import ClockForm
from jobs.models import Stage, TimeEntry
from jobs.time_entries import ClockRefused, named
from jobs.views.bench import render_bench, stage_or_404
from shop.figures import figure


@require_POST
def clock(request: HttpRequest, code: str) -> HttpResponse:
    """One press of the clock on a stage."""
    stage, form = stage_or_404(code), ClockForm(request.POST, shop=request.shop)
    if not form.is_valid():
        messages.error(request, " ".join(error for errors in form.errors.values() for error in errors))
        return render_bench(request, stage, status=422)
    try:
        messages.success(request, _press(request, stage, form.cleaned_data))
    except ForgottenClock as forgotten:
        messages.warning(request, str(forgotten))
        return redirect("clock-mend", forgotten.entry.pk)
    except ClockRefused as refusal:
        messages.error(request, str(refusal))
        return render_bench(request, stage, status=409)
    return redirect("bench", code)


def _press(request: HttpRequest, stage: Stage, given: dict) -> str:
    """Do what was pressed and say what has happened."""
    person, at = request.user, given["pressed_at"]
    if given["press"] == ClockForm.UNDO:
        entry = undo_clock_out(get_object_or_404(TimeEntry, pk=given["entry"], stage=stage), person)
        return f"The clock on {named(entry.stage)} runs on as if it had not been stopped."
    if given["press"] == ClockForm.OUT:
        entry = clock_out(person, at, stage=stage)
        return f"{figure(entry.hours, 2)} h on {named(entry.stage)}."
    started = clock_in(stage, person, at, instead_of=given["running"], submission=given["submission"])
    if started.stopped:
        stopped = started.stopped
        return (
            f"Stopped on {named(stopped.stage)} with {figure(stopped.hours, 2)} h; "
            f"your clock runs on {named(stage)} now."
        )
    return f"Your clock runs on {named(stage)}."
