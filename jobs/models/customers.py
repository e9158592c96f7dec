"""Who the shop works for."""

from django.db import models
from django.urls import reverse


class Customer(models.Model):
    """A customer and how to reach them."""

    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True)
    note = models.TextField(blank=True, help_text="For the shop only; never printed.")
    created_at = models.DateTimeField(auto_now_add=True)
    submission = models.UUIDField(null=True, unique=True, editable=False)

    class Meta:
        ordering = ["name"]
        indexes = [models.Index(fields=["name"])]

    def __str__(self):
        return self.name

    def get_absolute_url(self):
        return reverse("customer", args=[self.pk])
