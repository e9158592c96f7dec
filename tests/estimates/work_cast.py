"""What tests of work begin with: an accepted job, hours on its stages, stages done, more jobs like it."""

from datetime import datetime, time, timedelta
from decimal import Decimal

from django.utils import timezone

from estimates.acceptance import accept
from jobs.models import Customer, Job, Panel, Stage, TimeEntry
from jobs.numbers import save_with_number
from jobs.panels import save_panel
from tests.conftest import ARCH
from tests.estimates.quote_cast import sent_quote


def accepted(job, owner, shop, *lines):
    """The job's quote, sent and accepted; the job is in work and its panels have their stages."""
    quote = sent_quote(job, owner, shop, *lines)
    accept(quote, name="Tamsin Pell")
    job.refresh_from_db()
    return quote


def stages_of(panel) -> dict[str, Stage]:
    rows = Stage.objects.filter(panel=panel).select_related("kind", "panel__job", "panel__metal")
    return {stage.kind.slug: stage for stage in rows.order_by("kind__position")}


def book(stage, person, hours: str, *, days_ago: int = 0) -> TimeEntry:
    """Hours on a stage, at noon of a day."""
    day = timezone.localdate() - timedelta(days=days_ago)
    noon = datetime.combine(day, time(12), timezone.get_current_timezone())
    return TimeEntry.objects.create(
        stage=stage, person=person, started_at=noon, ended_at=noon + timedelta(hours=1), hours=Decimal(hours),
        source=TimeEntry.Source.HAND,
    )  # fmt: skip


def budget(stage, low: str, high: str) -> Stage:
    """Give a stage a range of its own, as a past acceptance would have."""
    stage.budget_low_hours, stage.budget_high_hours = Decimal(low), Decimal(high)
    stage.mean_log = stage.scale = stage.degrees_of_freedom = None
    stage.save()
    return stage


def finish(*stages) -> None:
    """Say that stages are done."""
    for stage in stages:
        stage.progress, stage.done_at = Decimal(1), timezone.now()
        stage.started_at = stage.started_at or timezone.now()
        stage.save()


def more_jobs(count: int, owner, metal, shop, *, person=None) -> list[Job]:
    """Jobs in work with a panel each; with ``person``, hours on every stage."""
    jobs = []
    for number in range(count):
        customer = Customer.objects.create(name=f"Customer {number}")
        job = save_with_number(Job(customer=customer, title=f"Job {number}", created_by=owner))
        panel = Panel(
            job=job, name="Skin", metal=metal, thickness_mm=1.6, form="arch", dimensions=dict(ARCH), trim_mm=19.05,
            line_count=3, gather_mm=5.0, die_width_mm=25.0,
        )  # fmt: skip
        save_panel(panel, owner)
        accepted(job, owner, shop)
        jobs.append(job)
        if person:
            for stage in stages_of(panel).values():
                book(stage, person, "0.5")
    return jobs
