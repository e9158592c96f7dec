"""The questions of a closing: whether a panel that came out far from what was expected teaches."""

from collections.abc import Iterable, Mapping

from django import forms

from estimates.history import MOST_REASON
from estimates.lessons import Verdict
from shop.forms import ShopForm
from shop.models import Shop

CLOSE_FORM = "close-the-job"  # the fields stand beside the figures, outside the form that sends them


class TeachingForm(ShopForm):
    """One panel: let it teach, or leave it out for a reason. What an answer needs is said by :mod:`estimates.lessons`."""

    teaches = forms.ChoiceField(
        label="Does it teach the next estimate?",
        choices=[("yes", "Let it teach"), ("no", "Leave it out of the past panels, because…")],
        widget=forms.RadioSelect(attrs={"form": CLOSE_FORM}), required=False,
    )  # fmt: skip
    reason = forms.CharField(
        label="Why it is left out", required=False,
        widget=forms.TextInput(attrs={"form": CLOSE_FORM, "maxlength": MOST_REASON, "autocomplete": "off"}),
    )  # fmt: skip

    def verdict(self) -> Verdict | None:
        """The answer; nothing where none was chosen."""
        self.is_valid()
        chosen = self.cleaned_data.get("teaches")
        return Verdict(chosen == "yes", self.cleaned_data.get("reason", "")) if chosen else None

    def refuse(self, text: str) -> None:
        """Put a refusal beside the field that it speaks of."""
        self.add_error("reason" if self.verdict() else "teaches", text)


def teaching_forms(
    panels: Iterable[int], shop: Shop, data: Mapping | None = None, was: Mapping[int, str] | None = None
) -> dict[int, TeachingForm]:
    """One form for each panel, by its key; ``was`` holds reasons given when the job was closed before."""
    held = {pk: {"teaches": "no", "reason": reason} for pk, reason in (was or {}).items() if reason}
    return {pk: TeachingForm(data, shop=shop, prefix=f"panel-{pk}", initial=held.get(pk)) for pk in panels}
