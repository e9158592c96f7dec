"""A book of many years: 2,000 jobs, 100,000 time entries and 1,000 past panels, in a file of its own.

The shop, one quote and one panel of each kind are made by the actions of the pages; the rest are copies of them,
written in bulk.
"""

from __future__ import annotations

import random
from datetime import UTC, timedelta
from decimal import Decimal
from itertools import cycle, islice
from math import radians
from zoneinfo import ZoneInfo

from django.utils import timezone

from estimates.demo.cast import Cast
from estimates.demo.history import bring_the_notebook_in
from estimates.demo.metals_and_sheets import price_metals, stock_the_rack
from estimates.demo.moments import Days
from estimates.demo.people import add_customers, open_shop
from estimates.models import Answer, PastPanel, Quote
from jobs.models import Job, Panel, Stage, TimeEntry
from shop.codes import ALPHABET

JOBS, ENTRIES, PAST = 2_000, 100_000, 1_000
IN_WORK, SENT, ENQUIRIES = 40, 20, 20  # the rest are closed
CHUNK = 2_000


def fill() -> Cast:
    """Fill an empty book."""
    with timezone.override(ZoneInfo("Europe/Dublin")):
        days = Days(timezone.now())
        shop, people = open_shop(days)
        metals = price_metals(people["osk"])
        stock_the_rack(metals, people["osk"])
        cast = Cast(shop, people, add_customers(people["osk"]), metals, days, random.Random(1871))
        bring_the_notebook_in(cast)
        _copy_past_panels()
        accepted, sent = _one_of_each(cast)
        jobs = _copy_jobs(cast)
        _copy_panels(jobs, accepted)
        _copy_quotes(jobs, accepted, sent)
        _copy_hours(cast)
    return cast


def twelve_panels(cast: Cast) -> Quote:
    """A draft of six panels, each with its mirrored hand."""
    job = cast.take_in("sidecar", "Six pairs")
    for number in range(6):
        cast.add_panel(
            job, f"Skin {number + 1}", "aluminium", 1.6, "sweep", pair=True, crown_radius_mm=330.0 + 5 * number,
            turn_rad=radians(150 + number), width_mm=200.0, flat_mm=70.0, drop_mm=50.0,
        )  # fmt: skip
    return cast.quote(job, "Six pairs of skins.")


def _copy_past_panels() -> None:
    rows = list(PastPanel.objects.filter(left_out_reason=""))
    copies = []
    for number, row in enumerate(islice(cycle(rows), PAST - len(rows))):
        values = {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
        values |= {
            "id": None,
            "name": f"{row.name} {number}",
            "finished_on": row.finished_on - timedelta(days=number % 300),
        }
        copies.append(PastPanel(**values))
    PastPanel.objects.bulk_create(copies, CHUNK)


def _one_of_each(cast: Cast) -> tuple[Quote, Quote]:
    """A job in work and a job with its quote out, made as a person makes them."""
    quotes = []
    for title in ("Copied work", "Copied quote"):
        job = cast.take_in("boatyard", title)
        for name in ("Left skin", "Right skin"):
            cast.add_panel(job, name, "copper", 1.0, "dome", lines=5, diameter_mm=600.0, height_mm=150.0)
        quotes.append(cast.send(cast.quote(job, "As talked over.")))
    cast.agree(quotes[0], "R. Reedling", promised=cast.days.ahead(20))
    return quotes[0], quotes[1]


def _copy_jobs(cast: Cast) -> list[Job]:
    """The jobs, in the order of their numbers: closed ones first."""
    states = (
        [Job.State.ENQUIRY] * ENQUIRIES
        + [Job.State.QUOTED] * (SENT - 1)
        + [Job.State.IN_WORK] * (IN_WORK - 1)
    )
    states = [Job.State.CLOSED] * (JOBS - len(states) - 2) + states
    customers, now = cycle(cast.customers.values()), cast.days.now
    jobs = []
    for number, state in enumerate(states, start=3):
        begun = now - timedelta(days=(len(states) - number) % 1500 + 6)
        jobs.append(
            Job(
                year=2000, count=number, number=f"2000-{number:04d}", customer=next(customers), title=f"Panel {number}",
                state=state, due_on=cast.days.ahead(number % 60), created_by=cast.osk,
                accepted_at=begun if state in {Job.State.IN_WORK, Job.State.CLOSED} else None,
                promised_on=cast.days.ahead(5 + number % 60) if state == Job.State.IN_WORK else None,
                closed_at=begun if state == Job.State.CLOSED else None,
            )
        )  # fmt: skip
    return Job.objects.bulk_create(jobs, CHUNK)


def _copy_panels(jobs: list[Job], accepted: Quote) -> None:
    """Two panels a job, with four stages each where the job came to the bench."""
    first, second = accepted.panels.order_by("position")
    panels = [
        _copy(one, job, code) for job, code in zip(jobs, _codes("P"), strict=False) for one in (first, second)
    ]
    for panel, code in zip(panels, _codes("Q"), strict=False):
        panel.code = code
    Panel.objects.bulk_create(panels, CHUNK)
    patterns = list(first.stages.all())
    stages, codes = [], _codes("S")
    for panel in panels:
        if panel.job.state in {Job.State.IN_WORK, Job.State.CLOSED}:
            for stage in patterns:
                stages.append(_copy_stage(stage, panel, next(codes)))
    Stage.objects.bulk_create(stages, CHUNK)


def _copy(panel: Panel, job: Job, code: str) -> Panel:
    values = {field.attname: getattr(panel, field.attname) for field in panel._meta.concrete_fields}
    copy = Panel(**values | {"id": None, "code": code})
    copy.job = job
    return copy


def _copy_stage(stage: Stage, panel: Panel, code: str) -> Stage:
    values = {field.attname: getattr(stage, field.attname) for field in stage._meta.concrete_fields}
    done = panel.job.closed_at if panel.job.state == Job.State.CLOSED else None
    copy = Stage(
        **values | {"id": None, "code": code, "done_at": done, "progress": Decimal(1 if done else 0)}
    )
    copy.panel = panel
    return copy


def _copy_quotes(jobs: list[Job], accepted: Quote, sent: Quote) -> None:
    quotes = []
    for job in jobs:
        pattern = sent if job.state == Job.State.QUOTED else accepted
        if job.state != Job.State.ENQUIRY:
            quotes.append(
                Quote(
                    job=job, revision=1, state=Quote.State.SENT if pattern is sent else Quote.State.ACCEPTED,
                    frozen=pattern.frozen, total=pattern.total, sent_at=pattern.sent_at, valid_until=pattern.valid_until,
                    confidence=pattern.confidence, deposit_percent=pattern.deposit_percent,
                )
            )  # fmt: skip
    Quote.objects.bulk_create(quotes, 200)
    answers = [
        Answer(quote=quote, kind=Answer.Kind.ACCEPTED, name="R. Reedling", total=quote.total)
        for quote in quotes
        if quote.state == Quote.State.ACCEPTED
    ]
    Answer.objects.bulk_create(answers, CHUNK)
    Answer.objects.update(at=timezone.now() - timedelta(days=30))


def _copy_hours(cast: Cast) -> None:
    """Entries by turns on every stage, six or so each; the layouts run over, a stage in five or so."""
    stages = list(Stage.objects.order_by("panel__job__count", "pk").values_list("pk", flat=True))
    # In UTC: time on the wall is an hour off on the night when the clocks change.
    people, now, entries = cycle((cast.osk, cast.maro)), cast.days.now.astimezone(UTC), []
    for number, stage in enumerate(islice(cycle(stages), ENTRIES)):
        begun = now - timedelta(hours=(ENTRIES - number) * 0.3 + 2)
        hours = Decimal(number % 7 + 1) / 20 + Decimal("0.05")
        entries.append(
            TimeEntry(
                stage_id=stage, person=next(people), started_at=begun, ended_at=begun + timedelta(hours=float(hours)),
                hours=hours,
            )
        )  # fmt: skip
    TimeEntry.objects.bulk_create(entries, CHUNK)


def _codes(letter: str):
    """Codes that no made one has: they are one letter longer."""
    for number in range(len(ALPHABET) ** 4):
        text, rest = letter, number
        for _ in range(6):
            rest, digit = divmod(rest, len(ALPHABET))
            text += ALPHABET[digit]
        yield text
