"""The form for metal cut from the rack."""

from django import forms

from jobs.rack import Size, blank_size, may_turn, said_size, size_of, what_is_left
from shop.forms import LengthField, ShopForm, SubmissionMixin
from shop.lengths import rounded_up
from shop.models import SheetStock


class SheetField(forms.ModelChoiceField):
    """A sheet or drop with what it measures, where it is, and what stays of it."""

    widget = forms.RadioSelect

    def __init__(self, **options):
        super().__init__(queryset=SheetStock.objects.none(), empty_label=None, **options)
        self.blank: Size | None = None
        self.turnable = True

    def label_from_instance(self, sheet):
        what = "drop" if sheet.kind == SheetStock.Kind.DROP else "sheet"
        parts = [f"{sheet.code}, {what} {said_size(size_of(sheet))}", sheet.place]
        if self.blank:
            parts.append(self._outcome(size_of(sheet)))
        return ", ".join(part for part in parts if part)

    def _outcome(self, size: Size) -> str:
        """What stays of a sheet once the blank is cut from it, or why it is not."""
        if not self.blank.fits_in(size):
            return "smaller than the blank"
        if not self.blank.fits_in(size, turnable=self.turnable):
            return "fits only across the rolling direction"
        left = what_is_left(size, self.blank, turnable=self.turnable)
        return f"leaves {said_size(left)}" if left else "leaves scrap"


class MaterialForm(SubmissionMixin, ShopForm):
    """A piece cut from a sheet, and what came back.

    ``fitting`` sheets are offered first, ``others`` apart from them. Where ``booked`` pieces are on the panel already,
    another wants a tick.
    """

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
    another = forms.BooleanField(required=False, label="Yes, book another piece")
    booked_seen = forms.IntegerField(required=False, widget=forms.HiddenInput, min_value=0)

    def __init__(self, *args, panel, fitting, others, booked, shop, **kwargs):
        blank = blank_size(panel)
        initial = {
            "length": rounded_up(blank.length_mm, shop.units),
            "width": rounded_up(blank.width_mm, shop.units),
            "sheet": fitting[0].pk if fitting else None,
            "booked_seen": len(booked),
        }
        super().__init__(*args, shop=shop, initial=initial, **kwargs)
        self.turnable, self.fitting = may_turn(panel), len(fitting)
        field = self.fields["sheet"]
        # Any sheet is let through here: cutting itself says why one cannot be cut, and by whom it was.
        field.queryset = SheetStock.objects.select_related("metal")
        field.blank, field.turnable = blank, self.turnable
        field.choices = [(sheet.pk, field.label_from_instance(sheet)) for sheet in [*fitting, *others]]

    @property
    def offered(self):
        """The choices that the blank fits on."""
        return self["sheet"].subwidgets[: self.fitting]

    @property
    def not_fitting(self):
        """The choices that it does not: a smaller piece may still come from one."""
        return self["sheet"].subwidgets[self.fitting :]

    @property
    def others_open(self) -> bool:
        """Whether those are to be seen at once: nothing else is there, or one of them is picked."""
        return not self.fitting or any(option.data["selected"] for option in self.not_fitting)

    def ask_again(self, booked: int) -> None:
        """Show as many pieces as there are booked now, without the tick that was given for another number."""
        self.data = self.data.copy()
        self.data["booked_seen"] = str(booked)
        self.data.pop("another", None)

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
            piece = Size(given["length"], given["width"])
            return what_is_left(size_of(given["sheet"]), piece, turnable=self.turnable)
        return None
