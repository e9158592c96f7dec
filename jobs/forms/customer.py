"""The form of a customer."""

from django import forms

from jobs.customers import FIELDS
from jobs.models import Customer
from shop.forms import ShopModelForm, SubmissionMixin
from shop.forms.stale import StaleGuard


class CustomerForm(SubmissionMixin, StaleGuard, ShopModelForm):
    """Who they are and how to reach them."""

    class Meta:
        model = Customer
        fields = FIELDS
        widgets = {
            "address": forms.Textarea({"class": "text-box", "rows": 4}),
            "note": forms.Textarea({"class": "text-box", "rows": 4}),
        }
