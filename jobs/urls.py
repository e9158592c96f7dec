"""Addresses of jobs, panels and the bench."""

urlpatterns = []
