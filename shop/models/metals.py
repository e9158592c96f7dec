"""Metals, what one gather takes in them, and the sheets on the rack."""

from decimal import Decimal

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from shop.gauges import sold_as
from shop.lengths import Units, format_length


def readable_bend_limits(limits: object) -> None:
    """Refuse bend limits that are not rising pairs of thickness and radius."""
    try:
        thicknesses = [float(up_to_mm) for up_to_mm, radius_t in limits if float(radius_t) >= 0]
    except (TypeError, ValueError) as error:
        raise ValidationError("Write pairs of a thickness and a radius.") from error
    if (
        len(thicknesses) != len(limits)
        or thicknesses != sorted(set(thicknesses))
        or min(thicknesses, default=1) <= 0
    ):
        raise ValidationError("Write the thinnest sheet first, each thickness once, and no negative radius.")


class Metal(models.Model):
    """A metal in one temper, with the values forming and pricing need and where they come from."""

    class Family(models.TextChoices):
        STEEL = "steel", "Steel"
        GALVANIZED = "galvanized", "Galvanized steel"
        STAINLESS = "stainless", "Stainless steel"
        ALUMINIUM = "aluminium", "Aluminium"
        COPPER = "copper", "Copper"
        BRASS = "brass", "Brass"
        TITANIUM = "titanium", "Titanium"
        ZINC = "zinc", "Zinc"

    name = models.CharField(max_length=60, unique=True)
    family = models.CharField(max_length=12, choices=Family)
    density_kg_m3 = models.FloatField(validators=[MinValueValidator(500), MaxValueValidator(25000)])
    elongation = models.FloatField(
        "total elongation", null=True, blank=True, validators=[MinValueValidator(0.001), MaxValueValidator(1.5)],
        help_text="As a fraction: 0.30 for 30 %. Leave empty where it is not known.",
    )  # fmt: skip
    bend_limits = models.JSONField(
        "least inside bend radius", default=list, blank=True, validators=[readable_bend_limits],
        help_text="Pairs of a thickness in mm and the least radius, × thickness, up to it; thinnest first.",
    )  # fmt: skip
    price_per_kg = models.DecimalField(  # six decimals, so that a price for a pound comes back to the cent
        max_digits=13, decimal_places=6, default=Decimal("0"), validators=[MinValueValidator(0)]
    )
    source = models.CharField("where these values come from", max_length=200, blank=True)
    in_use = models.BooleanField(default=True)

    class Meta:
        ordering = ["family", "name"]
        constraints = [
            models.CheckConstraint(condition=Q(density_kg_m3__gt=0), name="metal_has_density"),
            models.CheckConstraint(condition=Q(price_per_kg__gte=0), name="metal_price_not_negative"),
        ]

    def __str__(self):
        return self.name

    def min_bend_radius_t(self, thickness_mm: float) -> float | None:
        """The least inside radius of a 90 degree bend in thicknesses, or ``None`` where it is not known.

        Between two thicknesses of the list the thicker one holds; a sheet 2 % over still belongs to its row,
        since 1.6 mm is sold as 1/16 in.
        """
        for up_to_mm, radius_t in self.bend_limits:
            if thickness_mm <= up_to_mm * 1.02:
                return radius_t
        return None


class GatherSize(models.Model):
    """What one gather takes up at the edge, and how wide the die is, in one metal by one method."""

    class Method(models.TextChoices):
        HAND = "hand", "Hand"
        POWER = "power", "Power hammer"

    metal = models.ForeignKey(Metal, on_delete=models.CASCADE, related_name="gather_sizes")
    method = models.CharField(max_length=5, choices=Method)
    gather_mm = models.FloatField(default=5.0, validators=[MinValueValidator(0.1), MaxValueValidator(100)])
    die_width_mm = models.FloatField(default=25.0, validators=[MinValueValidator(1), MaxValueValidator(300)])

    class Meta:
        ordering = ["metal", "method"]
        constraints = [
            models.UniqueConstraint(fields=["metal", "method"], name="one_gather_size_a_method"),
            models.CheckConstraint(
                condition=Q(gather_mm__gt=0, die_width_mm__gt=0), name="gather_size_positive"
            ),
        ]

    def __str__(self):
        return f"{self.metal}, {self.get_method_display().lower()}"


class SheetStock(models.Model):
    """One sheet or drop: on the rack, ordered, or used up."""

    class Kind(models.TextChoices):
        WHOLE = "whole", "Whole sheet"
        DROP = "drop", "Drop"

    class State(models.TextChoices):
        RACK = "rack", "On the rack"
        ORDERED = "ordered", "Ordered"
        USED = "used", "Used up"

    metal = models.ForeignKey(Metal, on_delete=models.PROTECT, related_name="sheets")
    thickness_mm = models.FloatField(validators=[MinValueValidator(0.05), MaxValueValidator(25)])
    length_mm = models.FloatField(validators=[MinValueValidator(1), MaxValueValidator(20000)])
    width_mm = models.FloatField(validators=[MinValueValidator(1), MaxValueValidator(20000)])
    cost = models.DecimalField(
        max_digits=10, decimal_places=3, default=Decimal("0"), validators=[MinValueValidator(0)]
    )
    kind = models.CharField(max_length=5, choices=Kind, default=Kind.WHOLE)
    state = models.CharField(max_length=8, choices=State, default=State.RACK)
    place = models.CharField(max_length=60, blank=True, help_text="Where it stands or lies.")
    heat_number = models.CharField(max_length=40, blank=True)
    expected_on = models.DateField(
        null=True, blank=True, help_text="Where it is ordered. Empty: a week after it was written down."
    )
    cut_from = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.SET_NULL, related_name="drops"
    )
    code = models.CharField(max_length=8, unique=True, editable=False)
    added_on = models.DateField(auto_now_add=True)

    class Meta:
        ordering = ["metal", "thickness_mm", "-length_mm"]
        constraints = [
            models.CheckConstraint(
                condition=Q(thickness_mm__gt=0, length_mm__gt=0, width_mm__gt=0), name="sheet_has_size"
            ),
            models.CheckConstraint(condition=Q(cost__gte=0), name="sheet_cost_not_negative"),
        ]
        indexes = [models.Index(fields=["state", "metal", "thickness_mm"])]

    def __str__(self):
        return f"{self.metal}, {'drop' if self.kind == self.Kind.DROP else 'sheet'} {self.code}"

    def save(self, *args, **kwargs):
        if not self.code:
            from shop.codes import new_code

            self.code = new_code()
        super().save(*args, **kwargs)

    def in_words(self, units: Units) -> str:
        """What it is in the shop's units: Steel 1008 18 ga (0.048 in), 96 × 48 in."""
        thickness = sold_as(self.thickness_mm, self.metal.family, units)
        length, width = format_length(self.length_mm, units, False), format_length(self.width_mm, units)
        return f"{self.metal} {thickness}, {length} × {width}"

    @property
    def area_mm2(self) -> float:
        return self.length_mm * self.width_mm

    @property
    def mass_kg(self) -> float:
        return self.area_mm2 * self.thickness_mm * self.metal.density_kg_m3 * 1e-9
