"""Forms for hours: by hand, corrected, and the end of a forgotten clock."""

from django import forms
from django.utils import timezone

from jobs.forgotten import GuessedEnd
from jobs.models import Job, Stage
from jobs.time_entries import said
from shop.forms import HoursField, ShopForm, SubmissionMixin

DAY = forms.DateInput({"type": "date"}, format="%Y-%m-%d")


class StageField(forms.ModelChoiceField):
    """A stage, by panel and name."""

    def label_from_instance(self, stage):
        return f"{stage.panel.mark} {stage.panel.name}, {stage.kind.name.lower()}"


def stages_open():
    """Stages of jobs in work, with what is needed to name them."""
    return Stage.objects.filter(panel__job__state=Job.State.IN_WORK).select_related("kind", "panel__job")


class HoursForm(SubmissionMixin, ShopForm):
    """Hours by hand on one of a panel's stages."""

    stage = StageField(queryset=Stage.objects.none(), empty_label=None)
    day = forms.DateField(
        widget=DAY, initial=timezone.localdate, error_messages={"required": "Write the day."}
    )
    hours = HoursField(label="Hours")
    note = forms.CharField(required=False, max_length=200)

    def __init__(self, *args, panel, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["stage"].queryset = Stage.objects.filter(panel=panel).select_related("kind", "panel__job")


class CorrectForm(ShopForm):
    """What an entry should say, and why. ``seen`` is how often it had been corrected when the page was opened."""

    stage = StageField(queryset=Stage.objects.none(), empty_label=None)
    day = forms.DateField(widget=DAY, error_messages={"required": "Write the day."})
    hours = HoursField(label="Hours")
    reason = forms.CharField(
        label="Why", max_length=200, error_messages={"required": "Say why, in a few words."}
    )
    seen = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    strike = forms.BooleanField(required=False)

    def __init__(self, *args, entry, **kwargs):
        super().__init__(*args, **kwargs)
        # Any stage in work, and where it stands now even if that job is closed.
        self.fields["stage"].queryset = (
            Stage.objects.filter(pk=entry.stage_id)
            | Stage.objects.filter(panel__job__state=Job.State.IN_WORK)
        ).select_related("kind", "panel__job")

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("strike"):  # the hours do not matter then, whatever stands in their field
            self.errors.pop("hours", None)
        return cleaned


class MendForm(ShopForm):
    """When a forgotten clock really stopped, in the shop's own time. A ``guess`` is offered, never filled in."""

    OTHER = "other"

    when = forms.ChoiceField(
        label="The work stopped", widget=forms.RadioSelect, required=False,
        error_messages={"invalid_choice": "That guess holds no more. Pick again."},
    )  # fmt: skip
    ended_at = forms.DateTimeField(
        label="Day and time", required=False,
        widget=forms.DateTimeInput({"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        error_messages={
            "required": "Write the day and the time.",
            "invalid": "This cannot be read. Write it as 2026-05-14 17:30.",
        },
    )  # fmt: skip
    note = forms.CharField(required=False, max_length=200, initial="Forgot to stop the clock")

    def __init__(self, *args, guess: GuessedEnd | None, **kwargs):
        super().__init__(*args, **kwargs)
        self.guess = guess
        at_guess = [(guess.at.isoformat(), f"{said(guess.at)}, as guessed")] if guess else []
        self.fields["ended_at"].required = guess is None
        if guess:
            self.fields["ended_at"].label = "If at another time: day and time"
        self.fields["when"].choices = [*at_guess, (self.OTHER, "At another time")]

    def clean(self):
        cleaned = super().clean()
        written, picked = cleaned.get("ended_at"), cleaned.get("when")
        if self.errors:
            return cleaned
        if picked in ("", self.OTHER) and written is None:
            words = (
                "Write the day and the time."
                if picked or not self.guess
                else "Pick the guess, or write the time."
            )
            self.add_error("ended_at", words)
        elif picked not in ("", self.OTHER):
            if written not in (None, self.guess.at):
                self.add_error("ended_at", "You picked the guess and wrote another time. Pick one of them.")
            cleaned["ended_at"] = self.guess.at
        return cleaned
