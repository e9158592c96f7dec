"""Addresses of jobs, panels and the bench."""

from django.urls import path

from jobs.views import (
    bench,
    clock,
    customers,
    enquiry,
    hours,
    job,
    job_list,
    material,
    panel,
    photos,
    readings,
    search,
    sheets,
)

PANEL = "jobs/<str:number>/panels/<int:position>/"

urlpatterns = [
    path("jobs/", job_list.job_list, name="job-list"),
    path("jobs/new/", enquiry.job_new, name="job-new"),
    path("jobs/<str:number>/", job.job, name="job"),
    path("jobs/<str:number>/edit/", job.job_edit, name="job-edit"),
    path(PANEL, panel.panel, name="panel"),
    path(PANEL + "figured/", panel.panel_figured, name="panel-figured"),
    path(PANEL + "mirror/", panel.panel_mirror, name="panel-mirror"),
    path(PANEL + "remove/", panel.panel_remove, name="panel-remove"),
    path(PANEL + "drawing.svg", panel.panel_svg, name="panel-svg"),
    path(PANEL + "pattern.dxf", panel.panel_dxf, name="panel-dxf"),
    path("customers/", customers.customer_list, name="customer-list"),
    path("customers/new/", customers.customer_edit, name="customer-new"),
    path("customers/names/", customers.customer_names, name="customer-names"),
    path("customers/<int:pk>/", customers.customer, name="customer"),
    path("customers/<int:pk>/edit/", customers.customer_edit, name="customer-edit"),
    path("search/", search.search, name="search"),
    path("c/<str:code>/", search.code, name="code"),
    path("sheets/", sheets.sheet_list, name="sheet-list"),
    path("jobs/<str:number>/photos/", photos.job_photos, name="job-photos"),
    path("photos/<int:pk>/", photos.photo, name="photo"),
    path("photos/<int:pk>/file/", photos.photo_file, name="photo-file"),
    path("photos/<int:pk>/thumbnail/", photos.photo_thumbnail, name="photo-thumbnail"),
    path("photos/<int:pk>/remove/", photos.photo_remove, name="photo-remove"),
    path("bench/<str:code>/", bench.bench, name="bench"),
    path("bench/<str:code>/clock/", clock.clock, name="clock"),
    path("bench/<str:code>/hours/", hours.hours_add, name="hours-add"),
    path("bench/<str:code>/material/", material.material_add, name="material-add"),
    path("bench/<str:code>/material/<int:pk>/back/", material.material_take_back, name="material-take-back"),
    path("bench/<str:code>/photo/", bench.photo_add, name="photo-add"),
    path("bench/<str:code>/reading/", readings.reading_add, name="reading-add"),
    path(
        "bench/<str:code>/reading/<int:pk>/take-back/", readings.reading_take_back, name="reading-take-back"
    ),
    path("bench/<str:code>/pass/", bench.pass_tick, name="pass-tick"),
    path("bench/<str:code>/note/", bench.note_add, name="note-add"),
    path("bench/<str:code>/progress/", bench.progress_set, name="progress-set"),
    path("hours/<int:pk>/correct/", hours.hours_correct, name="hours-correct"),
    path("hours/<int:pk>/stopped/", hours.clock_mend, name="clock-mend"),
    path("my-hours/", hours.hours_list, name="hours-list"),
]
