"""Needs that somebody has put aside for a day."""

from django.conf import settings
from django.db import models
from django.db.models import Q


class PutAside(models.Model):
    """One need that a person does not want to see again on a day. ``key`` names it, such as ``over:12``.

    The need itself is worked out afresh each time; tomorrow it is back unless it has been seen to.
    """

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    on = models.DateField()
    key = models.CharField(max_length=60)

    class Meta:
        ordering = ["person", "on", "key"]
        verbose_name_plural = "needs put aside"
        constraints = [
            models.UniqueConstraint(fields=["person", "on", "key"], name="put_aside_once_a_day"),
            models.CheckConstraint(condition=~Q(key=""), name="put_aside_has_a_key"),
        ]

    def __str__(self):
        return f"{self.person} put {self.key} aside on {self.on}"
