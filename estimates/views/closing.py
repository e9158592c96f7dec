"""Closing a job, and opening it again."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from estimates.closing import CloseRefused, close_job, closing_of, reopen_job
from jobs.models import Job
from shop.roles import owner_only

PREFIX = "why-"


def _job(number: str) -> Job:
    return get_object_or_404(Job.objects.select_related("customer"), number=number)


@require_http_methods(["GET", "HEAD", "POST"])
@owner_only
def job_close(request: HttpRequest, number: str) -> HttpResponse:
    """What closing comes to, and closing."""
    job, refused = _job(number), None
    typed = {
        int(name.removeprefix(PREFIX)): words[:500]
        for name, words in request.POST.items()
        if name.startswith(PREFIX) and name.removeprefix(PREFIX).isdecimal()
    }
    if request.method == "POST":
        try:
            close_job(job, request.user, typed)
        except CloseRefused as error:
            refused = error
        else:
            messages.success(request, f"Job {number} is closed, and its panels are among the past ones.")
            return redirect("job-close", number)
    context = {"job": job, "closing": closing_of(job, request.shop), "refused": refused, "typed": typed}
    return render(request, "estimates/close.html", context, status=422 if refused else 200)


@require_POST
@owner_only
def job_reopen(request: HttpRequest, number: str) -> HttpResponse:
    """Open a closed job again."""
    try:
        reopen_job(_job(number), request.user)
    except CloseRefused as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"Job {number} is open again.")
    return redirect("job", number)
