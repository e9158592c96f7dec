"""Addresses of the bench and the words on its pages, for the tests of them."""

from django.urls import reverse


def url(name, stage):
    return reverse(name, args=[stage.code])


def text(page):
    return " ".join(page.content.decode().split())
