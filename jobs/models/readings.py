"""What was measured at the bench, and which passes are done."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils import timezone

from jobs.models.panels import Panel


class PassDone(models.Model):
    """A pass ticked off, with the gathers it really took where the shaper counted them."""

    panel = models.ForeignKey(Panel, on_delete=models.CASCADE, related_name="passes_done")
    number = models.PositiveSmallIntegerField(validators=[MinValueValidator(1)])
    gathers_made = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MaxValueValidator(2000)]
    )
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["panel", "number"]
        verbose_name_plural = "passes done"
        constraints = [
            models.UniqueConstraint(fields=["panel", "number"], name="pass_done_once"),
            models.CheckConstraint(condition=Q(number__gte=1), name="pass_number_from_one"),
        ]

    def __str__(self):
        return f"{self.panel}, pass {self.number}"


class Reading(models.Model):
    """A tape or gauge check against its target.

    ``value`` and ``target`` are millimetres, but for a section angle, which is radians.
    """

    class Kind(models.TextChoices):
        EDGE_LENGTH = "edge-length", "Edge length"
        SECTION_ANGLE = "angle", "Section angle"
        CROWN_HEIGHT = "crown", "Crown height"
        THICKNESS = "thickness", "Thickness"

    panel = models.ForeignKey(Panel, on_delete=models.CASCADE, related_name="readings")
    pass_number = models.PositiveSmallIntegerField(
        default=0, help_text="0 for a check before the first pass."
    )
    kind = models.CharField(max_length=12, choices=Kind, default=Kind.EDGE_LENGTH)
    value = models.FloatField(validators=[MinValueValidator(0)])
    target = models.FloatField(null=True, blank=True)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    at = models.DateTimeField(default=timezone.now, editable=False)
    note = models.CharField(max_length=200, blank=True)
    submission = models.UUIDField(null=True, unique=True, editable=False)

    class Meta:
        ordering = ["panel", "at", "id"]
        constraints = [models.CheckConstraint(condition=Q(value__gte=0), name="reading_not_negative")]

    def __str__(self):
        return f"{self.get_kind_display()} after pass {self.pass_number}"
