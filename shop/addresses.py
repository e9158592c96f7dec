"""Addresses of the shop's standing data, its people and its door."""

from django.contrib.auth.views import LogoutView
from django.urls import path

from shop.views import door
from shop.views.coming import coming

urlpatterns = [
    path("sign-in/", door.SignIn.as_view(), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("shop/", coming, name="shop-settings"),
    path("sheets/", coming, name="sheet-list"),
    path("sheets/<int:pk>/", coming, name="sheet"),
    path("find/", coming, name="search"),
]
