"""A job against its estimate."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from estimates.work.against import against
from jobs.models import Job


@require_safe
def job_against(request: HttpRequest, number: str) -> HttpResponse:
    """Hours for everyone; money for the owner."""
    job = get_object_or_404(Job.objects.select_related("customer"), number=number)
    shown = against(job, request.user, request.shop)
    return render(request, "estimates/against.html", {"job": job, "shown": shown})
