"""Saying that a stage is done: what is still open there is said first, and never finished over in silence."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from jobs.clock import clock_out
from jobs.forgotten import is_forgotten
from jobs.models import PassDone, Stage, TimeEntry
from jobs.progress import finish_stage, goes_by_passes
from jobs.time_entries import said, with_names
from shop.figures import counted
from shop.models import Person


@dataclass(frozen=True, slots=True)
class StillOpen:
    """What is open where a stage would be done: clocks that run on it, earlier stages, passes without a tick."""

    stage: Stage
    clocks: tuple[TimeEntry, ...] = ()
    earlier: tuple[Stage, ...] = ()
    passes: tuple[int, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.clocks or self.earlier or self.passes)

    @property
    def key(self) -> str:
        """Names all that is open, so that a yes counts only for what its person was shown."""
        return " ".join(
            [f"c{entry.pk}" for entry in self.clocks]
            + [f"s{stage.pk}" for stage in self.earlier]
            + [f"p{number}" for number in self.passes]
        )

    def clock_of(self, person: Person) -> TimeEntry | None:
        """The person's own clock on the stage, where it can be stopped as it stands."""
        mine = (entry for entry in self.clocks if entry.person_id == person.pk and not is_forgotten(entry))
        return next(mine, None)

    def sentences(self, person: Person) -> list[str]:
        """What is open, as the person is told."""
        found = [_about_clock(entry, person) for entry in self.clocks]
        if self.earlier:
            names = [stage.kind.name.lower() for stage in self.earlier]
            found.append(f"{_listed(names).capitalize()} {'is' if len(names) == 1 else 'are'} not done.")
        if self.passes:
            count = counted(len(self.passes), "pass", "passes")
            found.append(f"{count} {'has' if len(self.passes) == 1 else 'have'} no tick.")
        return found


class NotAskedYet(Exception):
    """Something is still open that the person was not shown; ``open`` says what."""

    def __init__(self, still_open: StillOpen):
        self.open = still_open
        super().__init__(f"{still_open.stage.kind.name} is not done yet: something is still open.")


def still_open_at(stage: Stage) -> StillOpen:
    """What is open at a stage, in at most three queries. A stage that is done has nothing open."""
    if stage.done_at:
        return StillOpen(stage)
    clocks = with_names(TimeEntry.objects.filter(stage=stage, ended_at=None)).order_by("started_at", "pk")
    earlier = (
        Stage.objects.filter(panel=stage.panel_id, kind__position__lt=stage.kind.position, done_at=None)
        .select_related("kind")
        .order_by("kind__position")
    )
    return StillOpen(stage, tuple(clocks), tuple(earlier), _unticked(stage))


@transaction.atomic
def say_done(
    stage: Stage, person: Person, *, seen: str = "", stop_clock: bool = False, at: datetime | None = None
) -> Stage:
    """Finish a stage, and with ``stop_clock`` stop the person's own clock on it first, at a moment or now.

    ``seen`` is the key of what the person was shown as open. Raises :class:`NotAskedYet` where something else is
    open, and what :func:`jobs.clock.clock_out` raises.
    """
    open_now = still_open_at(stage)
    if open_now and open_now.key != seen:
        raise NotAskedYet(open_now)
    if stop_clock and open_now.clock_of(person):
        clock_out(person, at, stage=stage)
    return finish_stage(stage, person)


def _unticked(stage: Stage) -> tuple[int, ...]:
    if not goes_by_passes(stage):
        return ()
    ticked = set(PassDone.objects.filter(panel=stage.panel_id).values_list("number", flat=True))
    return tuple(number for number in range(1, stage.panel.pass_count + 1) if number not in ticked)


def _about_clock(entry: TimeEntry, person: Person) -> str:
    whose = "Your clock" if entry.person_id == person.pk else f"{entry.person}’s clock"
    forgotten = " and may be forgotten" if is_forgotten(entry) else ""
    return f"{whose} still runs here, since {said(entry.started_at)}{forgotten}."


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
