"""Metal cut out of the stock for a panel, and the drop that came back."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from jobs.models.panels import Panel
from shop.lengths import Units, format_length
from shop.models import SheetStock


class MaterialUse(models.Model):
    """A piece cut from a sheet or drop; ``cost`` is its share of what the sheet cost."""

    panel = models.ForeignKey(Panel, on_delete=models.CASCADE, related_name="material")
    sheet = models.ForeignKey(SheetStock, on_delete=models.PROTECT, related_name="uses")
    length_mm = models.FloatField(validators=[MinValueValidator(1), MaxValueValidator(20000)])
    width_mm = models.FloatField(validators=[MinValueValidator(1), MaxValueValidator(20000)])
    mass_kg = models.FloatField(editable=False)
    cost = models.DecimalField(max_digits=10, decimal_places=3, validators=[MinValueValidator(Decimal("0"))])
    drop = models.OneToOneField(
        SheetStock, null=True, blank=True, on_delete=models.SET_NULL, related_name="left_over_from"
    )
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    at = models.DateTimeField(auto_now_add=True)
    note = models.CharField(max_length=200, blank=True)
    submission = models.UUIDField(null=True, unique=True, editable=False)

    class Meta:
        ordering = ["-at"]
        constraints = [
            models.CheckConstraint(condition=Q(length_mm__gt=0, width_mm__gt=0), name="material_has_size"),
            models.CheckConstraint(condition=Q(cost__gte=0), name="material_cost_not_negative"),
        ]

    def __str__(self):
        return f"metal from {self.sheet}"

    def in_words(self, units: Units) -> str:
        """What was cut, in the shop's units: 48 × 24 in of Steel 1008, sheet K7Q2."""
        return f"{format_length(self.length_mm, units, False)} × {format_length(self.width_mm, units)} of {self.sheet}"
