"""The form for metal cut from the rack."""

import math

from django import forms

from jobs.material import Size, blank_size, said_size, size_of, usable_sheets, what_is_left
from shop.forms import LengthField, ShopForm, SubmissionMixin
from shop.models import SheetStock


def rounded_up(length_mm: float, units: str) -> float:
    """A length no shorter than asked, in steps that a rule shows: 0.1 mm or 1/32 in."""
    step_mm = 25.4 / 32 if units == "in" else 0.1
    return math.ceil(length_mm / step_mm - 1e-6) * step_mm


class SheetField(forms.ModelChoiceField):
    """A sheet or drop with what it measures, where it is, and what stays of it."""

    widget = forms.RadioSelect

    def __init__(self, **options):
        super().__init__(queryset=SheetStock.objects.none(), empty_label=None, **options)
        self.blank: Size | None = None

    def label_from_instance(self, sheet):
        left = what_is_left(size_of(sheet), self.blank) if self.blank else None
        what = "drop" if sheet.kind == SheetStock.Kind.DROP else "sheet"
        parts = [f"{sheet.code}, {what} {said_size(size_of(sheet))}", sheet.place]
        if self.blank:
            parts.append(f"leaves {said_size(left)}" if left else "leaves scrap")
        return ", ".join(part for part in parts if part)


class MaterialForm(SubmissionMixin, ShopForm):
    """A piece cut from a sheet, and what came back."""

    FIGURED, MEASURED, NOTHING = "figured", "measured", "nothing"

    sheet = SheetField(label="Cut from", error_messages={
        "required": "Pick the sheet or drop it is cut from.",
        "invalid_choice": "There is no such sheet. Pick another.",
    })  # fmt: skip
    length = LengthField(label="Piece, length")
    width = LengthField(label="Piece, width")
    came_back = forms.ChoiceField(
        label="What came back",
        choices=[(FIGURED, "What is left, as figured"), (MEASURED, "As measured"), (NOTHING, "Nothing worth keeping")],
        widget=forms.RadioSelect, initial=FIGURED,
    )  # fmt: skip
    drop_length = LengthField(label="Drop, length", required=False)
    drop_width = LengthField(label="Drop, width", required=False)
    place = forms.CharField(label="Where the drop goes", required=False, max_length=60)
    note = forms.CharField(required=False, max_length=200)

    def __init__(self, *args, panel, offered, shop, **kwargs):
        blank = blank_size(panel)
        initial = {
            "length": rounded_up(blank.length_mm, shop.units),
            "width": rounded_up(blank.width_mm, shop.units),
            "sheet": offered[0].pk if offered else None,
        }
        super().__init__(*args, shop=shop, initial=initial, **kwargs)
        # Whoever cuts from a sheet that only just fits a smaller piece finds it further down the list.
        others = [sheet for sheet in usable_sheets(panel) if sheet.pk not in {one.pk for one in offered}]
        field = self.fields["sheet"]
        # Any sheet is let through here: cutting itself says why one cannot be cut, and by whom it was.
        field.queryset = SheetStock.objects.select_related("metal")
        field.blank = blank
        field.choices = [(sheet.pk, field.label_from_instance(sheet)) for sheet in [*offered, *others]]

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("came_back") == self.MEASURED:
            for name in ("drop_length", "drop_width"):
                if cleaned.get(name) is None and name not in self.errors:
                    self.add_error(name, "Write what the drop measures, or pick one of the other two.")
        return cleaned

    def drop(self) -> Size | None:
        """What came back, of a form that is valid."""
        given = self.cleaned_data
        if given["came_back"] == self.MEASURED:
            return Size(given["drop_length"], given["drop_width"])
        if given["came_back"] == self.FIGURED:
            return what_is_left(size_of(given["sheet"]), Size(given["length"], given["width"]))
        return None
