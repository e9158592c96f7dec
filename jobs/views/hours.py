"""Hours: by hand, corrected, a forgotten clock mended, and the book of them."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from jobs.forgotten import guessed_end, mend_forgotten
from jobs.forms.hours import CorrectForm, HoursForm, MendForm
from jobs.hours_log import HoursRefused, add_hours, correct_entry, may_correct, strike_out, weeks_of
from jobs.models import TimeEntry
from jobs.time_entries import ClockRefused, running_entry, with_names
from jobs.views.bench import stage_or_404
from shop.models import Person


@require_http_methods(["GET", "HEAD", "POST"])
def hours_add(request: HttpRequest, code: str) -> HttpResponse:
    """Enter hours by hand."""
    stage = stage_or_404(code)
    posted = request.method == "POST"
    form = HoursForm(request.POST or None, panel=stage.panel, shop=request.shop, initial={"stage": stage.pk})
    if posted and form.is_valid():
        given = form.cleaned_data
        try:
            entry = add_hours(
                given["stage"], request.user, given["day"], given["hours"], given["note"],
                submission=given["submission"],
            )  # fmt: skip
        except (HoursRefused, ClockRefused) as refusal:
            form.add_error(getattr(refusal, "field", None), str(refusal))
        else:
            messages.success(request, f"{entry.hours.normalize():f} h are in the book.")
            return redirect("bench", given["stage"].code)
    context = {"form": form, "stage": stage, "panel": stage.panel, "job": stage.panel.job}
    return render(request, "jobs/hours_add.html", context, status=422 if posted else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def hours_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct an entry, or strike it out; what it said before stays."""
    entry = _entry(request, pk)
    if entry.is_running:
        return redirect("clock-mend", pk)
    posted = request.method == "POST"
    corrections = entry.corrections.select_related("person", "old_stage__kind", "old_stage__panel__job")
    initial = {
        "stage": entry.stage_id, "day": timezone.localtime(entry.started_at).date(), "hours": entry.hours,
        "seen": len(corrections),
    }  # fmt: skip
    form = CorrectForm(request.POST or None, entry=entry, shop=request.shop, initial=initial)
    if posted and form.is_valid() and _corrected(request, entry, form):
        return redirect("hours-list")
    context = {"form": form, "entry": entry, "corrections": corrections}
    return render(request, "jobs/hours_correct.html", context, status=422 if posted else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def clock_mend(request: HttpRequest, pk: int) -> HttpResponse:
    """Say when a forgotten clock really stopped."""
    entry = _entry(request, pk)
    if not entry.is_running:
        return redirect("hours-correct", pk)
    posted = request.method == "POST"
    form = MendForm(request.POST or None, shop=request.shop, guess=guessed_end(entry))
    if posted and form.is_valid():
        try:
            mended = mend_forgotten(
                entry, request.user, form.cleaned_data["ended_at"], form.cleaned_data["note"]
            )
        except ClockRefused as refusal:
            form.add_error("ended_at", str(refusal))
        else:
            messages.success(request, f"{mended.hours.normalize():f} h are in the book.")
            return redirect("bench", entry.stage.code)
    return render(
        request, "jobs/clock_mend.html", {"form": form, "entry": entry}, status=422 if posted else 200
    )


@require_safe
def hours_list(request: HttpRequest) -> HttpResponse:
    """Hours week by week: one's own, or for the owner everybody's."""
    people = Person.objects.filter(pk=request.user.pk)
    everyone = request.user.is_owner and request.GET.get("whose") != "mine"
    if everyone:
        people = Person.objects.all()
    page, weeks = weeks_of(people, request.GET.get("page"))
    running = running_entry(request.user)
    context = {
        "page": page, "weeks": weeks, "everyone": everyone, "running": running,
        "query": "" if everyone else "whose=mine",
    }  # fmt: skip
    return render(request, "jobs/hours_list.html", context)


def _entry(request: HttpRequest, pk: int) -> TimeEntry:
    entry = get_object_or_404(with_names(TimeEntry.objects), pk=pk)
    if not may_correct(entry, request.user):
        raise PermissionDenied(f"Only {entry.person} or the owner can correct these hours.")
    return entry


def _corrected(request: HttpRequest, entry: TimeEntry, form: CorrectForm) -> bool:
    given = form.cleaned_data
    try:
        if given["strike"]:
            strike_out(entry, request.user, given["reason"], corrections_seen=given["seen"])
        else:
            correct_entry(
                entry, request.user, given["reason"], hours=given["hours"], stage=given["stage"], day=given["day"],
                corrections_seen=given["seen"],
            )  # fmt: skip
    except HoursRefused as refusal:
        form.add_error(refusal.field, str(refusal))
        return False
    messages.success(request, "The entry is struck out." if given["strike"] else "The entry is corrected.")
    return True
