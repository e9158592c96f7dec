"""The stages of a panel: budget, progress, notes."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils import timezone

from jobs.models.panels import Panel
from shop.codes import new_code
from shop.models import StageKind


class Stage(models.Model):
    """One stage of one panel.

    The budget is the range of hours at acceptance (half of panels are done by ``budget_low_hours``, four in
    five, or the shop's own confidence, by ``budget_high_hours``); ``mean_log``, ``scale`` and
    ``degrees_of_freedom`` are the distribution it was read from, kept so that work done narrows it.
    """

    panel = models.ForeignKey(Panel, on_delete=models.CASCADE, related_name="stages")
    kind = models.ForeignKey(StageKind, on_delete=models.PROTECT, related_name="stages")
    code = models.CharField(max_length=8, unique=True, default=new_code, editable=False)
    budget_low_hours = models.DecimalField(max_digits=7, decimal_places=2, default=Decimal("0"))
    budget_high_hours = models.DecimalField(max_digits=7, decimal_places=2, default=Decimal("0"))
    mean_log = models.FloatField(null=True, blank=True, editable=False)
    scale = models.FloatField(null=True, blank=True, editable=False)
    degrees_of_freedom = models.FloatField(null=True, blank=True, editable=False)
    progress = models.DecimalField(
        max_digits=4,
        decimal_places=3,
        default=Decimal("0"),
        validators=[MinValueValidator(0), MaxValueValidator(1)],
    )
    started_at = models.DateTimeField(null=True, blank=True)
    done_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["panel", "kind__position"]
        constraints = [
            models.UniqueConstraint(fields=["panel", "kind"], name="stage_kind_once_a_panel"),
            models.CheckConstraint(
                condition=Q(budget_low_hours__gte=0, budget_high_hours__gte=F("budget_low_hours")),
                name="stage_budget_in_order",
            ),
            models.CheckConstraint(
                condition=Q(progress__gte=0, progress__lte=1), name="stage_progress_is_a_share"
            ),
            models.CheckConstraint(condition=Q(done_at=None) | Q(progress=1), name="stage_done_is_whole"),
        ]

    def __str__(self):
        return f"{self.panel}, {self.kind.name.lower()}"

    def get_absolute_url(self):
        return reverse("bench", args=[self.code])


class StageNote(models.Model):
    """Something the shaper wants kept; ``for_other_hand`` shows it when the mirrored panel comes to this stage."""

    stage = models.ForeignKey(Stage, on_delete=models.CASCADE, related_name="notes")
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    at = models.DateTimeField(default=timezone.now, editable=False)
    text = models.TextField(max_length=2000)
    for_other_hand = models.BooleanField("repeat on the other hand", default=False)
    submission = models.UUIDField(null=True, unique=True, editable=False)

    class Meta:
        ordering = ["-at"]

    def __str__(self):
        return self.text[:60]
