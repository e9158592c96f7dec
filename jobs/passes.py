"""Passes ticked at the bench, with the gathers they took; they are what moves the gathering stage on."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from django.db import transaction

from jobs.forming.result import Pass
from jobs.models import Panel, PassDone, Reading, Stage
from jobs.panels import work_of
from jobs.readings import standing_of
from shop.audit import record
from shop.models import Person, Shop, StageKind

# A count further off than this is a slip of the finger, not a pass gone wrong: a share of the plan, and how many
# gathers are never called far whatever the plan.
FURTHEST_OFF, NEAR_GATHERS = 3, 8


class PassRefused(Exception):
    """The pass cannot be ticked or unticked; the text says why."""


class FarFromPlan(PassRefused):
    """So many gathers are far from the plan; whoever is sure of them says so once more."""


@transaction.atomic
def tick_pass(
    panel: Panel,
    number: int,
    person: Person,
    gathers_made: int | None = None,
    *,
    sure: bool = False,
) -> PassDone:
    """Tick a pass, with the gathers it took where they were counted.

    Ticked twice is ticked once; a count given later is kept. Raises :class:`PassRefused` for a pass that the
    panel's shape does not have, and :class:`FarFromPlan` for a count far from the plan as it stands after the
    readings, unless the person is ``sure``.
    """
    panel = _held(panel)
    if not 1 <= number <= panel.pass_count:
        raise PassRefused(
            f"This panel has {panel.pass_count} passes; there is no pass {number}."
            if panel.pass_count else "This panel's shape asks for no passes."
        )  # fmt: skip
    if gathers_made is not None and not sure:
        _ask_if_far_off(number, gathers_made, _planned(panel, number))
    done, new = PassDone.objects.get_or_create(
        panel=panel, number=number, defaults={"person": person, "gathers_made": gathers_made}
    )
    if not new and gathers_made is not None and done.gathers_made != gathers_made:
        done.gathers_made = gathers_made
        done.save(update_fields=["gathers_made"])
    record(person, "ticked pass", done, job_number=panel.job.number)
    _move_gathering_on(panel)
    return done


@transaction.atomic
def untick_pass(panel: Panel, number: int, person: Person) -> None:
    """Take a tick back. Later passes stay ticked: which came loose is the shaper's to say."""
    panel = _held(panel)
    done = PassDone.objects.filter(panel=panel, number=number).first()
    if done is None:
        raise PassRefused(f"Pass {number} is not ticked.")
    record(person, "took back the tick of", done, job_number=panel.job.number)
    done.delete()
    _move_gathering_on(panel)


def share_done(panel: Panel) -> Decimal:
    """How far gathering has got: the take-up of the passes ticked as a share of the whole, to a thousandth."""
    ticked = set(PassDone.objects.filter(panel=panel).values_list("number", flat=True))
    return share_of(work_of(panel).passes, ticked)


def share_of(passes, ticked: set[int]) -> Decimal:
    """The share of the take-up that lies in the passes ticked; by count where nothing has to move."""
    if not passes:
        return Decimal("0")
    weights = {one.number: abs(one.take_up_mm) for one in passes}
    if not any(weights.values()):
        weights = dict.fromkeys(weights, 1.0)
    share = sum(weight for number, weight in weights.items() if number in ticked) / sum(weights.values())
    return min(Decimal(repr(share)), Decimal(1)).quantize(Decimal("0.001"), ROUND_HALF_UP)


def _held(panel: Panel) -> Panel:
    rows = Panel.objects.select_for_update(of=("self",)).select_related("job", "metal")
    return rows.get(pk=panel.pk)


def _move_gathering_on(panel: Panel) -> None:
    """Bring the gathering stage's progress in step. A stage said to be done stays done."""
    gathering = Stage.objects.filter(panel=panel, kind__driver=StageKind.Driver.MOVED_DM2, done_at=None)
    gathering.update(progress=share_done(panel))


def _planned(panel: Panel, number: int) -> int | None:
    standing = standing_of(panel, list(Reading.objects.filter(panel=panel)), Shop.standing())
    passes = standing.passes if standing else ()
    return next((one.gathers for one in passes if one.number == number), None)


def _ask_if_far_off(number: int, made: int, planned: int | None) -> None:
    if not planned or abs(made - planned) <= NEAR_GATHERS:
        return
    if not planned / FURTHEST_OFF <= made <= planned * FURTHEST_OFF:
        raise FarFromPlan(
            f"{made} is far from the {planned} planned for pass {number}. Look at the figure. "
            "If it is right, press Done once more."
        )


@dataclass(frozen=True, slots=True)
class PassRow:
    """A pass of the plan beside what was done of it."""

    plan: Pass
    done: PassDone | None

    @property
    def number(self) -> int:
        return self.plan.number


def rows_of(panel: Panel, passes: Sequence[Pass]) -> list[PassRow]:
    """The passes of a plan, each with its tick."""
    done = {one.number: one for one in PassDone.objects.filter(panel=panel).select_related("person")}
    return [PassRow(one, done.get(one.number)) for one in passes]
