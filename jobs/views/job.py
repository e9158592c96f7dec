"""One job: its page, and changing its facts."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from jobs.forms.job import JobForm
from jobs.job_facts import change_job, job_facts
from jobs.models import Job


def _job(number: str) -> Job:
    return get_object_or_404(Job.objects.select_related("customer", "created_by"), number=number)


@require_safe
def job(request: HttpRequest, number: str) -> HttpResponse:
    shown = _job(number)
    facts = job_facts(shown, request.user)
    return render(request, "jobs/job.html", {"job": shown, "facts": facts, "next": facts.next_action})


@require_http_methods(["GET", "HEAD", "POST"])
def job_edit(request: HttpRequest, number: str) -> HttpResponse:
    form = JobForm(request.POST or None, instance=_job(number), shop=request.shop, person=request.user)
    if form.is_valid():
        change_job(form.save(commit=False), request.user, [name for name in form.fields if name != "seen"])
        messages.success(request, "Saved.")
        return redirect("job", number)
    context = {"form": form, "job": _job(number)}
    return render(request, "jobs/job_edit.html", context, status=422 if form.is_bound else 200)
