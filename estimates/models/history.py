"""Past panels: what the shop's own work teaches the next estimate."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from jobs.models import Panel


class PastPanel(models.Model):
    """One finished panel, brought in from an old notebook or closed here.

    The columns are those of ``estimates.hours.PastPanel``, ``own_hours`` by the stages' slugs. ``estimated`` holds, for a
    panel closed here, the range each stage was budgeted at, so that the estimate can be judged against what happened.
    """

    class Origin(models.TextChoices):
        IMPORTED = "imported", "From the notebook"
        CLOSED = "closed", "Closed here"

    origin = models.CharField(max_length=8, choices=Origin)
    panel = models.OneToOneField(Panel, null=True, blank=True, on_delete=models.SET_NULL, related_name="past")
    name = models.CharField(max_length=120)
    finished_on = models.DateField()
    metal = models.CharField(max_length=60)
    method = models.CharField(max_length=5)
    finish = models.CharField(max_length=8, default="smooth")
    hand_order = models.PositiveSmallIntegerField(default=1)
    layout_m = models.FloatField()
    moved_dm2 = models.FloatField()
    worked_dm2 = models.FloatField()
    finished_dm2 = models.FloatField()
    layout_hours = models.FloatField(null=True, blank=True)
    gathering_hours = models.FloatField(null=True, blank=True)
    blending_hours = models.FloatField(null=True, blank=True)
    smoothing_hours = models.FloatField(null=True, blank=True)
    own_hours = models.JSONField("hours of the shop's own stages", default=dict, blank=True)
    estimated = models.JSONField(default=dict, blank=True)
    left_out_reason = models.CharField(max_length=200, blank=True)
    changed_at = models.DateTimeField(auto_now=True)
    left_out_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        ordering = ["-finished_on", "-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["name", "finished_on", "hand_order"],
                condition=Q(origin="imported"),
                name="past_panel_imported_once",
            ),
            models.CheckConstraint(condition=Q(hand_order__in=[1, 2]), name="past_panel_hand_order"),
            models.CheckConstraint(
                condition=Q(layout_m__gte=0, moved_dm2__gte=0, worked_dm2__gte=0, finished_dm2__gte=0),
                name="past_panel_drivers_not_negative",
            ),
        ]
        indexes = [models.Index(fields=["-finished_on"])]

    def __str__(self):
        return self.name

    def get_absolute_url(self):
        return reverse("past-panel", args=[self.pk])
