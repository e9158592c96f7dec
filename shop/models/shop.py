"""The shop itself: one row."""

from decimal import Decimal
from zoneinfo import available_timezones

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from shop.figures import MONEY_STYLES

PERCENT = [MinValueValidator(0), MaxValueValidator(100)]


def known_time_zone(name: str) -> None:
    """Refuse a time zone that the machine's zone data does not hold."""
    if name not in available_timezones():
        raise ValidationError(
            f"“{name}” is not a time zone. Write one such as Europe/Dublin or America/Chicago."
        )


def percent_field(default: str, **options):
    """A percentage from 0 to 100 with two decimals."""
    return models.DecimalField(
        max_digits=5, decimal_places=2, default=Decimal(default), validators=PERCENT, **options
    )


class Shop(models.Model):
    """The shop's name, habits and terms. There is exactly one row, with primary key 1."""

    class Units(models.TextChoices):
        INCHES = "in", "inches"
        MILLIMETRES = "mm", "millimetres"

    class Paper(models.TextChoices):
        A4 = "A4", "A4"
        LETTER = "Letter", "US Letter"

    class MoneyWriting(models.TextChoices):
        """The keys of ``shop.figures.MONEY_STYLES``, each shown by an example with whatever sign is common there."""

        SIGN_SPACE = "sign-space", "€ 1\u2009049.29"
        SIGN_COMMA = "sign-comma", "$1,049.29"
        SIGN_DOT = "sign-dot", "€ 1.049,29"
        SIGN_APOSTROPHE = "sign-apostrophe", "CHF 1\u2019049.29"
        SPACE_SIGN = "space-sign", "1\u2009049.29 €"
        SPACE_COMMA_SIGN = "space-comma-sign", "1\u2009049,29 €"
        DOT_SIGN = "dot-sign", "1.049,29 €"

    id = models.PositiveSmallIntegerField(primary_key=True, default=1, editable=False)
    name = models.CharField(max_length=80)
    address = models.TextField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    mark = models.ImageField(
        upload_to="shop/", blank=True, help_text="The shop's own mark, printed beside its name."
    )
    time_zone = models.CharField(max_length=60, default="UTC", validators=[known_time_zone])
    language = models.CharField(max_length=10, default="en", help_text="Language tag written into documents.")
    units = models.CharField(max_length=2, choices=Units, default=Units.MILLIMETRES)
    paper = models.CharField(max_length=6, choices=Paper, default=Paper.A4)

    currency = models.CharField("currency code", max_length=3, default="EUR")
    currency_symbol = models.CharField(max_length=5, default="€")
    currency_decimals = models.PositiveSmallIntegerField(default=2, validators=[MaxValueValidator(3)])
    money_style = models.CharField(
        "money written as", max_length=20, choices=MoneyWriting, default=MoneyWriting.SIGN_SPACE
    )
    tax_name = models.CharField(max_length=20, default="VAT")
    tax_percent = percent_field("0")
    prices_include_tax = models.BooleanField(default=False)

    trim_mm = models.FloatField(default=19.05, validators=[MinValueValidator(0), MaxValueValidator(500)])
    line_count = models.PositiveSmallIntegerField(
        "lines over a bend", default=3, validators=[MinValueValidator(2), MaxValueValidator(25)]
    )
    consumables_per_hour = models.DecimalField(
        max_digits=8, decimal_places=2, default=Decimal("0"), validators=[MinValueValidator(0)],
        help_text="Gas, rod, discs and dye for one hour of work.",
    )  # fmt: skip
    overhead_percent = percent_field("0", help_text="On labour, metal, consumables and bought-in work.")
    margin_percent = percent_field("0", help_text="Share of the price that stays when everything is paid.")
    deposit_percent = percent_field("0")
    confidence = models.DecimalField(
        max_digits=3, decimal_places=2, default=Decimal("0.80"),
        validators=[MinValueValidator(Decimal("0.50")), MaxValueValidator(Decimal("0.95"))],
        help_text="Share of panels that should be done within the hours priced.",
    )  # fmt: skip
    second_hand_factor = models.DecimalField(
        max_digits=3, decimal_places=2, default=Decimal("0.85"),
        validators=[MinValueValidator(Decimal("0.50")), MaxValueValidator(Decimal("1"))],
        help_text="Hours of the second hand of a pair as a share of the first, until the shop's own pairs tell.",
    )  # fmt: skip
    quote_valid_days = models.PositiveSmallIntegerField(
        default=30, validators=[MinValueValidator(1), MaxValueValidator(365)]
    )
    history_half_life_days = models.PositiveIntegerField(
        null=True, blank=True, validators=[MinValueValidator(30)],
        help_text="After this many days a past panel weighs half. Empty: all weigh the same.",
    )  # fmt: skip
    terms = models.TextField(blank=True, help_text="Printed under every quote.")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(id=1), name="shop_is_one"),
            models.CheckConstraint(
                condition=Q(money_style__in=list(MONEY_STYLES)), name="shop_money_style_known"
            ),
            models.CheckConstraint(condition=Q(margin_percent__lt=100), name="shop_margin_below_all"),
            models.CheckConstraint(
                condition=Q(confidence__gte=Decimal("0.5"), confidence__lte=Decimal("0.95")),
                name="shop_confidence_in_range",
            ),
        ]

    def __str__(self):
        return self.name

    def clean(self):
        if self.margin_percent is not None and self.margin_percent >= 100:
            raise ValidationError(
                {"margin_percent": "A margin of 100 % leaves nothing to pay for. Use less than 100."}
            )

    @property
    def stands(self) -> bool:
        """Whether the shop has been set up: false for the defaults that stand in for it before."""
        return not self._state.adding

    @classmethod
    def standing(cls) -> "Shop":
        """The shop, or an unsaved one with the defaults before set-up."""
        return cls.objects.first() or cls(name="Gatherbook")
