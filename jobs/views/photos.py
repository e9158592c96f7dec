"""Pages of photographs, and the photographs themselves, which nobody sees without signing in."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs.forms.photo import PhotoForm, PhotoWordsForm
from jobs.models import Job, Photo
from jobs.photos import add_photos, change_photo, open_photo, remove_photo
from shop.roles import owner_only

PHOTOS_A_PAGE = 40
# A photo never changes once it is kept, so a browser may hold on to it; a shared cache may not.
CACHE = "private, max-age=31536000, immutable"


def photo_response(photo: Photo, *, thumbnail: bool = False) -> FileResponse:
    """Send a photo from wherever photos are stored; whoever calls has decided who may see it."""
    try:
        file = open_photo(photo, thumbnail=thumbnail)
    except FileNotFoundError as lost:
        raise Http404("The file of this photo is not where photos are kept.") from lost
    name = f"{photo.job.number}-{photo.pk}{'-small' if thumbnail else ''}.jpg"
    response = FileResponse(file, content_type="image/jpeg", filename=name)
    response.headers["Cache-Control"] = CACHE
    response.headers["X-Content-Type-Options"] = "nosniff"
    return response


def _photo(pk: int) -> Photo:
    related = "job__customer", "panel__job", "stage__kind", "taken_by"
    return get_object_or_404(Photo.objects.select_related(*related), pk=pk)


@require_safe
def photo_file(request: HttpRequest, pk: int) -> FileResponse:
    return photo_response(_photo(pk))


@require_safe
def photo_thumbnail(request: HttpRequest, pk: int) -> FileResponse:
    return photo_response(_photo(pk), thumbnail=True)


@require_http_methods(["GET", "HEAD", "POST"])
def photo(request: HttpRequest, pk: int) -> HttpResponse:
    """One photo, large, with what is said of it."""
    shown = _photo(pk)
    form = PhotoWordsForm(request.POST or None, instance=_photo(pk), shop=request.shop)
    if request.method == "POST" and form.is_valid():
        words = {name: form.cleaned_data[name] for name in form.Meta.fields}
        change_photo(shown, request.user, **words)
        messages.success(request, "Saved.")
        return redirect("photo", pk)
    status = 422 if request.method == "POST" else 200
    return render(request, "jobs/photo.html", {"photo": shown, "job": shown.job, "form": form}, status=status)


@require_POST
@owner_only
def photo_remove(request: HttpRequest, pk: int) -> HttpResponse:
    shown = _photo(pk)
    remove_photo(shown, request.user)
    messages.success(request, "The photo is removed.")
    return redirect("job-photos", shown.job.number)


@require_http_methods(["GET", "HEAD", "POST"])
def job_photos(request: HttpRequest, number: str) -> HttpResponse:
    """All photos of a job, newest first, and a form to add some."""
    job = get_object_or_404(Job.objects.select_related("customer"), number=number)
    posted = request.method == "POST"
    form = PhotoForm(request.POST or None, request.FILES or None, shop=request.shop, request=request)
    if posted and form.is_valid():
        added = add_photos(job, form.cleaned_data.pop("photos"), person=request.user, **form.cleaned_data)
        messages.success(request, "Photo added." if len(added) == 1 else f"{len(added)} photos added.")
        return redirect("job-photos", number)
    photos = job.photos.select_related("panel__job", "stage__kind", "taken_by")
    page = Paginator(photos, PHOTOS_A_PAGE).get_page(request.GET.get("page"))
    context = {"job": job, "form": form, "page": page}
    return render(request, "jobs/photos.html", context, status=422 if posted else 200)
