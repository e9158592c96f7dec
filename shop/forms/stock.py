"""Forms of metals and of the sheets on the rack."""

from django import forms
from django.core.exceptions import ValidationError

from shop.forms.fields import LengthField, MoneyField, PercentField, ThicknessField
from shop.forms.shop_form import ShopModelForm
from shop.forms.stale import StaleGuard
from shop.forms.standing import DATE
from shop.forms.unit_fields import DensityField, PriceByMassField
from shop.lengths import Unreadable, length_to_edit, parse_length_mm
from shop.models import GatherSize, Metal, Person, SheetStock
from shop.stock import KEPT


class MetalForm(StaleGuard, ShopModelForm):
    """A metal, its values, and what one gather takes in it by hand and by power hammer."""

    density_kg_m3 = DensityField(label="Density")
    price_per_kg = PriceByMassField()
    elongation = PercentField(
        label="Total elongation", least=1, most=150, decimals=1, of_one=True, required=False,
        help_text="Leave it empty where it is not known.",
    )  # fmt: skip
    bends = forms.CharField(
        label="Least inside bend radius", required=False,
        help_text="Thickness and radius in thicknesses, such as {}",
    )  # fmt: skip
    hand_gather = LengthField(label="One gather by hand takes")
    hand_die = LengthField(label="Mallet or stake width")
    power_gather = LengthField(label="One gather by power hammer takes")
    power_die = LengthField(label="Die width")

    class Meta:
        model = Metal
        fields = ["name", "family", "density_kg_m3", "elongation", "price_per_kg", "source", "in_use"]
        labels = {"in_use": "In use"}
        widgets = {"source": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial["bends"] = "; ".join(
            f"{length_to_edit(up_to, self.shop.units)}: {radius:g}"
            for up_to, radius in self.instance.bend_limits
        )
        such_as = "1/32: 0; 1/16: 1; 1/8: 1.5" if self.shop.units == "in" else "0.8: 0; 1.6: 1; 3.2: 1.5"
        self.fields["bends"].help_text = self.fields["bends"].help_text.format(such_as)
        for size in self.instance.gather_sizes.all() if self.instance.pk else []:
            self.initial[f"{size.method}_gather"] = size.gather_mm
            self.initial[f"{size.method}_die"] = size.die_width_mm

    def clean_bends(self):
        if "bends" not in self.changed_data:  # what is shown may be rounded
            return self.instance.bend_limits
        pairs = []
        for pair in filter(None, (part.strip() for part in self.cleaned_data["bends"].split(";"))):
            thickness, _, radius = pair.partition(":")
            try:
                pairs.append(
                    [parse_length_mm(thickness, bare=self.shop.units), float(radius.replace(",", "."))]
                )
            except (Unreadable, ValueError) as error:
                raise ValidationError(
                    f"“{pair}” cannot be read. Write {'1/16' if self.shop.units == 'in' else '1.6'}: 1, "
                    "and a semicolon before the next."
                ) from error
        self.instance.bend_limits = pairs
        Metal._meta.get_field("bend_limits").run_validators(pairs)
        return pairs

    def clean_elongation(self):
        share = self.cleaned_data["elongation"]
        return None if share is None else float(share)

    def gather_sizes(self):
        """What was typed for each method: ``{method: (gather_mm, die_width_mm)}``."""
        return {
            method: (self.cleaned_data[f"{method}_gather"], self.cleaned_data[f"{method}_die"])
            for method in GatherSize.Method.values
        }


class SheetForm(StaleGuard, ShopModelForm):
    """A sheet or drop. What it cost is asked of the owner and shown to nobody else."""

    thickness_mm = ThicknessField(
        label="Thickness", help_text="A thickness or a gauge: 1.2 mm, 0.048 in, 18 ga."
    )
    length_mm = LengthField(label="Length")
    width_mm = LengthField(label="Width")
    cost = MoneyField(label="What it cost")
    how_many = forms.IntegerField(label="How many alike", min_value=1, max_value=50, initial=1)

    class Meta:
        model = SheetStock
        fields = KEPT
        widgets = {"kind": forms.RadioSelect, "state": forms.RadioSelect, "expected_on": DATE}

    def __init__(self, *args, person: Person, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["metal"].queryset = Metal.objects.filter(in_use=True)
        if not person.is_owner:
            del self.fields["cost"]
        if self.instance.pk:
            del self.fields["how_many"]

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("metal") and cleaned.get("thickness_mm"):
            try:
                cleaned["thickness_mm"] = self.fields["thickness_mm"].read_for(
                    str(cleaned["thickness_mm"]), cleaned["metal"].family
                )
            except ValidationError as error:
                self.add_error("thickness_mm", error)
        return cleaned
