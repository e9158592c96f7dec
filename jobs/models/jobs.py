"""A job: one customer, one promise, one or more panels."""

import secrets

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from jobs.models.customers import Customer


class Job(models.Model):
    """A job from enquiry to closing.

    ``number`` is the year and a count within it (2026-014); both parts are kept so that the database itself
    refuses to give one number twice. ``unpaid`` is a copy of what a closed job has still to be paid, so that lists
    need not draw up its account; ``estimates.payments`` is its only writer.
    """

    class State(models.TextChoices):
        ENQUIRY = "enquiry", "Enquiry"
        QUOTED = "quoted", "Quoted"
        IN_WORK = "in-work", "In work"
        CLOSED = "closed", "Closed"
        DECLINED = "declined", "Declined"

    year = models.PositiveSmallIntegerField(editable=False)
    count = models.PositiveIntegerField(editable=False)
    number = models.CharField(max_length=12, unique=True, editable=False)
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="jobs")
    title = models.CharField("what it is", max_length=120)
    description = models.TextField(blank=True)
    due_on = models.DateField("wanted by", null=True, blank=True)
    promised_on = models.DateField("promised for", null=True, blank=True)
    state = models.CharField(max_length=8, choices=State, default=State.ENQUIRY)
    time_and_material = models.BooleanField(
        "charged by time and material",
        default=False,
        help_text="The statement lists hours and metal as they were.",
    )
    created_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    created_at = models.DateTimeField(auto_now_add=True)
    accepted_at = models.DateTimeField(null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    unpaid = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True, editable=False)
    submission = models.UUIDField(null=True, unique=True, editable=False)

    class Meta:
        ordering = ["-year", "-count"]
        constraints = [
            models.UniqueConstraint(fields=["year", "count"], name="job_number_given_once"),
            models.CheckConstraint(
                condition=Q(state="closed", closed_at__isnull=False)
                | (~Q(state="closed") & Q(closed_at=None)),
                name="job_closed_has_its_time",
            ),
            models.CheckConstraint(
                condition=Q(state="closed") | Q(unpaid=None), name="job_unpaid_only_once_closed"
            ),
        ]
        indexes = [models.Index(fields=["state", "due_on"]), models.Index(fields=["customer", "state"])]

    def __str__(self):
        return f"{self.number} {self.title}"

    def get_absolute_url(self):
        return reverse("job", args=[self.number])

    @property
    def deadline(self):
        """The date that counts: the promise, or the wish until there is one."""
        return self.promised_on or self.due_on


def new_token() -> str:
    """A link that cannot be guessed: 256 random bits."""
    return secrets.token_urlsafe(32)


class ProgressLink(models.Model):
    """The customer's private page of one job. Withdrawing it stops the old address for good."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="progress_links")
    token = models.CharField(max_length=64, unique=True, default=new_token, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-created_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["job"], condition=Q(withdrawn_at=None), name="one_progress_link_a_job"
            ),
        ]

    def __str__(self):
        return f"Progress page of {self.job}"

    def get_absolute_url(self):
        return reverse("progress", args=[self.token])
