"""Addresses of quotes, their answers and the past panels."""

urlpatterns = []
