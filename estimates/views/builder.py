"""The panel builder: a new panel and a changed one, worked out live while it is typed."""

from django.contrib import messages
from django.forms import BoundField
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_http_methods

from estimates.builder.page import BuilderPage, changed, is_line, opened
from estimates.builder.reckoning import Standing
from estimates.builder.saving import (
    REFUSALS,
    PanelRefused,
    quote_that_holds,
    said_of,
    save_built,
    unread_by_the_quote,
)
from jobs.changes import PanelChanged, refuse_shut
from jobs.forms.panel import PanelForm
from jobs.forms.panel_texts import texts_of
from jobs.models import Job, Panel

SAVE, UNDO = "save", "undo"


@require_http_methods(["GET", "HEAD", "POST"])
def panel_new(request: HttpRequest, number: str) -> HttpResponse:
    """A new panel of a job."""
    job = get_object_or_404(Job.objects.select_related("customer"), number=number)
    return _builder(request, job, None)


@require_http_methods(["GET", "HEAD", "POST"])
def panel_edit(request: HttpRequest, number: str, position: int) -> HttpResponse:
    """Change a panel. The second hand of a pair is changed through the first."""
    rows = Panel.objects.select_related("job__customer", "metal", "mirrored_by")
    panel = get_object_or_404(rows, job__number=number, position=position)
    if panel.mirrors_id:
        first = panel.mirrors
        messages.info(request, f"{panel} mirrors {first.name}: change it here, and both hands follow.")
        return redirect("panel-edit", number, first.position)
    if other := getattr(panel, "mirrored_by", None):
        other.job = panel.job
    return _builder(request, panel.job, panel)


def _builder(request: HttpRequest, job: Job, panel: Panel | None) -> HttpResponse:
    try:
        refuse_shut(job)
    except PanelRefused as refusal:
        messages.error(request, str(refusal))
        return redirect(panel or job)
    standing = Standing.of(request.shop, request.user)
    if request.method != "POST":
        return _whole(request, job, panel, opened(job, panel, standing, request.GET.get("form", "")))
    do = "" if request.htmx else request.POST.get("do", "")
    page = changed(
        request.POST, job, panel, standing, saving=do == SAVE, undo=do == UNDO, edited=_edited(request)
    )  # fmt: skip
    if page is None or (do != SAVE and not request.htmx):
        return _whole(request, job, panel, page)
    if request.htmx:
        return _live(request, page)
    return _save(request, job, panel, page)


def _edited(request: HttpRequest) -> str:
    """The field that is being typed into, where a script told."""
    return (request.htmx.trigger_name or "") if request.htmx else ""


def _save(request: HttpRequest, job: Job, panel: Panel | None, page: BuilderPage) -> HttpResponse:
    if not page.form.is_valid():
        return _whole(request, job, panel, page)
    try:
        made = save_built(page, request.user)
    except PanelChanged as stale:
        return _whole(request, job, panel, _seen_anew(request, job, stale.now, page))
    except REFUSALS as refusal:
        page.form.add_error(None, said_of(refusal, page.standing))
        return _whole(request, job, panel, page)
    said = " and ".join(str(one) for one in made)
    messages.success(request, f"{said} {'is' if len(made) == 1 else 'are'} {'saved' if panel else 'added'}.")
    draft = quote_that_holds(made[0]) if request.user.is_owner else None
    return redirect(made[0] if panel or not draft else draft)


def _seen_anew(request: HttpRequest, job: Job, now: Panel, page: BuilderPage) -> BuilderPage:
    """The page with what was typed, told against the panel as somebody else has left it."""
    fresh = opened(job, now, page.standing)
    typed = request.POST.dict() | {"press": fresh.press.signed()}
    if fresh.now:
        typed |= {"before": fresh.now.signed(), "now": fresh.now.signed()}
    again = changed(typed, job, now, page.standing, saving=True)
    seen, theirs = page.before.texts if page.before else {}, texts_of(now, request.shop)
    differing = [
        name for name in theirs if name in seen and theirs[name] != seen[name] and name in again.form.fields
    ]
    said = "; ".join(f"{again.form[name].label.lower()} is now {theirs[name]}" for name in differing)
    told = f"Somebody changed this panel while you had it open{': ' + said if said else ''}."
    again.form.add_error(None, f"{told} Look at it, then save again.")
    return again


def _whole(request: HttpRequest, job: Job, panel: Panel | None, page: BuilderPage | None) -> HttpResponse:
    context = {"page": page, "job": job, "panel": panel}
    if page:
        context |= {
            "form": page.form,
            "standing": page.standing,
            "mind": unread_by_the_quote(panel) if panel else "",
        }
    wrong = page is not None and request.method == "POST" and bool(page.form.errors)
    return render(request, "estimates/builder.html", context, status=422 if wrong else 200)


def _live(request: HttpRequest, page: BuilderPage) -> HttpResponse:
    """What changed, put in its places: the fields themselves stay, so that nothing typed is lost."""
    form = page.form
    context = {
        "page": page, "form": form, "shop": request.shop, "standing": page.standing, "live": True,
        "other_form": request.POST.get("shown") != form.shape,
        "refilled": [
            form[name].as_widget(attrs={"hx-swap-oob": "true"})
            for name in form.fill
            if form.data.get(name) != request.POST.get(name)
        ],
        "lines": [{"html_name": name, "was": page.was.get(name, "")} for name in form.texts if is_line(form, name)],
        "reworded": _reworded(form, request.POST.get("marked", "").split()),
        "say": str(page.said) != request.POST.get("said", ""),
    }  # fmt: skip
    response = HttpResponse(
        render_to_string("estimates/_builder_live.html", context), status=422 if form.errors else 200
    )
    patch_vary_headers(response, ["HX-Request"])
    return response


def _reworded(form: PanelForm, marked: list[str]) -> list[BoundField]:
    """The fields whose words have changed: wrong now or before, and the thickness, which says how it was read."""
    names = {*form.errors, *marked, "thickness_mm"} & {*form.texts}
    return [
        form[name] for name in names if not form[name].is_hidden and (name != "hand" or len(form[name]) > 1)
    ]
