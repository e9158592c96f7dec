"""The form by which a job's facts are changed."""

from django import forms

from jobs.forms.enquiry import DayInput, refuse_past
from jobs.models import Job
from shop.forms import ShopModelForm
from shop.forms.stale import StaleGuard
from shop.models import Person

OWNERS = ["promised_on", "time_and_material"]  # a promise and a way of charging are the owner's to make


class JobForm(StaleGuard, ShopModelForm):
    """What it is, when it is wanted, and, for the owner, when it is promised and how it is charged."""

    class Meta:
        model = Job
        fields = ["customer", "title", "description", "due_on", "promised_on", "time_and_material"]
        widgets = {
            "description": forms.Textarea({"class": "text-box", "rows": 8}),
            "due_on": DayInput,
            "promised_on": DayInput,
        }

    def __init__(self, *args, person: Person, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.state != Job.State.ENQUIRY:
            del self.fields["customer"]  # a quote has gone to them
        if not person.is_owner:
            for name in OWNERS:
                del self.fields[name]

    def clean_due_on(self):
        return refuse_past(self.cleaned_data["due_on"], stood=self._stood("due_on"))

    def clean_promised_on(self):
        return refuse_past(self.cleaned_data["promised_on"], stood=self._stood("promised_on"))

    def _stood(self, name):
        return self.initial.get(name)
