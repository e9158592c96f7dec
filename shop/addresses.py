"""Addresses of the shop's standing data, its people and its door."""

from django.contrib.auth.views import LogoutView
from django.urls import path

from shop.views import door, rates, set_up, standing, stock, trail

urlpatterns = [
    path("sign-in/", door.SignIn.as_view(), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("set-up/", set_up.set_up, name="set-up"),
    path("shop/", standing.settings_page, name="shop-settings"),
    path("shop/people/", standing.people, name="people"),
    path("shop/people/new/", standing.person, name="person-new"),
    path("shop/people/<int:pk>/", standing.person, name="person"),
    path("shop/days-off/", standing.day_off_add, name="day-off-add"),
    path("shop/days-off/<int:pk>/remove/", standing.day_off_remove, name="day-off-remove"),
    path("shop/rates/", rates.rates, name="rates"),
    path("shop/stages/new/", rates.stage_kind, name="stage-kind-new"),
    path("shop/stages/<int:pk>/", rates.stage_kind, name="stage-kind"),
    path("shop/metals/", stock.metals, name="metals"),
    path("shop/metals/new/", stock.metal, name="metal-new"),
    path("shop/metals/<int:pk>/", stock.metal, name="metal"),
    path("shop/trail/", trail.trail, name="audit"),
    path("sheets/new/", stock.sheet_new, name="sheet-new"),
    path("sheets/<int:pk>/", stock.sheet, name="sheet"),
    path("sheets/<int:pk>/arrived/", stock.arrived, name="sheet-arrived"),
]
