"""Forms of a quote that was sent: its link, its answer, and questions both ways."""

from django import forms

from estimates.forms.quotes import TEXT
from estimates.models import Answer
from shop.forms import ShopForm, SubmissionMixin


class EmailForm(SubmissionMixin, ShopForm):
    """The link by e-mail."""

    to = forms.EmailField(
        label="To", max_length=254, error_messages={"invalid": "That is no e-mail address."}
    )
    words = forms.CharField(
        label="What it says", max_length=5000, widget=forms.Textarea(TEXT | {"rows": 9}),
        help_text="The link is put under it.",
    )  # fmt: skip


class StatementEmailForm(EmailForm):
    """A statement by e-mail."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["words"].help_text = "The statement goes with it as a PDF."


class ReplyForm(ShopForm):
    text = forms.CharField(label="Your reply", max_length=2000, widget=forms.Textarea(TEXT | {"rows": 4}))


class OptionsMixin(forms.Form):
    """The options of a sent quote, to be ticked."""

    options = forms.MultipleChoiceField(required=False, widget=forms.CheckboxSelectMultiple)

    def __init__(self, *args, options: list[tuple[str, str]], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["options"].choices = options


class PhoneAnswerForm(OptionsMixin, ShopForm):
    """An answer that came by telephone or letter, written down by the owner."""

    kind = forms.ChoiceField(
        label="They said", choices=[("accepted", "Yes"), ("declined", "No")], widget=forms.RadioSelect
    )
    name = forms.CharField(label="Who said it", max_length=120)
    note = forms.CharField(label="How, and what else", max_length=2000, required=False)

    field_order = ["kind", "options", "name", "note"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["options"].label = "With these options"
        if not self.fields["options"].choices:
            del self.fields["options"]


class OfferForm(OptionsMixin, ShopForm):
    """The customer's yes or no."""

    kind = forms.ChoiceField(choices=Answer.Kind)
    name = forms.CharField(
        label="Your name", max_length=120,
        error_messages={"required": "Write your name: it stands for your signature."},
        widget=forms.TextInput({"autocomplete": "name"}),
    )  # fmt: skip
    note = forms.CharField(
        label="Anything to say with it",
        max_length=2000,
        required=False,
        widget=forms.Textarea(TEXT | {"rows": 3}),
    )
    total = forms.DecimalField(required=False, max_digits=16, decimal_places=4, widget=forms.HiddenInput)


class DeclineForm(ShopForm):
    """The customer's no, asked about once more. Without a name it stands under the name the quote was made out to."""

    note = forms.CharField(
        label="Would you tell us why?", max_length=2000, required=False,
        widget=forms.Textarea(TEXT | {"rows": 3}),
    )  # fmt: skip
    name = forms.CharField(
        label="Your name", max_length=120, required=False, widget=forms.TextInput({"autocomplete": "name"})
    )


class AskForm(SubmissionMixin, ShopForm):
    """The customer's question."""

    text = forms.CharField(
        label="Your question", max_length=2000, widget=forms.Textarea(TEXT | {"rows": 4}),
        error_messages={"required": "Write what you would like to know."},
        help_text="The reply will stand here, on this page.",
    )  # fmt: skip
    name = forms.CharField(
        label="Your name", max_length=120, required=False, widget=forms.TextInput({"autocomplete": "name"})
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            field.widget.attrs.setdefault(
                "id", f"id_ask_{field.label or 'submission'}".replace(" ", "_").lower()
            )
