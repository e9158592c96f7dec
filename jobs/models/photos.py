"""Photographs of a job, a panel or a stage, as the shop keeps them: upright, re-encoded, without a location."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from jobs.models.jobs import Job
from jobs.models.panels import Panel
from jobs.models.stages import Stage


class Photo(models.Model):
    """A photograph. ``jobs.photos.add_photo`` is the only writer."""

    class Subject(models.TextChoices):
        OLD_PART = "old-part", "Old part"
        PATTERN = "pattern", "Pattern"
        BEFORE = "before", "Before"
        SO_FAR = "so-far", "So far"
        AFTER = "after", "After"
        OTHER = "other", "Other"

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="photos")
    panel = models.ForeignKey(Panel, null=True, blank=True, on_delete=models.CASCADE, related_name="photos")
    stage = models.ForeignKey(Stage, null=True, blank=True, on_delete=models.CASCADE, related_name="photos")
    image = models.ImageField(upload_to="photos/%Y/%m/", width_field="width", height_field="height")
    thumbnail = models.ImageField(upload_to="thumbnails/%Y/%m/")
    width = models.PositiveIntegerField(editable=False)
    height = models.PositiveIntegerField(editable=False)
    subject = models.CharField("shows", max_length=8, choices=Subject, default=Subject.SO_FAR)
    caption = models.CharField(max_length=200, blank=True)
    for_customer = models.BooleanField("show to the customer", default=False)
    taken_at = models.DateTimeField()
    taken_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    added_at = models.DateTimeField(auto_now_add=True)
    submission = models.UUIDField(null=True, unique=True, editable=False)

    class Meta:
        ordering = ["-taken_at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(stage=None) | Q(panel__isnull=False), name="photo_of_a_stage_has_a_panel"
            ),
        ]
        indexes = [models.Index(fields=["job", "-taken_at"]), models.Index(fields=["-taken_at"])]

    def __str__(self):
        return self.caption or self.get_subject_display()
