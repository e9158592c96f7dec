"""What a job's panels teach: how they will stand among the past ones, how they move the rates, and which are asked about.

A stage that was never finished teaches nothing: its hours are kept with its panel's time entries, and left blank
among the past panels. So are stages on which nobody wrote hours down.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial

from django.utils import timezone

from estimates import hours
from estimates.history import HistoryRefused, said_reason
from estimates.learning import (
    as_past_panel,
    first_rates,
    own_stages,
    past_panels,
    said_hours,
    stage_kinds,
)
from estimates.models import PastPanel
from estimates.work.standing import JobStanding, PanelStanding, StageStanding
from jobs.models import Job, Panel
from shop.models import Shop, StageKind

WORK = (
    *(driver.name for driver in hours.DRIVERS.values()),
    *(f"{stage}_hours" for stage in hours.STAGES),
    "own_hours",
)


@dataclass(frozen=True, slots=True)
class Question:
    """A panel that the owner is asked about before it joins the past ones.

    ``surprises`` are its stages far from what all the others say; ``was`` is why it was left out when its job was
    closed before, where its work has changed since.
    """

    panel: Panel
    surprises: tuple[hours.Surprise, ...]
    was: str = ""


@dataclass(frozen=True, slots=True)
class Verdict:
    """The owner's answer: it teaches, or it is left out for a reason."""

    teaches: bool
    reason: str = ""


@dataclass(frozen=True, slots=True)
class OwnLesson:
    """What a job's panels teach of a stage of the shop's own: the hours of the next panel, before and with them."""

    stage: str
    taken: tuple[float, ...]
    before: hours.StageHours
    after: hours.StageHours


@dataclass(frozen=True, slots=True)
class Lessons:
    """What a job's panels teach. ``left_out`` are those of them that teach nothing by the owner's word."""

    moves: tuple[hours.Move, ...]
    own: tuple[OwnLesson, ...]
    questions: tuple[Question, ...]
    left_out: tuple[PastPanel, ...]


def lessons_of(standing: JobStanding, shop: Shop) -> Lessons:
    """Learn once without a job's panels and once with them, and hold each against what was known without them."""
    mine = {each.panel.pk: past_of(each) for each in standing.panels}
    rows = PastPanel.objects.filter(panel__in=mine).select_related("left_out_by")
    held = {row.panel_id: row for row in rows}
    keys = {str(row.pk) for row in held.values()}
    rest = [past for past in past_panels() if past.panel not in keys]
    kinds = stage_kinds()
    learn = partial(
        hours.learn, first_rates=first_rates(shop, kinds), on=timezone.localdate(),
        half_life_days=shop.history_half_life_days,
    )  # fmt: skip
    known = learn(rest)
    left_out = {pk: row for pk, row in held.items() if _stays_left_out(row, mine[pk], standing.job)}
    teaching = {
        pk: replace(as_past_panel(row), panel=row.name) for pk, row in mine.items() if pk not in left_out
    }
    with_them = learn([*rest, *teaching.values()])
    asked = (
        () if standing.job.state == Job.State.CLOSED else _questions(standing, teaching, held, known, kinds)
    )
    moves = (move for past in teaching.values() for move in hours.moves(known, with_them, past))
    own = _own_lessons(kinds, teaching.values(), known, with_them)
    return Lessons(tuple(moves), tuple(own), tuple(asked), tuple(left_out.values()))


def past_of(panel: PanelStanding) -> PastPanel:
    """A panel as it will stand among the past ones, unsaved."""
    known = panel.panel
    done = {
        stage.stage.kind.slug: float(stage.used) for stage in panel.stages if stage.is_done and stage.used
    }
    return PastPanel(
        origin=PastPanel.Origin.CLOSED, panel=known, name=str(known)[:120], finished_on=_finished_on(panel),
        metal=known.metal.family, method=known.method, finish=known.finish, hand_order=known.hand_order,
        layout_m=known.layout_m, moved_dm2=known.moved_dm2, worked_dm2=known.worked_dm2,
        finished_dm2=known.finished_dm2,
        estimated={stage.stage.kind.slug: _budget(stage) for stage in panel.stages},
        own_hours={slug: spent for slug, spent in done.items() if slug not in hours.STAGES},
        **{f"{slug}_hours": done.get(slug) for slug in hours.STAGES},
    )  # fmt: skip


def _own_lessons(
    kinds: Iterable[StageKind],
    teaching: Iterable[hours.PastPanel],
    known: hours.Model,
    with_them: hours.Model,
) -> Iterable[OwnLesson]:
    taken = [dict(past.own_hours) for past in teaching]
    for kind in own_stages(kinds):
        here = tuple(each[kind.slug] for each in taken if kind.slug in each)
        if here:
            said = said_hours(kind)
            before, after = (model.own_stage(kind.slug, said) for model in (known, with_them))
            yield OwnLesson(kind.name, here, before, after)


def wrong_verdicts(questions: Iterable[Question], verdicts: Mapping[int, Verdict]) -> dict[int, str]:
    """What is missing or wrong among the owner's answers, by a panel's primary key."""
    wrong = {question.panel.pk: "Choose one of the two." for question in questions}
    for pk, verdict in verdicts.items():
        wrong.pop(pk, None)
        if verdict.teaches and verdict.reason.strip():
            wrong[pk] = "Rub the reason out to let it teach, or leave the panel out."
        elif not verdict.teaches:
            try:
                said_reason(verdict.reason)
            except HistoryRefused as error:
                wrong[pk] = str(error)
    return wrong


def _stays_left_out(row: PastPanel, new: PastPanel, job: Job) -> bool:
    """Whether a panel of the job that was left out stays so unasked: as long as its work is what it was."""
    same = job.state == Job.State.CLOSED or all(getattr(row, name) == getattr(new, name) for name in WORK)
    return bool(row.left_out_reason) and same


def _questions(
    standing: JobStanding, teaching: Mapping[int, hours.PastPanel], held: Mapping[int, PastPanel],
    known: hours.Model, kinds: Iterable[StageKind],
) -> Iterable[Question]:  # fmt: skip
    own = {kind.slug: known.own_stage(kind.slug, said_hours(kind)) for kind in own_stages(kinds)}
    names = {kind.slug: kind.name for kind in own_stages(kinds)}
    for each in standing.panels:
        past = teaching.get(each.panel.pk)
        if past is None:
            continue
        was = held[each.panel.pk].left_out_reason if each.panel.pk in held else ""
        odd = hours.surprises(known.estimate(past.drivers).stages | own, past)
        if odd or was:
            named = (replace(one, stage=names.get(one.stage, one.stage)) for one in odd)
            yield Question(each.panel, tuple(named), was)


def _finished_on(panel: PanelStanding) -> date:
    """The day its last stage was done; today where none was."""
    ends = [stage.stage.done_at for stage in panel.stages if stage.stage.done_at]
    return timezone.localtime(max(ends)).date() if ends else timezone.localdate()


def _budget(stage: StageStanding) -> dict[str, float | None]:
    held = stage.stage
    return {
        "low": float(held.budget_low_hours), "high": float(held.budget_high_hours),
        "mean_log": held.mean_log, "scale": held.scale, "df": held.degrees_of_freedom,
    }  # fmt: skip
