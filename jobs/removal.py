"""Removing a panel: only while nothing rests on it."""

from django.db import transaction

from jobs.models import MaterialUse, Panel, Photo, TimeEntry
from jobs.parts import reasons_to_keep
from jobs.photos import discard_files
from shop.audit import record
from shop.models import Person


class PanelStays(Exception):
    """The panel cannot be removed; the text says what rests on it."""


def why_panel_stays(panel: Panel) -> str:
    """What rests on the panel or on the hand that mirrors it, in a sentence; nothing where it may go."""
    both = Panel.objects.filter(pk=panel.pk) | Panel.objects.filter(mirrors=panel)
    if TimeEntry.objects.filter(stage__panel__in=both).exists():
        return "Hours are booked on it: they were worked and stay in the book."
    if MaterialUse.objects.filter(panel__in=both).exists():
        return "Metal was cut for it. What was cut stays in the book."
    return next((reason for each in both.select_related("job") for reason in reasons_to_keep(each)), "")


@transaction.atomic
def remove_panel(panel: Panel, person: Person) -> None:
    """Remove a panel and the hand that mirrors it, with their photos. Raises :class:`PanelStays`."""
    list(Panel.objects.select_for_update().filter(job=panel.job))
    if reason := why_panel_stays(panel):
        raise PanelStays(reason)
    both = list(Panel.objects.filter(pk=panel.pk)) + list(Panel.objects.filter(mirrors=panel))
    photos = list(Photo.objects.filter(panel__in=both))
    for each in both:
        record(person, "removed panel", each, job_number=panel.job.number)
    transaction.on_commit(lambda: [discard_files(photo) for photo in photos])
    Panel.objects.filter(pk__in=[each.pk for each in both]).delete()
