"""Readings kept and taken back, and the list of them."""

import math
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial

from django.db import transaction
from django.utils import timezone

from jobs.forming import readings as forming
from jobs.forming.errors import ImpossibleShape
from jobs.models import Panel, Reading
from jobs.reading_plot import FORMING_KIND
from jobs.reading_words import ON_THE_OUTSIDE, difference, written
from jobs.readings import middle_of, plan_of, standing_of, target_after, target_shown
from shop.audit import record
from shop.lengths import format_length
from shop.models import Person, Shop

# A reading further off than this is a slip of the unit or of the finger, not a panel gone wrong.
# A share of the target, and what is never called far whatever the target (mm, or rad for an angle).
FURTHEST_OFF = {
    Reading.Kind.EDGE_LENGTH: (1.25, 5.0), Reading.Kind.THICKNESS: (2.0, 0.3),
    Reading.Kind.SECTION_ANGLE: (1.4, math.radians(12)), Reading.Kind.CROWN_HEIGHT: (1.6, 6.0),
}  # fmt: skip
TAKE_BACK_WITHIN = timedelta(hours=24)


class ReadingRefused(Exception):
    """This reading cannot be kept; the text says what is wrong and what fits."""


class FarOff(ReadingRefused):
    """This reading is far from the plan; whoever is sure of it logs it again."""


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """A reading as the page writes it."""

    reading: Reading
    value: str
    target: str
    may_take_back: bool = False


def rows_said(readings: Sequence[Reading], shop: Shop, person: Person) -> list[ReadingRow]:
    """Readings in the shop's units, latest first, with those that the person may take back."""
    latest_first = sorted(readings, key=lambda one: (one.at, one.pk), reverse=True)
    return [
        ReadingRow(
            one,
            written(one.kind, one.value, shop),
            written(one.kind, one.target, shop) if one.target is not None else "",
            may_take_back(one, person),
        )
        for one in latest_first
    ]


@transaction.atomic
def log_reading(
    panel: Panel,
    person: Person,
    pass_number: int,
    kind: str,
    value: float,
    *,
    note: str = "",
    at: datetime | None = None,
    submission: uuid.UUID | None = None,
    sure: bool = False,
) -> Reading:
    """Keep a reading with its target: millimetres, radians for a section angle.

    ``pass_number`` is the last pass done, 0 before the first; the target is the one that the bench shows then.
    An edge read on its outside face is kept as it is in the middle of the sheet, with what was read in the note.
    Raises :class:`ReadingRefused`, and :class:`FarOff` unless the person is ``sure``. The same ``submission`` twice
    keeps one.
    """
    if submission and (earlier := Reading.objects.filter(submission=submission).first()):
        return earlier
    shop = Shop.standing()
    try:
        work, _ = plan_of(panel)
        if kind == ON_THE_OUTSIDE:
            note = f"{written(kind, value, shop)} on the outside face. {note}".strip()
            kind, value = Reading.Kind.EDGE_LENGTH, middle_of(work, pass_number, value)
        target = target_after(work, pass_number, kind)
        forming.replan(work, pass_number, forming.Reading(FORMING_KIND[kind], value))
    except ImpossibleShape as refusal:
        raise ReadingRefused(refusal.say(partial(format_length, units=shop.units))) from refusal
    if kind == Reading.Kind.SECTION_ANGLE and value > math.pi:
        raise ReadingRefused("A section angle is at most 180°.")
    shown = _shown(panel, pass_number, kind, shop)
    target = target if shown is None else shown
    if not sure:
        _ask_if_far_off(kind, value, target, shop)
    reading = Reading.objects.create(
        panel=panel, person=person, pass_number=pass_number, kind=kind, value=value, target=target, note=note,
        at=at or timezone.now(), submission=submission,
    )  # fmt: skip
    record(person, "logged reading", reading, job_number=panel.job.number, named=_named(reading, shop))
    return reading


@dataclass(frozen=True, slots=True)
class Logged:
    """What to say of a reading just logged; ``is_past`` where there is something to undo."""

    words: str
    is_past: bool


def logged(reading: Reading, shop: Shop, *, on_the_outside: bool = False) -> Logged:
    """What was logged, how far that is from the plan, and what is left to do."""
    middle = " for the middle of the sheet" if on_the_outside else ""
    said = f"{written(reading.kind, reading.value, shop)}{middle} is in the book"
    if reading.target is not None:
        against = difference(reading.kind, reading.value, reading.target, shop)
        said += f", {against}" if against == "as planned" else f", {against} the plan"
    standing = standing_of(reading.panel, list(Reading.objects.filter(panel=reading.panel)), shop)
    if standing is None or standing.answer is None:
        return Logged(f"{said}.", False)
    left = standing.said[-1]
    if standing.latest != reading:
        left = f"The plan goes by the edge length read after this pass: {left[:1].lower()}{left[1:]}"
    return Logged(f"{said}. {left} A wrong reading is taken back under Readings.", standing.answer.is_past)


def may_take_back(reading: Reading, person: Person) -> bool:
    """Somebody takes their own reading back within the day; the owner any."""
    fresh = timezone.now() - reading.at < TAKE_BACK_WITHIN
    return person.is_owner or (reading.person_id == person.pk and fresh)


@transaction.atomic
def take_back_reading(reading: Reading, person: Person) -> None:
    """Take a reading out of the plan, as if it had not been read; the trail keeps what it said."""
    if not may_take_back(reading, person):
        raise ReadingRefused("Only who read it, within the day, or the owner can take a reading back.")
    shop = Shop.standing()
    kept = {
        "value": [written(reading.kind, reading.value, shop), None],
        "pass_number": [reading.pass_number, None],
    }
    number, named = reading.panel.job.number, _named(reading, shop)
    record(person, "took back reading", reading, job_number=number, changes=kept, named=named)
    reading.delete()


def _named(reading: Reading, shop: Shop) -> str:
    """A reading as the trail keeps it: Edge length after pass 2: 20 3/16 in."""
    return f"{reading}: {written(reading.kind, reading.value, shop)}"


def _shown(panel: Panel, pass_number: int, kind: str, shop: Shop) -> float | None:
    """What the bench shows as planned, after the readings so far."""
    standing = standing_of(panel, list(Reading.objects.filter(panel=panel)), shop)
    pass_ = next((one for one in standing.passes if one.number == pass_number), None) if standing else None
    return target_shown(standing, pass_, kind) if pass_ else None


def _ask_if_far_off(kind: str, value: float, target: float | None, shop: Shop) -> None:
    """Ask about a reading that is more likely a slip of the unit or the finger than a panel gone that wrong."""
    furthest, near = FURTHEST_OFF[Reading.Kind(kind)]
    if target and abs(value - target) > near and not target / furthest <= value <= target * furthest:
        raise FarOff(
            f"{written(kind, value, shop)} is far from the {written(kind, target, shop)} planned here. "
            "Look at the unit and the figures. If it is right, log it once more."
        )
