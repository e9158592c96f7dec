"""Adding a panel to a job and changing one: once for a press, and never over what somebody else has just changed."""

from datetime import datetime

from django.db import transaction
from django.db.models import Q

from jobs.models import Job, Panel
from jobs.own_stages import put_at_the_bench, take_off_the_bench, why_stages_stay
from jobs.panels import add_mirrored_hand, save_panel
from jobs.time_entries import SHUT
from shop.models import Person


class PanelRefused(Exception):
    """The panel cannot be saved as it stands; the text says why and what to do."""


class PanelChanged(PanelRefused):
    """Somebody else saved the panel while this form was open; ``now`` is the panel as it is now."""

    def __init__(self, now: Panel):
        self.now = now
        super().__init__("Somebody changed this panel while you had it open.")


@transaction.atomic
def add_panel(panel: Panel, person: Person, *, pair: bool = False) -> list[Panel]:
    """Add a panel, with its other hand where a pair is made; its ``code`` is that of the press.

    A second press of the same page finds the code in the book and gets what the first press made. Raises
    :class:`PanelRefused` where the job is shut and ``ImpossibleShape`` where the panel cannot be made.
    """
    # Holding the job keeps two presses from taking the same position.
    job = Job.objects.select_for_update().get(pk=panel.job_id)
    made = Panel.objects.select_related("job", "mirrored_by__job").filter(code=panel.code).first()
    if made is not None:
        return [made, *filter(None, [getattr(made, "mirrored_by", None)])]
    refuse_shut(job)
    save_panel(panel, person)
    return [panel, add_mirrored_hand(panel, person)] if pair else [panel]


@transaction.atomic
def change_panel(panel: Panel, person: Person, *, seen: datetime, pair: bool = False) -> list[Panel]:
    """Save a changed panel, its mirrored hand with it. ``seen`` is when it had last changed as the form was made.

    Raises :class:`PanelChanged` where it has changed since, :class:`PanelRefused` where the job is shut or a stage that
    is left out has work, and ``ImpossibleShape`` where the panel cannot be made.
    """
    job = Job.objects.select_for_update().get(pk=panel.job_id)
    refuse_shut(job)
    now = Panel.objects.select_related("job", "metal").get(pk=panel.pk)
    if now.changed_at != seen:
        raise PanelChanged(now)
    _leave_out(panel, set(now.own_stages) - set(panel.own_stages))
    save_panel(panel, person)
    _take_in(panel, set(panel.own_stages) - set(now.own_stages))
    return [panel, add_mirrored_hand(panel, person)] if pair else [panel]


def _leave_out(panel: Panel, slugs: set[str]) -> None:
    if slugs and (reason := why_stages_stay(panel, slugs)):
        raise PanelRefused(reason)
    if slugs:
        take_off_the_bench(panel, slugs)


def _take_in(panel: Panel, slugs: set[str]) -> None:
    """Put stages at the bench for the hands that have come to it; the others get all of theirs with their quote."""
    hands = Panel.objects.filter(Q(pk=panel.pk) | Q(mirrors=panel), stages__isnull=False).distinct()
    put_at_the_bench(dict.fromkeys(hands, slugs) if slugs else {})


def refuse_shut(job: Job) -> None:
    """Raise :class:`PanelRefused` where nothing is added to the job any more."""
    if job.state in SHUT:
        raise PanelRefused(f"Job {job.number} {SHUT[job.state]}: its panels stay as they are.")
