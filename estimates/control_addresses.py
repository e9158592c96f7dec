"""Addresses of Today, control, dates, closing, past panels and the customer's progress page."""

from django.urls import path

from estimates.views import against, closing, dates, past_panels, progress, today

JOB = "jobs/<str:number>/"

urlpatterns = [
    path("", today.today, name="today"),
    path("today/aside/", today.aside, name="today-aside"),
    path(JOB + "against/", against.job_against, name="job-against"),
    path(JOB + "close/", closing.job_close, name="job-close"),
    path(JOB + "reopen/", closing.job_reopen, name="job-reopen"),
    path("dates/", dates.dates, name="dates"),
    path(JOB + "promise/", dates.date_promise, name="date-promise"),
    path(JOB + "progress-link/", progress.progress_link, name="progress-link"),
    path("for/job/<str:token>/", progress.progress, name="progress"),
    path("for/job/<str:token>/photos/<int:pk>/", progress.progress_photo, name="progress-photo"),
    path("past-panels/", past_panels.past_panels, name="past-panels"),
    path("past-panels/import/", past_panels.past_panels_import, name="past-panels-import"),
    path("past-panels/export.csv", past_panels.past_panels_csv, name="past-panels-csv"),
    path("past-panels/<int:pk>/", past_panels.past_panel, name="past-panel"),
    path("past-panels/<int:pk>/back/", past_panels.past_panel_back, name="past-panel-back"),
]
