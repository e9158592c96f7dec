"""Addresses. Each room keeps its own; this file only joins them."""

from django.urls import include, path

urlpatterns = [
    path("", include("estimates.urls")),
    path("", include("jobs.urls")),
    path("", include("shop.addresses")),
]

handler403 = "shop.views.door.not_allowed"
handler404 = "shop.views.door.not_found"
