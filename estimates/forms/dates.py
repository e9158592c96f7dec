"""Forms of the dates page: what an enquiry takes, and what is promised."""

from decimal import Decimal

from django import forms

from shop.forms import HoursField, ShopForm

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
MOST_HOURS = Decimal("5000")


class EnquiryHoursForm(ShopForm):
    """Hours of an enquiry: its middle, and its high end where that is known."""

    low = HoursField(label="Half of such jobs take", most=MOST_HOURS)
    high = HoursField(label="Four in five take at most", most=MOST_HOURS, required=False)

    def clean(self):
        cleaned = super().clean()
        low, high = cleaned.get("low"), cleaned.get("high")
        if low and high and high < low:
            self.add_error(
                "high", f"Four in five take at least as long as half: write {low.normalize():f} or more."
            )
        return cleaned


class PromiseForm(forms.Form):
    """A date to promise; empty takes the promise back. ``seen`` is what stood on the page."""

    promised_on = forms.DateField(
        required=False, widget=DAY, error_messages={"invalid": "Write a day such as 2026-05-29."}
    )
    seen = forms.DateField(required=False)
