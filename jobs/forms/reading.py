"""The form for a reading at the bench."""

from django import forms

from jobs.forms.bench import PressedAtMixin
from jobs.models import Reading
from jobs.reading_words import read
from shop.forms import ShopForm, SubmissionMixin
from shop.lengths import Unreadable


class ReadingForm(PressedAtMixin, SubmissionMixin, ShopForm):
    """A reading of one kind after one pass, typed in the shop's units.

    ``step`` is set where plus or minus was pressed without a script: the page then comes back with the value moved.
    """

    kind = forms.ChoiceField(choices=Reading.Kind.choices)
    pass_number = forms.IntegerField(min_value=0, max_value=1000)
    value = forms.CharField(max_length=60, error_messages={"required": "Write what you read first."})
    note = forms.CharField(required=False, max_length=200)
    step = forms.TypedChoiceField(
        choices=[(-1, "less"), (1, "more")], coerce=int, required=False, empty_value=0
    )

    def clean(self):
        cleaned = super().clean()
        if "value" in cleaned and "kind" in cleaned:
            try:
                cleaned["amount"] = read(cleaned["kind"], cleaned["value"], self.shop)
            except Unreadable as error:
                self.add_error("value", str(error))
        return cleaned
