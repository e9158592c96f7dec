"""Forms at the bench: the clock, passes, notes, progress."""

from decimal import Decimal

from django import forms

from jobs.presses import KEPT_FOR, PressRefused, pressed_at
from shop.forms import ShopForm, SubmissionMixin

QUARTERS = [("0", "0"), ("0.25", "a quarter"), ("0.5", "half"), ("0.75", "three quarters"), ("1", "done")]


class PressedAtMixin(forms.Form):
    """A hidden time that a phone without signal fills in: when the press was made."""

    pressed_at = forms.CharField(widget=forms.HiddenInput, required=False, max_length=60)
    kept_for = KEPT_FOR

    def clean_pressed_at(self):
        try:
            return pressed_at(self.cleaned_data["pressed_at"], self.kept_for)
        except PressRefused as refusal:
            raise forms.ValidationError(str(refusal), code="pressed-at") from refusal


class ClockForm(PressedAtMixin, SubmissionMixin, ShopForm):
    """One press of the clock. ``running`` is the running entry that the person was shown."""

    IN, OUT, UNDO = "in", "out", "undo"

    press = forms.ChoiceField(choices=[(IN, "Start"), (OUT, "Stop"), (UNDO, "Undo the stop")])
    running = forms.IntegerField(required=False, min_value=1)
    entry = forms.IntegerField(required=False, min_value=1)


class PassForm(ShopForm):
    """A tick at a pass, or taking it back."""

    number = forms.IntegerField(min_value=1, max_value=1000)
    gathers_made = forms.IntegerField(
        label="Gathers it took", required=False, min_value=0, max_value=2000,
        error_messages=dict.fromkeys(
            ("invalid", "min_value", "max_value"), "Write a whole number from 0 to 2000, or leave it empty."
        ),
    )  # fmt: skip
    untick = forms.BooleanField(required=False)
    sure = forms.CharField(max_length=60, required=False)
    asked = False  # whether the page asks if a count far from the plan is meant

    @property
    def is_sure(self) -> bool:
        """Whether the very count that was asked about comes again."""
        return bool(self.cleaned_data["sure"]) and self.cleaned_data["sure"] == self.data.get("gathers_made")

    @property
    def row(self) -> int | None:
        """The pass whose line the refusal belongs to."""
        return self.cleaned_data.get("number")


class NoteForm(PressedAtMixin, SubmissionMixin, ShopForm):
    """A note on the stage."""

    text = forms.CharField(
        label="Note", max_length=2000, widget=forms.Textarea({"rows": 3, "class": "text-box"}),
        error_messages={"required": "Write a few words first."},
    )  # fmt: skip
    for_other_hand = forms.BooleanField(label="Repeat on the other hand", required=False)


class ProgressForm(PressedAtMixin, ShopForm):
    """How far the stage has got: one of the quarters, or a number of one's own.

    ``seen`` names what was shown as still open when the person said that the stage is done all the same.
    """

    share = forms.ChoiceField(
        label="How far", choices=QUARTERS, required=False, widget=forms.RadioSelect,
        error_messages={"invalid_choice": "Pick one of these, or write a number of your own."},
    )  # fmt: skip
    percent = forms.DecimalField(
        label="Or a number of your own", required=False, min_value=0, max_value=100, decimal_places=1,
        widget=forms.TextInput({"inputmode": "decimal"}),
        error_messages=dict.fromkeys(
            ("invalid", "min_value", "max_value", "max_digits", "max_decimal_places", "max_whole_digits"),
            "Write a number from 0 to 100, with at most one decimal: 40 or 12.5.",
        ),
    )  # fmt: skip
    reopen = forms.BooleanField(required=False, widget=forms.HiddenInput)
    seen = forms.CharField(required=False, widget=forms.HiddenInput, max_length=4000)
    stop_clock = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("reopen") or self.errors:
            return cleaned
        if cleaned.get("percent") is not None:
            cleaned["progress"] = cleaned["percent"] / 100
        elif cleaned.get("share"):
            cleaned["progress"] = Decimal(cleaned["share"])
        else:
            self.add_error("share", "Pick how far it has got, or write a number.")
        return cleaned
