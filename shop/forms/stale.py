"""Refusing to save over what somebody else changed while the form was open."""

from django import forms
from django.core import signing

from shop.audit import changed, snapshot
from shop.forms.fields import TradeField


class StaleGuard(forms.ModelForm):
    """Mixin for model forms: remembers what the row said when the page was made.

    The page carries the values in a signed hidden field. Where the row has changed since, the form says what
    changed, keeps what was typed, and saves on the next press.
    """

    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.fields["seen"].initial = signing.dumps(self._stored(), compress=True)

    def clean(self):
        cleaned = super().clean()
        if not self.instance.pk or not self.data.get(self.add_prefix("seen")):
            return cleaned
        try:
            seen = signing.loads(self.data[self.add_prefix("seen")])
        except signing.BadSignature:
            seen = {}
        if differences := changed(seen, self._stored()):
            self.data = self.data.copy()
            self.data[self.add_prefix("seen")] = signing.dumps(self._stored(), compress=True)
            said = "; ".join(
                f"{self._label(name)} is now {self._said(name, new)}"
                for name, (_, new) in differences.items()
            )
            raise forms.ValidationError(
                f"Somebody changed this while you had it open: {said}. Look at it, then save again.",
                code="stale",
            )
        return cleaned

    def _stored(self):
        row = self._meta.model._default_manager.get(pk=self.instance.pk)
        # A form may leave fields out for some people; what they do not see cannot be written over.
        return snapshot(
            row, [name for name in self._meta.fields if name in self.fields and hasattr(row, name)]
        )

    def _said(self, name, value):
        field = self.fields[name]
        return field.said(value) if isinstance(field, TradeField) and value is not None else value

    def _label(self, name):
        return self.fields[name].label or name.replace("_", " ")
