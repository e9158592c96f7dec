"""One panel: its page, how it was figured, its other hand, its drawings as files, and removing it."""

from functools import partial

from django.contrib import messages
from django.db import IntegrityError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from jobs.forming import ImpossibleShape, Work
from jobs.models import Job, Panel
from jobs.panel_facts import panel_page
from jobs.panel_figures import figured
from jobs.panels import add_mirrored_hand
from jobs.readings import plan_of
from jobs.removal import PanelStays, remove_panel
from shop.gauges import sold_as
from shop.lengths import format_length
from shop.models import Shop
from shop.roles import owner_only


def _panel(number: str, position: int) -> Panel:
    rows = Panel.objects.select_related("job__customer", "metal", "mirrors__job", "mirrored_by__job")
    return get_object_or_404(rows, job__number=number, position=position)


@require_safe
def panel(request: HttpRequest, number: str, position: int) -> HttpResponse:
    shown = _panel(number, position)
    context = {"panel": shown, "job": shown.job, "page": panel_page(shown, request.shop)}
    return render(request, "jobs/panel.html", context)


@require_safe
def panel_figured(request: HttpRequest, number: str, position: int) -> HttpResponse:
    """Where each number comes from, with its formula and the panel's own figures in it."""
    shown = _panel(number, position)
    context = {"panel": shown, "job": shown.job}
    try:
        context["figured"] = figured(shown, request.shop)
    except ImpossibleShape as impossible:
        context["refusal"] = impossible.say(partial(format_length, units=request.shop.units))
    return render(request, "jobs/panel_figured.html", context)


@require_POST
def panel_mirror(request: HttpRequest, number: str, position: int) -> HttpResponse:
    """Add the other hand, or go to it where a first press has made it."""
    first = _panel(number, position)
    if first.job.state in {Job.State.CLOSED, Job.State.DECLINED}:
        messages.error(
            request, f"The job is {first.job.get_state_display().lower()}: nothing is added to it."
        )
        return redirect(first)
    try:
        other = add_mirrored_hand(first, request.user)
    except (ValueError, IntegrityError):
        pair = _panel(number, position)
        return redirect(getattr(pair, "mirrored_by", None) or pair.mirrors or pair)
    messages.success(
        request, f"{other} is added: the mirror of {first}. A quote that holds it brings it to the bench."
    )
    return redirect(other)


@require_POST
@owner_only
def panel_remove(request: HttpRequest, number: str, position: int) -> HttpResponse:
    gone = _panel(number, position)
    try:
        remove_panel(gone, request.user)
    except PanelStays as refusal:
        messages.error(request, f"{gone} stays. {refusal}")
        return redirect(gone)
    messages.success(request, f"{gone} is removed.")
    return redirect("job", number)


@require_safe
def panel_svg(request: HttpRequest, number: str, position: int) -> HttpResponse:
    """The full-size pattern as SVG, a millimetre to a millimetre."""
    from jobs.drawings.files import svg_text

    shown, work = _worked(number, position)
    write = partial(format_length, units=request.shop.units)
    text = svg_text(work, mirrored=shown.is_mirrored, write_length=write, words=_words(shown, request.shop))
    return _file(shown, text, "image/svg+xml", "svg")


@require_safe
def panel_dxf(request: HttpRequest, number: str, position: int) -> HttpResponse:
    """The flat pattern as DXF, in millimetres."""
    from jobs.drawings.files import dxf_bytes

    shown, work = _worked(number, position)
    return _file(shown, dxf_bytes(work, mirrored=shown.is_mirrored), "image/vnd.dxf", "dxf")


def _worked(number: str, position: int) -> tuple[Panel, Work]:
    shown = _panel(number, position)
    try:
        return shown, plan_of(shown)[0]
    except ImpossibleShape as impossible:
        raise Http404(f"This panel cannot be made as it stands: {impossible}") from impossible


def _words(panel: Panel, shop: Shop) -> list[str]:
    metal = f"{panel.metal} {sold_as(panel.thickness_mm, panel.metal.family, shop.units)}"
    return [str(panel), f"{panel.hand_word} hand", metal] if panel.hand_word else [str(panel), metal]


def _file(panel: Panel, content: str | bytes, content_type: str, ending: str) -> HttpResponse:
    name = f"{slugify(panel.mark)}-{slugify(panel.name) or 'panel'}.{ending}"
    return HttpResponse(
        content, content_type=content_type, headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )
