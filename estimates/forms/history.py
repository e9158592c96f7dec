"""Forms of the past panels: bringing a notebook in, and leaving a panel out."""

from django import forms
from django.core import signing

from estimates.history import MOST_BYTES, HistoryRefused, ImportPlan, plan_import
from shop.forms import ShopForm

SALT = "estimates.history"


class NotebookForm(ShopForm):
    """A CSV file, read and looked at before anything is written."""

    file = forms.FileField(
        label="CSV file", help_text="With commas, semicolons or tabs, as a spreadsheet saves it. At most 2 MB.",
        error_messages={"required": "Choose the file.", "empty": "The file is empty."},
        widget=forms.FileInput(attrs={"accept": ".csv,text/csv,text/plain"}),
    )  # fmt: skip

    plan: ImportPlan | None = None
    held = ""

    def clean_file(self):
        upload = self.cleaned_data["file"]
        if upload.size > MOST_BYTES:
            raise forms.ValidationError(f"The file is over {MOST_BYTES // 2**20} MB. Bring it in in parts.")
        source = upload.read()
        try:
            self.plan = plan_import(source)
        except HistoryRefused as error:
            raise forms.ValidationError(str(error)) from error
        self.held = hold(source)
        return upload


class BringInForm(ShopForm):
    """The notebook that was looked at, on its way back; signed, so that it is the one that was shown."""

    held = forms.CharField(widget=forms.HiddenInput)
    skip_bad = forms.BooleanField(label="Skip the bad rows and bring in the rest", required=False)

    plan: ImportPlan | None = None

    def clean(self):
        cleaned = super().clean()
        try:
            self.plan = plan_import(let_go(cleaned.get("held", "")))
        except (signing.BadSignature, HistoryRefused) as error:
            raise forms.ValidationError("The file was not shown here. Choose it again.") from error
        if self.plan.bad and not cleaned["skip_bad"]:
            self.add_error("skip_bad", "Mend the bad rows in the file, or tick this to leave them out.")
        return cleaned


class LeaveOutForm(ShopForm):
    """Why a past panel does not teach."""

    reason = forms.CharField(
        label="Why it is left out", max_length=200,
        error_messages={"required": "Say in a few words why, such as “apprentice’s first”."},
    )  # fmt: skip


def hold(source: bytes) -> str:
    """A file as signed text that a page can carry."""
    return signing.dumps(source.decode("latin-1"), salt=SALT, compress=True)


def let_go(held: str) -> bytes:
    """The file again. Raises ``BadSignature``."""
    return signing.loads(held, salt=SALT).encode("latin-1")
