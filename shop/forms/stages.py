"""Forms of stages, and of what an hour of them is charged at."""

from django import forms
from django.utils import timezone

from shop.driver_units import driver_unit, driver_words
from shop.forms.fields import MoneyField
from shop.forms.shop_form import ShopForm, ShopModelForm
from shop.forms.stale import StaleGuard
from shop.forms.standing import DATE
from shop.forms.unit_fields import ScaledField
from shop.models import StageKind


class RateForm(ShopForm):
    """A new labour rate from a day on, for one stage or all."""

    stage_kind = forms.ModelChoiceField(
        label="Stage",
        queryset=StageKind.objects.filter(in_use=True),
        required=False,
        empty_label="Every stage",
    )
    per_hour = MoneyField(label="An hour is charged at")
    holds_from = forms.DateField(label="From", widget=DATE, initial=timezone.localdate)


class StageKindForm(StaleGuard, ShopModelForm):
    """A stage: the first rate of one of the four, or the hours of the shop's own and what an hour of it costs.

    Hours of the shop's own may wait: without them they are asked for on each quote. What an hour costs is asked once,
    with a new stage; from then on rates are set by day on their own page.
    """

    hours_per_unit = ScaledField(label="First rate")
    per_hour = MoneyField(label="An hour is charged at")

    class Meta:
        model = StageKind
        fields = [
            "name",
            "hours_per_unit",
            "spread",
            "rate_spread",
            "fixed_low_hours",
            "fixed_high_hours",
            "usual",
            "in_use",
        ]
        labels = {
            "fixed_low_hours": "Hours, half of panels", "fixed_high_hours": "Hours, four in five", "in_use": "In use",
        }  # fmt: skip
        help_texts = {
            "fixed_high_hours": "Leave both empty to say the hours on each quote, until past panels tell them.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        own = self.instance.driver == StageKind.Driver.FIXED
        learned, fixed = (
            ["hours_per_unit", "spread", "rate_spread"],
            ["fixed_low_hours", "fixed_high_hours", "usual", "in_use"],
        )
        if self.instance.pk:
            del self.fields["per_hour"]
        for name in learned if own else fixed:
            del self.fields[name]
        if not own:
            self._count_in_the_shops_unit(self.fields["hours_per_unit"])

    def _count_in_the_shops_unit(self, field: ScaledField) -> None:
        """A first rate is hours for one of what the stage grows with: 0.116 h/in² where 1.8 h/dm² is kept."""
        unit = driver_unit(self.instance.driver, self.shop.units)
        field.scale, field.unit = 1 / unit.kept, f"h/{unit.name}"
        field.help_text = f"Its hours grow with {driver_words(self.instance.driver, self.shop.units)}."

    def clean(self):
        cleaned = super().clean()
        low, high = cleaned.get("fixed_low_hours"), cleaned.get("fixed_high_hours")
        for name in ("fixed_low_hours", "fixed_high_hours"):
            if (low is None) != (high is None) and name in cleaned and cleaned[name] is None:
                self.add_error(name, "Write both hours, or leave both empty.")
        if low and high and high < low:
            self.add_error(
                "fixed_high_hours",
                "Four in five take at least as long as half. Use no less than the hours before.",
            )
        return cleaned
