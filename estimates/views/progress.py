"""The customer's progress page and its photos, and the link to it."""

from functools import wraps

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_POST, require_safe

from estimates.progress.link import LinkRefused, make_link, renew_link, withdraw_link
from estimates.progress.page import progress_page
from jobs.models import Job, Photo, ProgressLink
from jobs.views.photos import photo_response

GONE = 410
ACTIONS = {"make": make_link, "renew": renew_link, "withdraw": withdraw_link}
DONE = {
    "make": "The customer’s page is there. Send them its address.",
    "renew": "The page has a new address; the old one has stopped.",
    "withdraw": "The customer’s page is withdrawn; its address has stopped.",
}


def customers_page(view):
    """Open to whoever has the link while it holds; kept out of every index and cache."""

    @login_not_required
    @require_safe
    @wraps(view)
    def private(request, token, *args, **kwargs):
        link = ProgressLink.objects.select_related("job__customer").filter(token=token).first()
        if link is None:
            raise Http404
        is_open = link.withdrawn_at is None and link.expires_at > timezone.now()
        response = view(request, link, *args, **kwargs) if is_open else _shut(request, link)
        response.headers["X-Robots-Tag"] = "noindex, nofollow"
        response.headers.pop("Cache-Control", None)
        patch_cache_control(response, no_store=True, private=True)
        return response

    return private


def _shut(request: HttpRequest, link: ProgressLink) -> HttpResponse:
    """Say that the page has stopped, and nothing of the job."""
    context = {"withdrawn": link.withdrawn_at is not None}
    return render(request, "estimates/progress_shut.html", context, status=GONE)


@customers_page
def progress(request: HttpRequest, link: ProgressLink) -> HttpResponse:
    """The customer's page of one job."""
    shown = progress_page(link.job, request.shop)
    return render(request, "estimates/progress.html", {"shown": shown, "job": link.job, "token": link.token})


@customers_page
def progress_photo(request: HttpRequest, link: ProgressLink, pk: int) -> FileResponse:
    """A photo of this job that is meant for its customer; any other does not exist here."""
    photos = Photo.objects.filter(job=link.job_id, for_customer=True).select_related("job")
    return photo_response(get_object_or_404(photos, pk=pk), thumbnail="small" in request.GET)


@require_POST
def progress_link(request: HttpRequest, number: str) -> HttpResponse:
    """Make, renew or withdraw the link of a job."""
    job = get_object_or_404(Job, number=number)
    what = request.POST.get("what", "make")
    if what not in ACTIONS:
        raise Http404
    try:
        ACTIONS[what](job, request.user)
    except LinkRefused as error:
        messages.error(request, str(error))
    else:
        messages.success(request, DONE[what])
    return redirect(f"{job.get_absolute_url()}#customers-page")
