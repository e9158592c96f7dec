"""What a customer sees of their own job: stages, the photos meant for them, and when it will be ready.

No hours, no prices, and nothing of any other job: other jobs only bear on the date.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from django.utils import timezone

from estimates.work.dates import expected_of_job
from jobs.drawings.rule import Span, promise_rule
from jobs.drawings.scene import Scene
from jobs.drawings.strip import FOUR
from jobs.models import Job, Panel, Photo, Stage
from shop.models import Shop

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
PHOTOS_A_STAGE = 12
DAY = timedelta(days=1)
WIDE, SMALL = 1056.0, 520.0  # the same rule for a desk and, closer marked, for a phone
LONGEST_RULE_DAYS = 400  # older beginnings are left off the rule; the words below keep their dates


@dataclass(frozen=True, slots=True)
class StagePart:
    """One stage over all panels of the job: when it was worked, and its photos, last first."""

    slug: str
    name: str
    started_on: date | None
    done_on: date | None
    photos: tuple[Photo, ...]

    @property
    def role(self) -> str:
        """The pattern that stands for it."""
        return self.slug if self.slug in FOUR else "own"


@dataclass(frozen=True, slots=True)
class ProgressPage:
    """The customer's page."""

    job: Job
    panels: tuple[Panel, ...]
    now: StagePart | None
    place: str
    count: str
    is_finished: bool
    ready: tuple[date, date] | None
    waits_for_metal: bool
    rule: Scene | None
    small_rule: Scene | None
    newest: StagePart | None
    older: tuple[StagePart, ...]
    other_photos: tuple[Photo, ...]
    stages: tuple[StagePart, ...]
    panel_words: tuple[tuple[Panel, str], ...]

    @property
    def past_our_word(self) -> bool:
        """Whether the promise may be missed: it lies before the day on which four in five such jobs are done."""
        return bool(self.ready and self.job.promised_on and self.job.promised_on < self.ready[1])


def progress_page(job: Job, shop: Shop) -> ProgressPage:
    """Gather the customer's page in a constant number of queries."""
    panels = list(job.panels.select_related("metal").order_by("position"))
    stages = list(
        Stage.objects.filter(panel__job=job).select_related("kind").order_by("kind__position", "panel")
    )
    photos = list(job.photos.filter(for_customer=True).select_related("stage", "panel"))
    parts = _parts(stages, photos)
    finished = bool(stages) and all(stage.done_at for stage in stages)
    now = _now(parts) if not finished else None
    one = (
        None
        if finished or job.state != Job.State.IN_WORK
        else expected_of_job(job, shop, timezone.localdate())
    )
    ready = (one.middle, one.high) if one and one.middle and one.high else None
    shown = [part for part in reversed(parts) if part.photos or (now and part.slug == now.slug)]
    return ProgressPage(
        job=job, panels=tuple(panels), now=now, place=_ordinal(parts, now), count=_count(len(parts)),
        is_finished=finished, ready=ready, waits_for_metal=bool(one and one.wait),
        rule=_rule(parts, ready, WIDE), small_rule=_rule(parts, ready, SMALL),
        newest=shown[0] if shown else None,
        older=tuple(shown[1:]), other_photos=tuple(p for p in photos if p.stage_id is None)[:PHOTOS_A_STAGE],
        stages=tuple(parts), panel_words=tuple(_panel_words(panels, stages)) if len(panels) > 1 else (),
    )  # fmt: skip


def _parts(stages: Sequence[Stage], photos: Sequence[Photo]) -> list[StagePart]:
    """Stages of all panels under their kinds, in order."""
    by_kind: dict[int, list[Stage]] = {}
    for stage in stages:
        by_kind.setdefault(stage.kind_id, []).append(stage)
    return [_part(alike, photos) for alike in by_kind.values()]


def _part(alike: Sequence[Stage], photos: Sequence[Photo]) -> StagePart:
    kind = alike[0].kind
    begun = [stage.started_at or stage.done_at for stage in alike if stage.started_at or stage.done_at]
    done = [stage.done_at for stage in alike]
    mine = {stage.pk for stage in alike}
    return StagePart(
        slug=kind.slug, name=kind.name,
        started_on=_day(min(begun)) if begun else None,
        done_on=_day(max(done)) if all(done) else None,
        photos=tuple(photo for photo in photos if photo.stage_id in mine)[:PHOTOS_A_STAGE],
    )  # fmt: skip


def _now(parts: Sequence[StagePart]) -> StagePart | None:
    """The last stage that has begun and is not done; else the first to come."""
    begun = [part for part in parts if part.started_on and not part.done_on]
    return begun[-1] if begun else next((part for part in parts if not part.done_on), None)


def _ordinal(parts: Sequence[StagePart], now: StagePart | None) -> str:
    index = parts.index(now) if now else 0
    return ORDINALS[index] if index < len(ORDINALS) else f"number {index + 1}"


def _count(count: int) -> str:
    return COUNTS[count] if count < len(COUNTS) else str(count)


def _panel_words(panels: Sequence[Panel], stages: Sequence[Stage]):
    """Each panel of several with the stage it is in."""
    for panel in panels:
        mine = [stage for stage in stages if stage.panel_id == panel.pk]
        open_stages = [stage for stage in mine if not stage.done_at]
        if not mine:
            yield panel, "not begun"
        elif not open_stages:
            yield panel, "done"
        else:
            name = open_stages[0].kind.name.lower()
            yield panel, f"in {name}" if open_stages[0].started_at else f"{name} comes next"


def _rule(parts: Sequence[StagePart], ready: tuple[date, date] | None, width: float) -> Scene | None:
    """The rule of dates: stages worked, the one going on up to today, the rest to come up to the middle date."""
    today = timezone.localdate()
    begun = [part for part in parts if part.started_on]
    if not begun or (ready and (ready[1] - today).days > LONGEST_RULE_DAYS):
        return None
    ready = ready or (max(part.done_on or today for part in begun),) * 2
    start = max(min(part.started_on for part in begun), today - timedelta(days=LONGEST_RULE_DAYS))
    spans = [
        Span(part.role, part.name, max(part.started_on, start), max(part.done_on or today, start))
        for part in begun
    ]
    to_come = [part for part in parts if not part.started_on]
    spans += _to_come(to_come, today, ready[0]) if ready[0] > today else []
    end = max(*(span.last for span in spans), *ready, today) + DAY
    return promise_rule(start, end, _side_by_side(spans), ready, today, width=width)


def _side_by_side(spans: Sequence[Span]) -> list[Span]:
    """Stages of several panels overlap in time; on the rule one ends where the next begins.

    One that began no later than the stage before it begins the day after that; without a day left it is left out.
    """
    placed: list[Span] = []
    for span in spans:
        before = placed[-1] if placed else None
        if before and span.first <= before.last:
            if span.first > before.first:
                placed[-1] = replace(before, last=span.first - DAY)
            else:
                span = replace(span, first=before.last + DAY)
        if span.first <= span.last:
            placed.append(span)
    return placed


def _to_come(parts: Sequence[StagePart], today: date, middle: date) -> list[Span]:
    """Stages to come, in equal shares of the days up to the middle date."""
    days = (middle - today).days
    spans = []
    for index, part in enumerate(parts):
        first = today + timedelta(days=1 + days * index // len(parts))
        last = today + timedelta(days=days * (index + 1) // len(parts))
        if first <= last:
            spans.append(Span(part.role, part.name, first, last, done=False))
    return spans


def _day(moment) -> date:
    return timezone.localtime(moment).date()
