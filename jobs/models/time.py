"""Hours at the bench: one running clock a person, and corrections that keep what was there before."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from jobs.models.stages import Stage


class TimeEntry(models.Model):
    """Hours of one person on one stage.

    While the clock runs, ``ended_at`` and ``hours`` are empty. ``hours`` is what counts afterwards: from the
    clock, or typed by hand for a day (then ``started_at`` is that day's noon in the shop).
    """

    class Source(models.TextChoices):
        CLOCK = "clock", "Clock"
        HAND = "hand", "Entered by hand"

    stage = models.ForeignKey(Stage, on_delete=models.CASCADE, related_name="time_entries")
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="time_entries"
    )
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    hours = models.DecimalField(
        max_digits=6, decimal_places=3, null=True, blank=True,
        validators=[MinValueValidator(Decimal("0")), MaxValueValidator(Decimal("24"))],
    )  # fmt: skip
    source = models.CharField(max_length=5, choices=Source, default=Source.CLOCK)
    note = models.CharField(max_length=200, blank=True)
    submission = models.UUIDField(null=True, unique=True, editable=False)

    class Meta:
        ordering = ["-started_at", "-id"]
        verbose_name_plural = "time entries"
        constraints = [
            models.UniqueConstraint(
                fields=["person"], condition=Q(ended_at=None), name="one_running_clock_a_person"
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None, hours=None)
                | Q(ended_at__gte=F("started_at"), hours__isnull=False),
                name="time_entry_ends_after_it_starts",
            ),
            models.CheckConstraint(
                condition=Q(hours=None) | Q(hours__gte=0, hours__lte=24), name="time_entry_within_a_day"
            ),
        ]
        indexes = [models.Index(fields=["person", "-started_at"]), models.Index(fields=["-started_at"])]

    def __str__(self):
        return f"{self.person}, {self.stage}: {'running' if self.hours is None else self.hours}"

    @property
    def is_running(self) -> bool:
        return self.ended_at is None


class TimeCorrection(models.Model):
    """What an entry said before it was corrected or struck out."""

    entry = models.ForeignKey(TimeEntry, on_delete=models.CASCADE, related_name="corrections")
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    at = models.DateTimeField(auto_now_add=True)
    old_stage = models.ForeignKey(Stage, on_delete=models.CASCADE, related_name="+")
    old_started_at = models.DateTimeField()
    old_hours = models.DecimalField(max_digits=6, decimal_places=3)
    reason = models.CharField(max_length=200)

    class Meta:
        ordering = ["-at"]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="correction_has_a_reason")]

    def __str__(self):
        return f"{self.old_hours} h before: {self.reason}"
