"""Addresses of papers, of what goes out of the book, and of the calendar."""

from django.urls import path

from estimates.views import exports, paper, papers, progress_mail, statement_mail

JOB = "jobs/<str:number>/"
PANEL = "jobs/<str:number>/panels/<int:position>/"

urlpatterns = [
    path(JOB + "papers/", papers.papers, name="papers"),
    path(JOB + "papers/set/", papers.papers_set, name="papers-set"),
    path(JOB + "papers/set/<str:name>.pdf", papers.papers_set_file, name="papers-set-file"),
    path(JOB + "work-orders.pdf", paper.job_work_orders, name="job-work-orders"),
    path(JOB + "statement.pdf", paper.statement, name="statement-pdf"),
    path(JOB + "statement/e-mail/", statement_mail.statement_email, name="statement-email"),
    path(JOB + "closing-shop.pdf", paper.closing, {"copy": "shop"}, name="closing-pdf"),
    path(JOB + "closing-customer.pdf", paper.closing, {"copy": "customer"}, name="closing-customer-pdf"),
    path(JOB + "quotes/<int:revision>/pdf/", paper.quote, name="quote-pdf"),
    path(PANEL + "work-order.pdf", paper.work_order, name="work-order"),
    path(PANEL + "pattern.pdf", paper.pattern, name="pattern-pdf"),
    path(PANEL + "gauges.pdf", paper.gauges, name="gauges-pdf"),
    path("for/<str:token>/pdf/", paper.offer, name="offer-pdf"),
    path(JOB + "progress-link/e-mail/", progress_mail.progress_email, name="progress-email"),
    path("labels/", papers.labels, name="labels"),
    path("gauges/", papers.gauge, name="paper-gauge"),
    path("exports/", exports.exports, name="exports"),
    path("exports/shop.zip", exports.export_archive, name="export-archive"),
    path("exports/<str:key>.csv", exports.export_csv, name="export-csv"),
    path("calendar/", exports.calendar_link, name="calendar-link"),
    path("calendar/<str:token>.ics", exports.calendar, name="calendar"),
]
