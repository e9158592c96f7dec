"""The list of jobs."""

from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from jobs.listing import choices, job_rows, jobs_listed, known_state
from jobs.search import tidy
from shop.pages import render_page

JOBS_A_PAGE = 25


@require_safe
def job_list(request: HttpRequest) -> HttpResponse:
    """Jobs of a state, by deadline, with their panels and hours."""
    state, text = known_state(request.GET.get("state", "")), tidy(request.GET.get("q", ""))
    page = Paginator(jobs_listed(state, text), JOBS_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "choices": choices(),
        "state": state,
        "text": text,
        "page": page,
        "rows": job_rows(page.object_list),
        "query": urlencode({"state": state, **({"q": text} if text else {})}),
    }
    return render_page(request, "jobs/job_list.html", "jobs/_job_rows.html", context)
