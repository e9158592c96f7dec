"""The stages a panel goes through and what an hour of each costs."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q


class StageKind(models.Model):
    """One kind of stage. The four of the craft are always there; a shop may add its own.

    The four take their hours from a driver that forming computes. A stage of the shop's own takes the fixed range
    of hours given here, on the panels that are to have it (``jobs.models.Panel.own_stages``), until past panels tell
    better; without a range its hours are said on each quote until then.
    """

    class Driver(models.TextChoices):
        LAYOUT_M = "layout_m", "metres of outline and lines"
        MOVED_DM2 = "moved_dm2", "area moved, dm²"
        WORKED_DM2 = "worked_dm2", "area worked, dm²"
        FINISHED_DM2 = "finished_dm2", "finished area, dm²"
        FIXED = "fixed", "fixed hours"

    name = models.CharField(max_length=40)
    slug = models.SlugField(max_length=40, unique=True)
    position = models.PositiveSmallIntegerField(unique=True)
    driver = models.CharField(max_length=12, choices=Driver, default=Driver.FIXED)
    hours_per_unit = models.FloatField(
        "first rate, hours per unit", null=True, blank=True, validators=[MinValueValidator(0.0001)]
    )
    spread = models.FloatField(
        "spread of the first rate", default=0.35, validators=[MinValueValidator(0.05), MaxValueValidator(2)],
        help_text="Standard deviation of the logarithm of hours: 0.35 puts four panels in five under 1.34 × the middle.",
    )  # fmt: skip
    rate_spread = models.FloatField(
        "how sure of the first rate", default=0.5, validators=[MinValueValidator(0.05), MaxValueValidator(2)],
        help_text="Standard deviation of the logarithm of the rate itself: 0.5 is a factor of 1.6 either way.",
    )  # fmt: skip
    fixed_low_hours = models.DecimalField(
        max_digits=6, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(Decimal("0.01"))]
    )
    fixed_high_hours = models.DecimalField(
        max_digits=6, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(Decimal("0.01"))]
    )
    usual = models.BooleanField(
        "on every new panel", default=False,
        help_text="A stage of the shop's own: each panel may leave it out or take it in.",
    )  # fmt: skip
    in_use = models.BooleanField(default=True)

    class Meta:
        ordering = ["position"]
        constraints = [
            # A condition that comes out as unknown holds: what must be there is asked for by name.
            models.CheckConstraint(
                condition=(
                    Q(
                        driver="fixed",
                        fixed_low_hours__isnull=False,
                        fixed_high_hours__isnull=False,
                        fixed_low_hours__gt=0,
                        fixed_high_hours__gte=F("fixed_low_hours"),
                    )
                    | Q(driver="fixed", fixed_low_hours=None, fixed_high_hours=None)
                    | (~Q(driver="fixed") & Q(hours_per_unit__isnull=False, hours_per_unit__gt=0))
                ),
                name="stage_kind_has_hours",
            ),
        ]

    def __str__(self):
        return self.name


class LabourRate(models.Model):
    """What an hour of a stage is charged at from a date on, until a later rate holds."""

    stage_kind = models.ForeignKey(StageKind, on_delete=models.CASCADE, related_name="rates")
    per_hour = models.DecimalField(max_digits=10, decimal_places=3, validators=[MinValueValidator(0)])
    holds_from = models.DateField()

    class Meta:
        ordering = ["stage_kind", "-holds_from"]
        constraints = [
            models.UniqueConstraint(fields=["stage_kind", "holds_from"], name="one_rate_a_stage_and_day"),
            models.CheckConstraint(condition=Q(per_hour__gte=0), name="rate_not_negative"),
        ]

    def __str__(self):
        return f"{self.stage_kind}: {self.per_hour} from {self.holds_from}"
