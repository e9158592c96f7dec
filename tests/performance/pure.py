"""Figures of the packages that know nothing of Django: forming, hours, dates."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date, timedelta
from random import Random

import numpy as np

from estimates import hours
from estimates.hours.dates import QueuedJob, Worker, finishing_dates
from jobs.drawings.pattern import flat_pattern
from jobs.drawings.svg import inline_svg
from jobs.forming import FORMS, Marking, Sheet, build, work_out
from tests.performance.measure import Figure, time_at_most

TODAY = date(2026, 5, 14)
PAST, JOBS, DRAWS = 1_000, 30, 2_000


def forms() -> Iterator[Figure]:
    """Every form beside an empty call, and beside its own drawing."""
    sheet, marking = Sheet(1.2, elongation=0.3), Marking()
    for name, form in FORMS.items():
        values = {dimension.name: dimension.example for dimension in form.dimensions}
        work = work_out(build(name, values), sheet, marking)

        def worked_out(name=name, values=values):
            return work_out(build(name, values), sheet, marking)

        def drawn(work=work):
            return inline_svg(flat_pattern(work, width=820.0))

        yield time_at_most(1, f"form {name}", worked_out, "an empty call", _nothing, count=20)
        yield time_at_most(1, f"form {name}", worked_out, "its drawing", drawn, count=5)


def learning() -> Figure:
    """The posterior over a thousand past panels beside plain least squares over as many rows."""
    past = _past_panels()
    rng = np.random.default_rng(1)
    # Four stages, and about as many columns as their design has for three metals, two methods and three finishes.
    rows, values = rng.standard_normal((PAST, 8)), rng.standard_normal(PAST)

    def bare():
        for _ in hours.STAGES:
            np.linalg.lstsq(rows, values, rcond=None)

    return time_at_most(
        50, "learning from 1,000 past panels", lambda: hours.learn(past, on=TODAY), "bare least squares", bare
    )


def dates() -> Figure:
    """The dates of thirty jobs, 2,000 futures, beside the bare draws of their hours."""
    model = hours.learn(_past_panels()[:40], on=TODAY)
    drivers = hours.Drivers(layout_m=9, moved_dm2=5, worked_dm2=60, finished_dm2=70, metal="copper")
    total = hours.job_total([model.estimate(drivers)])
    queue = [
        QueuedJob(f"2026-{number:03d}", total, TODAY + timedelta(days=3 * number), 2)
        for number in range(JOBS)
    ]
    people = [Worker("Osk", 5), Worker("Maro", 6.5), Worker("Linnet", 4, frozenset({1, 3, 5}))]

    def bare():
        chance = np.random.default_rng(1)
        return np.exp(total.mean_log + total.scale * chance.standard_t(6, (DRAWS, JOBS)))

    return time_at_most(
        1000, "dates of 30 jobs, 2,000 draws", lambda: finishing_dates(queue, people, TODAY, draws=DRAWS), "bare draws",
        bare, tries=9,
    )  # fmt: skip


def _past_panels() -> list[hours.PastPanel]:
    chance = Random(1)
    rates = {"layout": 0.2, "gathering": 1.9, "blending": 0.15, "smoothing": 0.11}
    panels = []
    for number in range(PAST):
        drivers = hours.Drivers(
            layout_m=chance.uniform(2, 12), moved_dm2=chance.uniform(0.2, 12), worked_dm2=chance.uniform(5, 90),
            finished_dm2=chance.uniform(5, 90), metal=chance.choice(["aluminium", "steel", "copper"]),
            method=chance.choice(hours.METHODS), finish=chance.choice(hours.FINISHES),
            hand_order=chance.choice([1, 1, 2]),
        )  # fmt: skip
        taken = {
            f"{stage}_hours": drivers.amount(stage) * rate * math.exp(chance.gauss(0, 0.3))
            for stage, rate in rates.items()
        }
        panels.append(hours.PastPanel(str(number), TODAY - timedelta(days=number), drivers, **taken))
    return panels


def _nothing() -> None:
    """An empty call."""
