"""Closing a job, and opening it again."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from estimates.closing import CloseRefused, close_job, closing_of, reopen_job
from estimates.forms.closing import CLOSE_FORM, teaching_forms
from jobs.models import Job
from shop.roles import owner_only

PREFIX = "why-"
MOST_DIGITS = 18


def _job(number: str) -> Job:
    return get_object_or_404(Job.objects.select_related("customer"), number=number)


@require_http_methods(["GET", "HEAD", "POST"])
@owner_only
def job_close(request: HttpRequest, number: str) -> HttpResponse:
    """What closing comes to, and closing; once it is closed, what came of it."""
    if request.method == "POST":
        return _close(request, _job(number))
    return _page(request, _job(number))


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


def _close(request: HttpRequest, job: Job) -> HttpResponse:
    typed = _explained(request.POST)
    answers = teaching_forms(job.panels.values_list("pk", flat=True), request.shop, request.POST)
    said = {pk: verdict for pk, form in answers.items() if (verdict := form.verdict())}
    try:
        close_job(job, request.user, typed, said)
    except CloseRefused as error:
        for pk, text in error.panels.items():
            answers[pk].refuse(text)
        return _page(request, job, refused=error, typed=typed, answers=answers)
    messages.success(request, f"Job {job.number} is closed, and its panels are among the past ones.")
    return redirect("job-close", job.number)


def _page(request: HttpRequest, job: Job, *, refused=None, typed=None, answers=None) -> HttpResponse:
    closing = closing_of(job, request.shop)
    asked = {question.panel.pk: question for question in closing.lessons.questions}
    was = {pk: question.was for pk, question in asked.items()}
    context = {
        "job": job, "closing": closing, "refused": refused, "typed": typed or {}, "asked": asked,
        "answers": answers or teaching_forms(asked, request.shop, was=was), "close_form": CLOSE_FORM,
    }  # fmt: skip
    name = "closed" if job.state == Job.State.CLOSED else "close"
    return render(request, f"estimates/{name}.html", context, status=422 if refused else 200)


def _explained(posted: QueryDict) -> dict[int, str]:
    """Why stages were left, by a stage's key, as typed."""
    named = {name.removeprefix(PREFIX): words for name, words in posted.items() if name.startswith(PREFIX)}
    return {
        int(key): words[:500] for key, words in named.items() if key.isdecimal() and len(key) <= MOST_DIGITS
    }
