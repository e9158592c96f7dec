"""The bench: one stage of one panel, and what is done there besides the clock and the readings."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs.bench import bench_of, stage_with_names
from jobs.finishing import NotAskedYet, say_done
from jobs.forgotten import ForgottenClock
from jobs.forms.bench import ClockForm, NoteForm, PassForm, ProgressForm
from jobs.forms.photo import PhotoForm
from jobs.forms.reading import ReadingForm
from jobs.models import Photo, Stage
from jobs.notes import add_note
from jobs.passes import FarFromPlan, PassRefused, tick_pass, untick_pass
from jobs.photos import add_photos
from jobs.progress import WHOLE, ProgressRefused, reopen_stage, set_progress
from jobs.time_entries import ClockRefused
from shop.models import Person


def stage_or_404(code: str) -> Stage:
    stage = stage_with_names(code)
    if stage is None:
        raise Http404("There is no stage with this code.")
    return stage


def render_bench(
    request: HttpRequest, stage: Stage, *, status: int = 200, value: str = "", **forms
) -> HttpResponse:
    """The bench page, with the forms that have just been refused in it."""
    asked = request.POST if request.method == "POST" else request.GET
    kind = asked.get("kind") or asked.get("check") or ""
    bench = bench_of(stage, request.user, request.shop, kind, value)
    made = {
        "clock_form": ClockForm(shop=request.shop),
        "reading_form": ReadingForm(shop=request.shop),
        "note_form": NoteForm(shop=request.shop),
        "progress_form": ProgressForm(shop=request.shop),
    }
    return render(request, "jobs/bench.html", {"bench": bench, **made, **forms}, status=status)


@require_safe
def bench(request: HttpRequest, code: str) -> HttpResponse:
    """What stands at the bench now."""
    return render_bench(request, stage_or_404(code), value=request.GET.get("value", "")[:60])


@require_POST
def pass_tick(request: HttpRequest, code: str) -> HttpResponse:
    """Tick a pass of the panel, or take the tick back."""
    stage, form = stage_or_404(code), PassForm(request.POST, shop=request.shop)
    if not form.is_valid():
        return _pass_refused(request, stage, form)
    given = form.cleaned_data
    try:
        if given["untick"]:
            untick_pass(stage.panel, given["number"], request.user)
            messages.success(request, f"Pass {given['number']} is open again.")
        else:
            tick_pass(
                stage.panel, given["number"], request.user, given["gathers_made"], sure=form.is_sure
            )  # fmt: skip
            messages.success(request, f"Pass {given['number']} is done.")
    except FarFromPlan as question:
        form.asked = True
        form.add_error("gathers_made", str(question))
        return _pass_refused(request, stage, form)
    except PassRefused as refusal:
        messages.error(request, str(refusal))
        return render_bench(request, stage, status=409)
    return redirect("bench", code)


def _pass_refused(request: HttpRequest, stage: Stage, form: PassForm) -> HttpResponse:
    """The page with what is wrong in the pass's own line; on top where the press names no pass."""
    if form.row is None:
        messages.error(request, "That press names no pass. Load the page again.")
    return render_bench(request, stage, status=422, pass_form=form)


@require_POST
def note_add(request: HttpRequest, code: str) -> HttpResponse:
    """Keep a note."""
    stage, form = stage_or_404(code), NoteForm(request.POST, shop=request.shop)
    if not form.is_valid():
        return render_bench(request, stage, status=422, note_form=form)
    given = form.cleaned_data
    add_note(
        stage, request.user, given["text"], for_other_hand=given["for_other_hand"],
        at=given["pressed_at"], submission=given["submission"],
    )  # fmt: skip
    messages.success(request, "The note is kept.")
    return redirect("bench", code)


@require_POST
def progress_set(request: HttpRequest, code: str) -> HttpResponse:
    """Say how far the stage has got, that it is done, or that it is open again."""
    stage, form = stage_or_404(code), ProgressForm(request.POST, shop=request.shop)
    if not form.is_valid():
        for words in dict.fromkeys(words for errors in form.errors.values() for words in errors):
            messages.error(request, words)
        return render_bench(request, stage, status=422, progress_form=form)
    try:
        messages.success(request, _moved_on(stage, request.user, form.cleaned_data))
    except NotAskedYet as asked:
        question = {"open": asked.open, "sentences": asked.open.sentences(request.user)}
        question["own_clock"] = asked.open.clock_of(request.user)
        return render_bench(request, stage, status=409, question=question)
    except ForgottenClock as forgotten:
        messages.warning(request, str(forgotten))
        return redirect("clock-mend", forgotten.entry.pk)
    except (ProgressRefused, ClockRefused) as refusal:
        messages.error(request, str(refusal))
        return render_bench(request, stage, status=409)
    return redirect("bench", code)


def _moved_on(stage: Stage, person: Person, given: dict) -> str:
    """Set how far a stage has got and say what has happened."""
    if given["reopen"]:
        reopen_stage(stage, person)
        return f"{stage.kind.name} is open again."
    if given["progress"] == WHOLE:
        say_done(stage, person, seen=given["seen"], stop_clock=given["stop_clock"], at=given["pressed_at"])
        return f"{stage.kind.name} is done."
    moved = set_progress(stage, person, given["progress"])
    return f"{stage.kind.name} is {moved.progress:.0%} there."


@require_http_methods(["GET", "HEAD", "POST"])
def photo_add(request: HttpRequest, code: str) -> HttpResponse:
    """Take or pick photos of the stage, and look at those there are."""
    stage = stage_or_404(code)
    posted = request.method == "POST"
    form = PhotoForm(request.POST or None, request.FILES or None, shop=request.shop, request=request)
    if posted and form.is_valid():
        given = form.cleaned_data
        added = add_photos(
            stage.panel.job, given["photos"], person=request.user, stage=stage, subject=given["subject"],
            caption=given["caption"], for_customer=given["for_customer"], submission=given["submission"],
            pressed_at=given["pressed_at"],
        )  # fmt: skip
        messages.success(
            request, "The photo is kept." if len(added) == 1 else f"{len(added)} photos are kept."
        )
        return redirect("bench", code)
    photos = Photo.objects.filter(stage=stage).select_related("taken_by", "panel__job", "stage__kind", "job")[
        :12
    ]
    context = {"stage": stage, "panel": stage.panel, "job": stage.panel.job, "form": form, "photos": photos}
    return render(request, "jobs/bench_photo.html", context, status=422 if posted else 200)
