"""Addresses of quotes, their answers and the past panels."""

from django.urls import path

from shop.views.coming import coming

JOB = "jobs/<str:number>/"
PANEL = "jobs/<str:number>/panels/"

urlpatterns = [
    path("", coming, name="today"),
    path("quotes/", coming, name="quote-list"),
    path(JOB + "quotes/new/", coming, name="quote-new"),
    path(JOB + "quotes/<int:revision>/", coming, name="quote"),
    path(PANEL + "new/", coming, name="panel-new"),
    path(PANEL + "<int:position>/edit/", coming, name="panel-edit"),
    path(JOB + "against/", coming, name="job-against"),
    path(JOB + "close/", coming, name="job-close"),
    path(JOB + "payments/", coming, name="payments"),
    path(JOB + "papers/", coming, name="papers"),
    path(JOB + "work-orders.pdf", coming, name="job-work-orders"),
    path(PANEL + "<int:position>/work-order.pdf", coming, name="work-order"),
    path(PANEL + "<int:position>/pattern.pdf", coming, name="pattern-pdf"),
    path(PANEL + "<int:position>/gauges.pdf", coming, name="gauges-pdf"),
    path(JOB + "progress-link/", coming, name="progress-link"),
    path("for/job/<str:token>/", coming, name="progress"),
    path("past-panels/", coming, name="past-panels"),
    path("past-panels/<int:pk>/", coming, name="past-panel"),
    path("dates/", coming, name="dates"),
]
