"""The form of the first page of a new book."""

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from shop.currencies import usual_for
from shop.figures import MONEY_STYLES
from shop.forms.fields import MoneyField
from shop.forms.shop_form import ShopForm
from shop.forms.standing import CurrencyField
from shop.models import Person, Shop
from shop.setting_up import is_set_up_code


class SetUpForm(ShopForm):
    """The first page of a new book: the shop's name and who owns it."""

    shop_name = forms.CharField(label="Name of the shop", max_length=80)
    time_zone = forms.CharField(
        label="Time zone", initial="UTC", help_text="Such as Europe/Dublin or America/Chicago.",
        validators=Shop._meta.get_field("time_zone").validators,
    )  # fmt: skip
    units = forms.ChoiceField(label="Lengths in", choices=Shop.Units, initial="mm", widget=forms.RadioSelect)
    paper = forms.ChoiceField(label="Paper", choices=Shop.Paper, initial="A4", widget=forms.RadioSelect)
    currency = CurrencyField(
        label="Currency code", initial="EUR", help_text="Three letters, such as EUR, GBP or USD."
    )
    currency_symbol = forms.CharField(
        label="Currency sign", max_length=5, required=False, help_text="Left empty: the usual one, € or $."
    )
    money_style = forms.ChoiceField(
        label="Money written as", choices=[("", "as usual"), *Shop.MoneyWriting.choices],
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
