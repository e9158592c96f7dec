"""The page of a job's papers, the set made while somebody watches, labels, and gauges typed in."""

from collections.abc import Iterator
from zoneinfo import ZoneInfo

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from estimates.forms.paper import GaugeForm, LabelsForm
from estimates.paper.facts import labels as label_facts
from estimates.paper.facts.imprint import imprint_of
from estimates.paper.facts.panels import job_with_customer, short_address
from estimates.paper.gauges import gauge_papers
from estimates.paper.labels import SHEETS, LabelsPaper, LabelTestPaper
from estimates.paper.listing import papers_page
from estimates.paper.pattern import Pattern
from estimates.paper.sets import Finished, make_set, open_set
from estimates.views.paper import pdf_response
from jobs.drawings.gauge import crown_gauge, radius_gauge
from jobs.models import Job
from shop.lengths import format_length
from shop.models import SheetStock

HERE = "<!-- the parts -->"


@require_safe
def papers(request: HttpRequest, number: str) -> HttpResponse:
    job = job_with_customer(number)
    return render(request, "estimates/papers.html", papers_page(job, request.user, request.shop))


# The whole set


@require_POST
def papers_set(request: HttpRequest, number: str) -> StreamingHttpResponse:
    """Make the set and send the page as it goes: a line for each part that is done, the link at the end."""
    job = job_with_customer(number)
    page = render_to_string("estimates/papers_set.html", {"job": job, "here": HERE}, request)
    response = StreamingHttpResponse(_lines(request, job, page))
    response.headers["Cache-Control"] = "private, no-store"
    response.headers["X-Accel-Buffering"] = "no"  # a proxy in front must not hold the lines back
    return response


def _lines(request: HttpRequest, job: Job, page: str) -> Iterator[str]:
    before, after = page.split(HERE)
    yield before
    # The response is sent after the middleware has put the clock back to UTC.
    with timezone.override(ZoneInfo(request.shop.time_zone)):
        for step in make_set(job, request.shop, short_address(request)):
            done = isinstance(step, Finished)
            yield render_to_string(
                "estimates/_papers_set_step.html", {"step": step, "done": done, "job": job}
            )
    yield after


@require_safe
def papers_set_file(request: HttpRequest, number: str, name: str) -> FileResponse:
    """The set that was made."""
    job = job_with_customer(number)
    try:
        file = open_set(job, name)
    except FileNotFoundError as error:
        raise Http404("That set is not there any more. Make it again.") from error
    return FileResponse(file, content_type="application/pdf", filename=f"work-orders-{slugify(number)}.pdf")


# Labels


@require_safe
def labels(request: HttpRequest) -> HttpResponse:
    """Choose labels; with ``print`` in the address, the labels, and with ``test`` the sheet's outlines."""
    job = job_with_customer(request.GET["job"]) if request.GET.get("job") else None
    wanted = {"print", "test"} & request.GET.keys()
    form = LabelsForm(request.GET if wanted else None, shop=request.shop, has_job=job is not None)
    if wanted and form.is_valid():
        return _labels(request, job, form.cleaned_data, test="test" in wanted)
    status = 422 if wanted else 200
    return render(request, "estimates/papers_labels.html", {"form": form, "job": job}, status=status)


def _labels(request: HttpRequest, job: Job | None, chosen: dict, *, test: bool) -> HttpResponse:
    imprint, sheet, address = imprint_of(request.shop), SHEETS[chosen["sheet"]], short_address(request)
    if test:
        return pdf_response(
            [LabelTestPaper(imprint, sheet, ())], imprint, "Outlines of labels", "label-outlines"
        )
    if chosen["what"] == "sheets":
        on_hand = SheetStock.objects.exclude(state=SheetStock.State.USED)
        made = label_facts.sheet_labels(on_hand, request.shop, address)
    else:
        make = {"panels": label_facts.panel_labels, "stages": label_facts.stage_labels}[chosen["what"]]
        made = make(job, request.shop, address)
    if not made:
        form = LabelsForm(request.GET, shop=request.shop, has_job=job is not None)
        form.add_error("what", "There are none of these yet.")
        return render(request, "estimates/papers_labels.html", {"form": form, "job": job}, status=422)
    paper = LabelsPaper(imprint, sheet, made, chosen["skip"] or 0)
    name = f"labels-{job.number if job else 'sheets'}-{chosen['what']}"
    return pdf_response([paper], imprint, f"Labels for {chosen['what']}", name)


# Gauges typed in


@require_safe
def gauge(request: HttpRequest) -> HttpResponse:
    """A radius gauge or a crown sweep from what is typed."""
    form = GaugeForm(request.GET or None, shop=request.shop)
    if form.is_bound and form.is_valid():
        try:
            return _gauge(request, form.cleaned_data)
        except ValueError as refusal:
            form.add_error(None, str(refusal))
    return render(
        request, "estimates/papers_gauge.html", {"form": form}, status=422 if form.is_bound else 200
    )


def _gauge(request: HttpRequest, given: dict) -> HttpResponse:
    def write(length_mm: float) -> str:
        return format_length(length_mm, request.shop.units)

    if given["radius"]:
        scene = radius_gauge(given["radius"], given["chord"], write_length=write)
    else:
        scene = crown_gauge(given["chord"], given["height"], write_length=write)
    imprint = imprint_of(request.shop)
    head = Pattern(scene.title, "", "", scene.description, scene, scene.title)
    return pdf_response(list(gauge_papers(imprint, head, [scene])), imprint, scene.title, scene.title)
