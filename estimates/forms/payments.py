"""The form of a payment."""

from decimal import Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from estimates.forms.quotes import DATE, CurrencyField, MoneyForm
from estimates.models import Payment
from shop.forms import SubmissionMixin


class PaymentForm(SubmissionMixin, MoneyForm):
    """Money that came in or went back."""

    kind = forms.ChoiceField(
        label="What it is", choices=Payment.Kind, initial=Payment.Kind.PAYMENT, widget=forms.RadioSelect
    )
    amount = CurrencyField(label="Amount")
    received_on = forms.DateField(label="On", widget=DATE, initial=timezone.localdate)
    note = forms.CharField(
        label="Note", max_length=200, required=False, help_text="Such as by bank, or invoice 31."
    )

    sure = forms.CharField(required=False, max_length=30, widget=forms.HiddenInput)
    asked_about: Decimal | None = None  # an amount far past what is open, where the page asks if it is meant

    @property
    def is_sure(self) -> bool:
        """Whether the very amount that was asked about comes again."""
        return self.cleaned_data["sure"] == str(self.cleaned_data["amount"])

    def clean_amount(self):
        if self.cleaned_data["amount"] == 0:
            raise ValidationError("Nothing at all is no payment. Write more than 0.", code="zero")
        return self.cleaned_data["amount"]

    def payment(self) -> Payment:
        return Payment(
            **{name: self.cleaned_data[name] for name in ("kind", "amount", "received_on", "note")}
        )
