"""The mark of a work order's version: two prints that say the same carry the same one, any others do not."""

import hashlib
from datetime import datetime

from django.utils import timezone

from estimates.paper.values import WorkOrder
from jobs.models import Panel
from shop.codes import ALPHABET
from shop.figures import day

MARK_LETTERS = 4
"""One in 600 thousand pairs of prints that differ would carry the same mark."""


def version_of(panel: Panel, order: WorkOrder) -> str:
    """The mark, and the moment of the latest change to the panel, its ticks or its readings.

    The mark follows the plan, the readings, the ticks and the notes. The drawings follow from these.
    """
    said = (
        panel.changed_at.isoformat(), order.job, order.due, order.hand, order.facts, order.stages, order.corrected,
        order.also_read, order.refusal, order.warnings, order.note, order.notes,
        [picture.caption for picture in order.pictures],
    )  # fmt: skip
    number = int.from_bytes(hashlib.sha256(repr(said).encode()).digest())
    letters = ""
    for _ in range(MARK_LETTERS):
        number, rest = divmod(number, len(ALPHABET))
        letters += ALPHABET[rest]
    return f"version {letters} of {_moment(_latest(panel))}"


def _latest(panel: Panel) -> datetime:
    kept = [*panel.passes_done.all(), *panel.readings.all()]
    return max([panel.changed_at, *(one.at for one in kept)])


def _moment(at: datetime) -> str:
    return f"{day(timezone.localdate(at))} {timezone.localtime(at):%H:%M}"
