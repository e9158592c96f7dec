"""Forms of papers: which labels on which sheet, and gauges typed in."""

from django import forms
from django.core.exceptions import ValidationError

from estimates.paper.labels import SHEETS
from shop.forms import LengthField, ShopForm

MOST_SKIPPED = max(sheet.count for sheet in SHEETS.values()) - 1


class LabelsForm(ShopForm):
    """What to label, on which sheet, from which label on."""

    what = forms.ChoiceField(
        label="Labels for",
        choices=[("panels", "panels"), ("stages", "stages"), ("sheets", "sheets and drops")],
        widget=forms.RadioSelect,
    )
    sheet = forms.ChoiceField(
        label="Sheet of labels", choices=[(key, one.said) for key, one in SHEETS.items()]
    )
    skip = forms.IntegerField(
        label="Labels used already", min_value=0, max_value=MOST_SKIPPED, required=False,
        help_text="Counted along the rows, so that a begun sheet is used up.",
    )  # fmt: skip

    def __init__(self, *args, has_job: bool, **kwargs):
        super().__init__(*args, **kwargs)
        if not has_job:
            self.fields["what"].choices = [("sheets", "sheets and drops")]
        self.fields["what"].initial = self.fields["what"].choices[0][0]
        self.fields["sheet"].initial = "letter-30" if self.shop.paper == "Letter" else "a4-24"

    def clean(self):
        cleaned = super().clean()
        sheet = SHEETS.get(cleaned.get("sheet", ""))
        if sheet and (cleaned.get("skip") or 0) >= sheet.count:
            self.add_error("skip", f"That sheet has {sheet.count} labels. Write less than that.")
        return cleaned


class GaugeForm(ShopForm):
    """A gauge from a chord and either a radius or a height."""

    chord = LengthField(label="Chord")
    radius = LengthField(label="Radius", required=False)
    height = LengthField(label="Height over the chord", required=False)

    def clean(self):
        cleaned = super().clean()
        if not self.errors and bool(cleaned.get("radius")) == bool(cleaned.get("height")):
            raise ValidationError(
                "Give the chord and one of the others: the radius, or the height over the chord."
            )
        return cleaned
