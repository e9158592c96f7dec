"""What the book keeps of everything that it sends by e-mail."""

from django.conf import settings
from django.db import models


class Sent(models.Model):
    """Something sent to an address: once for a press, which the database holds by its ``submission``."""

    to = models.EmailField()
    at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    submission = models.UUIDField(null=True, unique=True, editable=False)

    class Meta:
        abstract = True
        ordering = ["-at"]
