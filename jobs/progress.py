"""How far a stage has got: gathering by the passes ticked, every other stage by the shaper's word."""

from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from jobs.models import Stage
from shop.audit import changed, record, snapshot
from shop.models import Person, StageKind

AUDITED = ["progress", "done_at"]
WHOLE = Decimal("1")


class ProgressRefused(Exception):
    """Progress cannot be set so; the text says what to do instead."""


def goes_by_passes(stage: Stage) -> bool:
    """Whether progress comes from passes: the stage that moves metal, on a panel whose shape has passes."""
    return stage.kind.driver == StageKind.Driver.MOVED_DM2 and stage.panel.pass_count > 0


@transaction.atomic
def set_progress(stage: Stage, person: Person, share: Decimal) -> Stage:
    """Set how far a stage has got, from 0 to 1, on the shaper's word.

    The whole makes the stage done; less reopens it.
    """
    if not 0 <= share <= 1:
        raise ProgressRefused("Write a number from 0 to 100.")
    if goes_by_passes(stage) and share != WHOLE:
        raise ProgressRefused("This stage goes by its passes. Tick the passes that are done.")
    return _write(stage, person, share)


def finish_stage(stage: Stage, person: Person) -> Stage:
    """Say that a stage is done. Hours spent on it stay as they are."""
    return set_progress(stage, person, WHOLE)


@transaction.atomic
def reopen_stage(stage: Stage, person: Person, share: Decimal | None = None) -> Stage:
    """Take back that a stage is done.

    It stands at ``share``, or at its passes where it goes by them, or else at three quarters until the shaper says.
    """
    from jobs.passes import share_done

    stage = _held(stage)
    if stage.done_at is None:
        raise ProgressRefused("This stage is open already.")
    if goes_by_passes(stage):
        share = share_done(stage.panel)
    return _write(stage, person, share if share is not None else Decimal("0.75"), done=False)


def _held(stage: Stage) -> Stage:
    rows = Stage.objects.select_for_update(of=("self",)).select_related("kind", "panel__job", "panel__metal")
    return rows.get(pk=stage.pk)


def _write(stage: Stage, person: Person, share: Decimal, *, done: bool | None = None) -> Stage:
    held = _held(stage)
    before = snapshot(held, AUDITED)
    now = timezone.now()
    done = share == WHOLE if done is None else done
    held.progress, held.done_at = share, (held.done_at or now) if done else None
    if share and held.started_at is None:
        held.started_at = now
    held.save(update_fields=["progress", "done_at", "started_at"])
    changes = changed(before, snapshot(held, AUDITED))
    if changes:
        what = "finished" if done else "reopened" if before["done_at"] else "moved on"
        record(person, f"{what} stage", held, changes=changes, job_number=held.panel.job.number)
    return held
