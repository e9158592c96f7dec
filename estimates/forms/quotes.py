"""Forms of a draft: its lines, the owner's own figures, its words and its panels."""

from decimal import Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from estimates.models import Quote, QuoteLine
from jobs.models import Panel
from shop.forms import HoursField, MoneyField, PercentField, ShopForm, ShopModelForm
from shop.forms.stale import StaleGuard

DATE = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
TEXT = {"class": "text-box", "rows": 6}
MOST_WORDS = 20_000  # some eight pages
MOST_STAGE_HOURS = Decimal("2000")  # a year of one person at the bench


class CurrencyField(MoneyField):
    """An amount with no more decimals than the shop's currency has."""

    def __init__(self, *, decimals: int = 2, **kwargs):
        self.decimals = decimals
        super().__init__(**kwargs)

    def read(self, text):
        amount = super().read(text)
        if amount != round(amount, self.decimals):
            raise ValidationError(
                f"Write at most {self.decimals} decimals, as the currency has." if self.decimals
                else "Write whole units: the currency has no decimals.",
                code="decimals",
            )  # fmt: skip
        return amount


class MoneyForm(ShopForm):
    """A form whose amounts are of the shop's currency."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, CurrencyField):
                field.decimals = self.shop.currency_decimals


class VersionMixin(forms.Form):
    """Carries the version of the draft the page was made from."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0, max_value=2**31 - 1)


class TextsForm(StaleGuard, ShopModelForm):
    """What is offered, terms, how long it holds, and the deposit."""

    intro = forms.CharField(
        label="What is offered", max_length=MOST_WORDS, required=False, widget=forms.Textarea(TEXT)
    )
    terms = forms.CharField(max_length=MOST_WORDS, required=False, widget=forms.Textarea(TEXT))
    deposit_percent = PercentField(label="Deposit", help_text="Share of the price, asked for on acceptance.")

    class Meta:
        model = Quote
        fields = ["intro", "terms", "valid_until", "deposit_percent"]
        widgets = {"valid_until": DATE}
        labels = {"valid_until": "Valid until"}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        days = self.shop.quote_valid_days
        self.fields["valid_until"].help_text = f"Empty: {days} days from the day it is sent."

    def clean_valid_until(self):
        until = self.cleaned_data["valid_until"]
        if until and until < timezone.localdate() and until != self.initial.get("valid_until"):
            raise ValidationError("That day is past. Write a day to come, or leave it empty.", code="past")
        return until


class OverrideHoursForm(VersionMixin, MoneyForm):
    """The owner's own range of hours for a stage."""

    low_hours = HoursField(label="Half are done in", most=MOST_STAGE_HOURS)
    high_hours = HoursField(label="Four in five in", most=MOST_STAGE_HOURS)
    reason = forms.CharField(label="Why", max_length=200, error_messages={"required": "Say why, for later."})
    none = forms.BooleanField(label="Nothing to do at this stage", required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["low_hours"].widget.attrs["autofocus"] = True
        if self.is_bound and self.data.get("none"):
            self.fields["low_hours"].required = self.fields["high_hours"].required = False

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("none"):
            return cleaned | {"low_hours": Decimal(0), "high_hours": Decimal(0)}
        low, high = cleaned.get("low_hours"), cleaned.get("high_hours")
        if low and high and high < low:
            least = f"{low.normalize():f}"
            self.add_error(
                "high_hours", f"Four in five take at least as long as half. Write {least} or more."
            )
        return cleaned

    def figure(self) -> dict:
        hundredth = Decimal("0.01")
        return {name: self.cleaned_data[name].quantize(hundredth) for name in ("low_hours", "high_hours")}


class OverrideMoneyForm(VersionMixin, MoneyForm):
    """The owner's own price of a line, as the customer reads it."""

    amount = CurrencyField(label="Its price")
    reason = forms.CharField(label="Why", max_length=200, error_messages={"required": "Say why, for later."})

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["amount"].widget.attrs["autofocus"] = True
        tax = "with" if self.shop.prices_include_tax else "without"
        self.fields["amount"].help_text = f"As the customer reads it, {tax} {self.shop.tax_name}."

    def figure(self) -> dict:
        return {"amount": self.cleaned_data["amount"]}


class LineForm(VersionMixin, MoneyForm):
    """Bought-in work, something else, or a discount."""

    kind = forms.ChoiceField(
        choices=QuoteLine.Kind, initial=QuoteLine.Kind.BOUGHT_IN, widget=forms.RadioSelect
    )
    label = forms.CharField(label="What it is", max_length=160, help_text="The customer reads this.")
    figure = forms.CharField(
        label="Amount", max_length=20, help_text="What it costs you. For a discount what is taken off, or 5 %.",
        widget=forms.TextInput({"autocomplete": "off", "inputmode": "text"}),
    )  # fmt: skip
    reason = forms.CharField(label="Why, for a discount", max_length=200, required=False)
    is_option = forms.BooleanField(label="The customer may add it or not", required=False)

    def clean(self):
        cleaned = super().clean()
        if "figure" in cleaned:
            self._read_figure(cleaned)
        if cleaned.get("kind") == QuoteLine.Kind.DISCOUNT:
            if not cleaned.get("reason"):
                self.add_error("reason", "Say why there is a discount.")
            if cleaned.get("is_option"):
                self.add_error(
                    "is_option", "A discount is not for the customer to choose. Take the tick out."
                )
        return cleaned

    def _read_figure(self, cleaned: dict) -> None:
        text = cleaned["figure"].strip()
        is_percent = text.endswith("%")
        decimals = 2 if is_percent else self.shop.currency_decimals
        field = CurrencyField(
            symbol=self.shop.currency_symbol, style=self.shop.money_style, decimals=decimals
        )
        cleaned["amount"], cleaned["percent"] = Decimal(0), None
        try:
            number = field.clean(text.removesuffix("%").strip())
        except ValidationError as error:
            self.add_error("figure", error)
            return
        if number == 0:
            self.add_error("figure", "Nothing at all is no line. Write more than 0.")
        elif not is_percent:
            cleaned["amount"] = number
        elif cleaned.get("kind") != QuoteLine.Kind.DISCOUNT:
            self.add_error("figure", "Only a discount is written in per cent. Write an amount.")
        elif number > 100:
            self.add_error("figure", "A discount is at most 100 %.")
        else:
            cleaned["percent"] = number

    def line(self) -> QuoteLine:
        names = ("kind", "label", "amount", "percent", "is_option", "reason")
        return QuoteLine(**{name: self.cleaned_data[name] for name in names})


class PanelsForm(VersionMixin, ShopForm):
    """Which of the job's panels are on the quote."""

    panels = forms.ModelMultipleChoiceField(
        label="Panels on this quote", queryset=Panel.objects.none(), required=False,
        widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip

    def __init__(self, *args, quote: Quote, **kwargs):
        super().__init__(*args, **kwargs)
        agreed = quote.job.quotes.filter(state=Quote.State.ACCEPTED)
        panels = quote.job.panels.exclude(quotes__in=agreed).select_related("job").order_by("position")
        self.fields["panels"].queryset = panels
        self.initial.setdefault("panels", [panel.pk for panel in quote.panels.all()])


class PriceForm(VersionMixin, ShopForm):
    """At which confidence the hours are priced."""

    confidence = forms.DecimalField(
        min_value=Decimal("0.50"), max_value=Decimal("0.95"), max_digits=3, decimal_places=2
    )


class SendForm(VersionMixin, ShopForm):
    """What the owner saw when they pressed Send."""

    total = forms.DecimalField(required=False, max_digits=16, decimal_places=4)
