"""The form for a reading at the bench."""

from django import forms

from jobs.forms.bench import PressedAtMixin
from jobs.models import Reading
from jobs.reading_words import ON_THE_OUTSIDE, ON_THE_OUTSIDE_SAID, read
from shop.forms import ShopForm, SubmissionMixin
from shop.lengths import Unreadable


class ReadingForm(PressedAtMixin, SubmissionMixin, ShopForm):
    """A reading of one kind after one pass, typed in the shop's units.

    ``step`` is set where plus or minus was pressed without a script: the page then comes back with the value moved.
    """

    kind = forms.ChoiceField(choices=[*Reading.Kind.choices, (ON_THE_OUTSIDE, ON_THE_OUTSIDE_SAID)])
    pass_number = forms.IntegerField(min_value=0, max_value=1000)
    value = forms.CharField(max_length=60, required=False)
    plan = forms.CharField(
        max_length=60, required=False
    )  # what plus and minus start from where nothing is typed
    note = forms.CharField(required=False, max_length=200)
    sure = forms.CharField(required=False, max_length=60)
    asked = False  # whether the page asks if a value far from the plan is meant
    step = forms.TypedChoiceField(
        choices=[(-1, "less"), (1, "more")], coerce=int, required=False, empty_value=0
    )

    @property
    def is_sure(self) -> bool:
        """Whether the very value that was asked about comes again."""
        return bool(self.cleaned_data["sure"]) and self.cleaned_data["sure"] == self.cleaned_data["value"]

    def clean(self):
        cleaned = super().clean()
        written = cleaned.get("value") or (cleaned.get("plan") if cleaned.get("step") else "")
        if not written and "value" in cleaned:
            self.add_error("value", "Write what you read first.")
        elif "kind" in cleaned and "value" in cleaned:
            try:
                cleaned["amount"] = read(cleaned["kind"], written, self.shop)
            except Unreadable as error:
                self.add_error("value", str(error))
        return cleaned
