"""The form of an enquiry: who asks, for what, by when."""

from datetime import date

from django import forms
from django.core.exceptions import ValidationError
from django.urls import reverse_lazy
from django.utils import timezone

from jobs.customers import customers_named
from jobs.enquiry import Enquiry
from jobs.forms.photo import DroppedUploadsMixin, PhotosField
from jobs.models import Customer, Photo
from shop.figures import day
from shop.forms import ShopForm, SubmissionMixin

NEW = "new"
SUBJECTS = [Photo.Subject.OLD_PART, Photo.Subject.PATTERN, Photo.Subject.OTHER]


class DayInput(forms.DateInput):
    """A day, picked from the browser's calendar or typed."""

    input_type = "date"

    def __init__(self):
        super().__init__(format="%Y-%m-%d")


def refuse_past(due_on: date | None, *, stood: date | None = None) -> date | None:
    """Refuse a day gone by, but for the one that stood there already."""
    today = timezone.localdate()
    if due_on and due_on < today and due_on != stood:
        raise ValidationError(
            f"{day(due_on, today)} is past; today is {day(today)}. Write a day to come, or leave it empty.",
            code="past",
        )
    return due_on


class EnquiryForm(DroppedUploadsMixin, SubmissionMixin, ShopForm):
    """A customer, old or new, and what they want made."""

    customer = forms.CharField(
        max_length=120,
        help_text="Type a name. One that the book knows is offered; any other becomes a new customer.",
        widget=forms.TextInput(
            {
                "list": "customer-names",
                "autocomplete": "off",
                "hx-get": reverse_lazy("customer-names"),
                "hx-trigger": "input changed delay:200ms",
                "hx-target": "#customer-names",
                "hx-swap": "innerHTML",
                "hx-sync": "this:replace",
            }
        ),
        error_messages={"required": "Write who asks."},
    )
    which = forms.ChoiceField(label="Which of them", required=False, widget=forms.RadioSelect)
    email = forms.EmailField(label="E-mail", required=False, max_length=254)
    phone = forms.CharField(label="Telephone", required=False, max_length=40)
    title = forms.CharField(
        label="What it is",
        max_length=120,
        help_text="A few words that the shop will know it by, such as Bow fairing.",
        error_messages={"required": "Write what is to be made, in a few words."},
    )
    description = forms.CharField(
        label="What they want, and what is known",
        required=False,
        max_length=10_000,
        widget=forms.Textarea({"class": "text-box", "rows": 6}),
    )
    due_on = forms.DateField(
        label="Wanted by",
        required=False,
        widget=DayInput,
        error_messages={"invalid": "This is not a day. Write it as 2026-05-29."},
    )
    photos = PhotosField(
        several=True,
        required=False,
        help_text="Of the old part or the pattern; up to twelve. JPEG, PNG, HEIC or WebP.",
    )
    subject = forms.ChoiceField(
        label="The photos show",
        choices=[(subject.value, subject.label) for subject in SUBJECTS],
        initial=Photo.Subject.OLD_PART,
        widget=forms.RadioSelect,
        required=False,
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.namesakes: list[Customer] = []
        name = str(self.data.get("customer", "")).strip() if self.is_bound else ""
        if name and "\0" not in name:
            self.namesakes = customers_named(name)
        known = [(str(customer.pk), _told_apart(customer)) for customer in self.namesakes]
        self.fields["which"].choices = [*known, (NEW, "Somebody else of this name")]

    def clean_due_on(self):
        return refuse_past(self.cleaned_data["due_on"])

    def clean_subject(self):
        return self.cleaned_data["subject"] or Photo.Subject.OLD_PART

    def clean(self):
        cleaned = super().clean()
        if self.asks_which:
            self.add_error("which", "The book knows this name already. Say whether it is the same customer.")
        if self.errors and self.files:
            self.add_error("photos", "Pick the photos again: a browser does not keep them.")
        return cleaned

    @property
    def asks_which(self) -> bool:
        """Whether the name alone leaves open who it is: two have it, or the one known has another e-mail."""
        cleaned = self.cleaned_data
        if not self.namesakes or cleaned.get("which"):
            return False
        email = cleaned.get("email", "").casefold()
        known = self.namesakes[0].email.casefold()
        return len(self.namesakes) > 1 or bool(email and known and email != known)

    def enquiry(self) -> Enquiry:
        """What was typed, once it is valid."""
        typed = self.cleaned_data
        return Enquiry(
            customer=self._customer(),
            title=typed["title"],
            description=typed["description"],
            due_on=typed["due_on"],
            pictures=typed["photos"],
            subject=typed["subject"],
            submission=typed["submission"],
        )

    def _customer(self) -> Customer:
        typed = self.cleaned_data
        if self.namesakes and typed["which"] != NEW:
            by_pk = {str(customer.pk): customer for customer in self.namesakes}
            return by_pk.get(typed["which"], self.namesakes[0])
        return Customer(name=typed["customer"], email=typed["email"], phone=typed["phone"])


def _told_apart(customer: Customer) -> str:
    """A customer by what tells them from a namesake."""
    first_line = customer.address.strip().partition("\n")[0]
    known = customer.email or customer.phone or first_line or f"in the book since {day(customer.created_at)}"
    return f"{customer.name}, {known}"
