"""Who changed what, and when."""

from django.conf import settings
from django.db import models


class AuditEntry(models.Model):
    """One thing that happened. Rows are only ever added; see ``shop.audit.record``."""

    at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL)
    who = models.CharField(max_length=80, help_text="The name at the time, or the customer's typed name.")
    what = models.CharField(max_length=80, help_text="A verb and its object: sent quote, corrected hours.")
    model = models.CharField(max_length=60)
    object_id = models.CharField(max_length=40)
    thing = models.CharField(max_length=160)
    job_number = models.CharField(max_length=12, blank=True)
    changes = models.JSONField(default=dict)

    class Meta:
        ordering = ["-at", "-id"]
        verbose_name_plural = "audit entries"
        indexes = [
            models.Index(fields=["model", "object_id"]),
            models.Index(fields=["job_number", "-at"]),
            models.Index(fields=["-at"]),
        ]

    def __str__(self):
        return f"{self.who} {self.what}: {self.thing}"
