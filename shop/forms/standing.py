"""Forms of the standing data: the shop, its people, stages, rates, metals and sheets."""

import re

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.currencies import usual_for
from shop.driver_units import driver_unit, driver_words
from shop.figures import MONEY_STYLES
from shop.forms.fields import LengthField, MoneyField, PercentField, ThicknessField
from shop.forms.shop_form import ShopForm, ShopModelForm
from shop.forms.stale import StaleGuard
from shop.forms.unit_fields import DensityField, PriceByMassField, ScaledField
from shop.lengths import Unreadable, length_to_edit, parse_length_mm
from shop.marks import as_mark
from shop.models import DayOff, GatherSize, Metal, Person, SheetStock, Shop, StageKind
from shop.setting_up import is_set_up_code

WEEKDAYS = [("1", "Mon"), ("2", "Tue"), ("3", "Wed"), ("4", "Thu"), ("5", "Fri"), ("6", "Sat"), ("7", "Sun")]
DATE = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


def currency_code(text: str) -> str:
    """The three letters of a currency, or a ``ValidationError`` that says so."""
    if not re.fullmatch(r"[A-Za-z]{3}", text):
        raise ValidationError("Write the three letters of the currency, such as EUR, GBP or USD.")
    return text.upper()


class ShopSettingsForm(StaleGuard, ShopModelForm):
    """Everything about the shop itself."""

    trim_mm = LengthField(label="Trim, all round", allow_zero=True)
    consumables_per_hour = MoneyField(
        label="Consumables for an hour of work", help_text="Gas, rod, discs and dye."
    )
    tax_percent = PercentField(label="Tax")
    overhead_percent = PercentField(
        label="Overhead", help_text="On labour, metal, consumables and bought-in work."
    )
    margin_percent = PercentField(
        label="Margin", help_text="Share of the price that stays when everything is paid."
    )
    deposit_percent = PercentField(label="Deposit", help_text="Share of the price, asked for on acceptance.")
    confidence = PercentField(
        label="Price so that this share of panels is done within the hours", least=50, most=95, decimals=0,
        of_one=True, help_text="50 % is the middle of the hours. Dates are promised at it too.",
    )  # fmt: skip
    second_hand_factor = PercentField(
        label="Second hand of a pair takes, as a share of the first", least=50, most=100, decimals=0, of_one=True,
        help_text="Of the hours of the first, until the shop’s own pairs tell.",
    )  # fmt: skip

    class Meta:
        model = Shop
        fields = [
            "name", "address", "phone", "email", "mark", "time_zone", "language", "units", "paper",
            "currency", "currency_symbol", "currency_decimals", "money_style", "tax_name", "tax_percent",
            "prices_include_tax", "overhead_percent", "margin_percent", "consumables_per_hour", "deposit_percent",
            "confidence", "second_hand_factor", "history_half_life_days", "quote_valid_days", "trim_mm",
            "line_count", "terms",
        ]  # fmt: skip
        widgets = {
            "address": forms.Textarea(attrs={"rows": 3}),
            "terms": forms.Textarea(attrs={"rows": 6}),
            "units": forms.RadioSelect,
            "paper": forms.RadioSelect,
            "mark": forms.FileInput(attrs={"accept": "image/*"}),
        }
        labels = {
            "prices_include_tax": "The price on a quote has the tax in it",
            "mark": "The shop's mark",
            "history_half_life_days": "A past panel weighs half after, days",
            "quote_valid_days": "A quote holds for, days",
        }

    SECTIONS = {
        "The shop": ["name", "address", "phone", "email", "mark", "language", "time_zone"],
        "Writing and paper": ["units", "paper"],
        "Money": [
            "currency", "currency_symbol", "currency_decimals", "money_style", "tax_name", "tax_percent",
            "prices_include_tax", "overhead_percent", "margin_percent", "consumables_per_hour",
        ],
        "Estimates and quotes": [
            "confidence", "second_hand_factor", "history_half_life_days", "quote_valid_days", "deposit_percent", "terms",
        ],
        "Marking the sheet": ["trim_mm", "line_count"],
    }  # fmt: skip

    def sections(self):
        """The fields in their groups, as the page shows them."""
        return [(head, [self[name] for name in names]) for head, names in self.SECTIONS.items()]

    def clean_currency(self):
        return currency_code(self.cleaned_data["currency"])

    def clean_mark(self):
        mark = self.cleaned_data["mark"]
        return as_mark(mark) if "mark" in self.changed_data and mark else mark


class SetUpForm(ShopForm):
    """The first page of a new book: the shop's name and who owns it."""

    shop_name = forms.CharField(label="Name of the shop", max_length=80)
    time_zone = forms.CharField(
        label="Time zone", initial="UTC", help_text="Such as Europe/Dublin or America/Chicago.",
        validators=Shop._meta.get_field("time_zone").validators,
    )  # fmt: skip
    units = forms.ChoiceField(label="Lengths in", choices=Shop.Units, initial="mm", widget=forms.RadioSelect)
    paper = forms.ChoiceField(label="Paper", choices=Shop.Paper, initial="A4", widget=forms.RadioSelect)
    currency = forms.CharField(
        label="Currency code",
        max_length=3,
        initial="EUR",
        help_text="Three letters, such as EUR, GBP or USD.",
    )
    currency_symbol = forms.CharField(
        label="Currency sign", max_length=5, required=False, help_text="Left empty: the usual one, € or $."
    )
    money_style = forms.ChoiceField(
        label="Money written as", choices=[("", "as is usual for the currency"), *Shop.MoneyWriting.choices],
        required=False,
    )  # fmt: skip
    tax_name = forms.CharField(
        label="What the tax on a quote is called", max_length=20, required=False,
        help_text="Left empty: VAT, or Sales tax for dollars. How much it is stands under Shop settings.",
    )  # fmt: skip
    per_hour = MoneyField(
        label="What an hour of work is charged at", help_text="For every stage; set each apart later."
    )
    first_name = forms.CharField(label="Your name", max_length=60)
    username = forms.CharField(label="Name to sign in with", max_length=60)
    password = forms.CharField(
        label="Password", widget=forms.PasswordInput, help_text="At least 10 characters."
    )

    code = forms.CharField(
        label="Set-up code",
        max_length=40,
        help_text="Printed by “manage.py prepare” on the machine that serves this book.",
    )

    def __init__(self, *args, ask_code: bool, **kwargs):
        super().__init__(*args, **kwargs)
        if not ask_code:
            del self.fields["code"]
        self._money_as_typed(self.fields["per_hour"])

    def _money_as_typed(self, field: MoneyField) -> None:
        """The rate is read in the currency of the same page."""
        usual = usual_for(str(self.data.get("currency", "")).upper())
        field.symbol = str(self.data.get("currency_symbol") or usual.symbol)
        field.style = (
            self.data.get("money_style") if self.data.get("money_style") in MONEY_STYLES else usual.style
        )

    def clean_password(self):
        validate_password(self.cleaned_data["password"])
        return self.cleaned_data["password"]

    def clean_username(self):
        username = self.cleaned_data["username"]
        Person._meta.get_field("username").run_validators(username)
        return username

    def clean_currency(self):
        return currency_code(self.cleaned_data["currency"])

    def clean_code(self):
        if not is_set_up_code(self.cleaned_data["code"]):
            raise ValidationError(
                "That is not the code. Run “manage.py prepare” again and copy what it prints."
            )
        return self.cleaned_data["code"]

    def shop_typed(self) -> Shop:
        """The shop as typed, unsaved."""
        typed, usual = self.cleaned_data, usual_for(self.cleaned_data["currency"])
        return Shop(
            name=typed["shop_name"],
            currency_symbol=typed["currency_symbol"] or usual.symbol,
            currency_decimals=usual.decimals,
            money_style=typed["money_style"] or usual.style,
            tax_name=typed["tax_name"] or usual.tax_name,
            **{name: typed[name] for name in ("time_zone", "units", "paper", "currency")},
        )


class PersonForm(StaleGuard, ShopModelForm):
    """One of the shop's people. A password is set by the owner and left empty to keep it."""

    first_name = forms.CharField(label="Name", max_length=60)
    working_days = forms.MultipleChoiceField(
        label="Works on", choices=WEEKDAYS, widget=forms.CheckboxSelectMultiple, required=False
    )
    password = forms.CharField(
        label="New password",
        required=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    class Meta:
        model = Person
        fields = [
            "first_name",
            "username",
            "email",
            "role",
            "bench_hours_per_day",
            "working_days",
            "is_active",
        ]
        widgets = {"role": forms.RadioSelect}
        labels = {
            "username": "Name to sign in with",
            "is_active": "May sign in",
            "bench_hours_per_day": "Bench hours a day",
        }
        help_texts = {"username": "Letters, digits and . - _ only.", "is_active": ""}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial["working_days"] = list(self.instance.working_days)
        if not self.instance.pk:
            self.fields["password"].required = True
            self.fields["password"].label = "Password"

    def clean_working_days(self):
        return "".join(sorted(self.cleaned_data["working_days"]))

    def clean_password(self):
        if self.cleaned_data["password"]:
            validate_password(self.cleaned_data["password"], self.instance)
        return self.cleaned_data["password"]

    def clean(self):
        cleaned = super().clean()
        still_owner = cleaned.get("role") == Person.Role.OWNER and cleaned.get("is_active")
        others = Person.objects.filter(role=Person.Role.OWNER, is_active=True).exclude(pk=self.instance.pk)
        if self.instance.pk and not still_owner and not others.exists():
            raise ValidationError("The book needs an owner who can sign in. Make somebody else owner first.")
        return cleaned


class DayOffForm(ShopModelForm):
    """A day on which somebody, or the whole shop, is away."""

    class Meta:
        model = DayOff
        fields = ["date", "person", "reason"]
        widgets = {"date": DATE}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["person"].empty_label = "The whole shop"
        self.fields["person"].help_text = ""


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
        fields = [
            "metal",
            "thickness_mm",
            "length_mm",
            "width_mm",
            "cost",
            "kind",
            "state",
            "expected_on",
            "place",
            "heat_number",
        ]
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
