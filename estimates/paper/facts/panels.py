"""The panels that papers are about, and the short addresses on their codes."""

from collections.abc import Callable

from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from jobs.forming import ImpossibleShape, Work
from jobs.models import Job, Panel
from jobs.readings import plan_of
from shop.outside import address_for


def short_address(request: HttpRequest) -> Callable[[str], str]:
    """Return what turns a label's code into the whole address that opens its page on a phone."""
    return lambda code: address_for(request, reverse("code", args=[code]))


def job_with_customer(number: str) -> Job:
    """The job of a number, or a page that says there is none."""
    return get_object_or_404(Job.objects.select_related("customer"), number=number)


def panel_at(number: str, position: int) -> Panel:
    """One panel of a job, or a page that says there is none."""
    rows = Panel.objects.select_related("job__customer", "metal", "mirrors__job", "mirrored_by__job")
    return get_object_or_404(rows, job__number=number, position=position)


def plan_or_404(panel: Panel) -> Work:
    """The panel's plan; where its shape cannot be made there is nothing to print."""
    try:
        return plan_of(panel)[0]
    except ImpossibleShape as impossible:
        raise Http404(f"This panel cannot be made as it stands: {impossible}") from impossible
