"""Forms of the standing data: the shop and its people."""

import re

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from shop.forms.fields import LengthField, MoneyField, PercentField
from shop.forms.shop_form import ShopModelForm
from shop.forms.stale import StaleGuard
from shop.marks import as_mark
from shop.models import DayOff, Person, Shop

WEEKDAYS = [("1", "Mon"), ("2", "Tue"), ("3", "Wed"), ("4", "Thu"), ("5", "Fri"), ("6", "Sat"), ("7", "Sun")]
DATE = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


def currency_code(text: str) -> str:
    """The three letters of a currency, or a ``ValidationError`` that says so."""
    if not re.fullmatch(r"[A-Za-z]{3}", text):
        raise ValidationError("Write the three letters of the currency, such as EUR, GBP or USD.")
    return text.upper()


class CurrencyField(forms.CharField):
    """A currency's three letters. More may be typed: cut off by the browser, dollars would pass as DOL."""

    def __init__(self, **kwargs):
        super().__init__(max_length=40, **kwargs)

    def clean(self, value):
        return currency_code(super().clean(value))


class ShopSettingsForm(StaleGuard, ShopModelForm):
    """Everything about the shop itself."""

    currency = CurrencyField(label="Currency code")
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

    def clean_mark(self):
        mark = self.cleaned_data["mark"]
        return as_mark(mark) if "mark" in self.changed_data and mark else mark


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
