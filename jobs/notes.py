"""Notes at the bench, and what is to be repeated on the other hand."""

import uuid
from datetime import datetime

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from jobs.models import Panel, Stage, StageNote
from shop.audit import record
from shop.models import Person


@transaction.atomic
def add_note(
    stage: Stage,
    person: Person,
    text: str,
    *,
    for_other_hand: bool = False,
    at: datetime | None = None,
    submission: uuid.UUID | None = None,
) -> StageNote:
    """Keep a note on a stage. The same ``submission`` twice keeps it once."""
    if submission and (earlier := StageNote.objects.filter(submission=submission).first()):
        return earlier
    note = StageNote.objects.create(
        stage=stage, person=person, text=text, for_other_hand=for_other_hand,
        at=at or timezone.now(), submission=submission,
    )  # fmt: skip
    record(person, "added note", note, job_number=stage.panel.job.number)
    return note


def other_hand_of(panel: Panel) -> Panel | None:
    """The panel's other hand, whichever of the two was entered first."""
    if panel.mirrors_id:
        return panel.mirrors
    return Panel.objects.filter(mirrors=panel).select_related("job").first()


def notes_at(stage: Stage, other: Panel | None) -> list[StageNote]:
    """The stage's own notes, and those of the other hand's same stage that are to be repeated; latest first."""
    wanted = Q(stage=stage)
    if other is not None:
        wanted |= Q(stage__panel=other, stage__kind=stage.kind_id, for_other_hand=True)
    return list(StageNote.objects.filter(wanted).select_related("person", "stage__panel__job"))
