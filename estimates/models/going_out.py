"""What lets others look into the book from outside: the calendar's private address, and links sent by e-mail."""

from django.conf import settings
from django.db import models

from estimates.models.sent import Sent
from jobs.models import Job, ProgressLink
from jobs.models.jobs import new_token


class CalendarLink(models.Model):
    """A private address of the shop's dates, for a calendar to fetch. Withdrawing it stops it for good."""

    token = models.CharField(max_length=64, unique=True, default=new_token, editable=False)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-made_at"]

    def __str__(self):
        return "Calendar of the shop"


class ProgressSent(Sent):
    """The link of a customer's progress page."""

    link = models.ForeignKey(ProgressLink, on_delete=models.CASCADE, related_name="sent")

    class Meta(Sent.Meta):
        verbose_name_plural = "progress links sent"

    def __str__(self):
        return f"{self.link} to {self.to}"


class StatementSent(Sent):
    """A job's statement. ``to_pay`` is what stood open on it."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="statements_sent")
    to_pay = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta(Sent.Meta):
        verbose_name_plural = "statements sent"

    def __str__(self):
        return f"Statement of {self.job} to {self.to}"
