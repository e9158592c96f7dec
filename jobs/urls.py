"""Addresses of jobs, panels and the bench."""

from django.urls import path

from jobs.views import photos, sheets

urlpatterns = [
    path("sheets/", sheets.sheet_list, name="sheet-list"),
    path("jobs/<str:number>/photos/", photos.job_photos, name="job-photos"),
    path("photos/<int:pk>/", photos.photo, name="photo"),
    path("photos/<int:pk>/file/", photos.photo_file, name="photo-file"),
    path("photos/<int:pk>/thumbnail/", photos.photo_thumbnail, name="photo-thumbnail"),
    path("photos/<int:pk>/remove/", photos.photo_remove, name="photo-remove"),
]
