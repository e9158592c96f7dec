"""What needs somebody today: sentences worked out from the book, each with one thing to do about it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from django.urls import reverse_lazy
from django.utils import timezone

from estimates.models import Answer, Quote
from estimates.pricing.money import Currency, format_money
from estimates.today.quotes import deposits_due
from estimates.work.date_words import chance_words, wait_words
from estimates.work.dates import Expected
from estimates.work.in_work import InWork
from estimates.work.standing import JobStanding, PanelStanding, StageStanding
from jobs.forgotten import may_be_forgotten
from jobs.models import Job, TimeEntry
from jobs.time_entries import hours_between
from shop.figures import DAYS, MONTHS, counted, hours
from shop.models import Person

DUE_SOON = 2  # days
EXPIRES_SOON = 3


@dataclass(frozen=True, slots=True)
class Need:
    """One sentence: its subject in bold, the rest, and the one action. ``key`` names it from day to day."""

    key: str
    subject: str
    words: str
    url: str
    action: str
    urgent: bool = False


@dataclass(frozen=True, slots=True)
class Facts:
    """What needs are worked out from; everything has been read from the book already."""

    today: date
    person: Person
    work: InWork
    expected: tuple[Expected, ...]
    quotes: tuple[Quote, ...]
    on_the_desk: tuple[Job, ...]
    currency: Currency


def needs(facts: Facts) -> list[Need]:
    """Everything that needs this person, the most pressing first."""
    found = [*_clocks(facts), *_over(facts), *_due(facts), *_at_risk(facts), *_readings(facts)]
    if facts.person.is_owner:
        found += [
            *_answers(facts), *_questions(facts), *_deposits(facts), *_expiring(facts), *_enquiries(facts),
            *_to_close(facts), *_unpaid(facts),
        ]  # fmt: skip
    return sorted(found, key=lambda need: not need.urgent)


def _clocks(facts: Facts) -> Iterator[Need]:
    for entry in facts.work.running:
        since = timezone.localtime(entry.started_at)
        mine = entry.person_id == facts.person.pk
        overnight = since.date() < facts.today
        if not (overnight or may_be_forgotten(entry)) or not (mine or facts.person.is_owner):
            continue
        whose = "Your clock" if mine else f"{entry.person}’s clock"
        words = (
            f"has run on {_of(entry)} since {near_day(since.date(), facts.today)} at {since:%H:%M}"
            f"{'' if overnight else ', longer than a day at the bench: it may be forgotten'}."
        )
        yield Need(
            f"clock:{entry.pk}",
            whose,
            words,
            reverse_lazy("clock-mend", args=[entry.pk]),
            "Say when it stopped",
            overnight,
        )


def _over(facts: Facts) -> Iterator[Need]:
    for panel, stage in _stages(facts.work.panels):
        if stage.is_done or not stage.over:
            continue
        done = f" and is {float(stage.progress):.0%} done" if stage.progress else " and no progress is set"
        words = f"is {hours(stage.over)} h past its {stage.stage.kind.name.lower()} range{done}."
        words += "".join(
            f" {_in_doubt(entry)}"
            for entry in facts.work.doubted(panel.panel)
            if entry.stage_id == stage.stage.pk
        )
        address = reverse_lazy("job-against", args=[panel.panel.job.number])
        yield Need(f"over:{stage.stage.pk}", _panel(panel), words, address, "See the hours", True)


def _in_doubt(entry: TimeEntry) -> str:
    """What is said where hours of a clock count that may be forgotten."""
    ran = hours(hours_between(entry.started_at, timezone.now()))
    return f"{entry.person}’s clock there has run for {ran} h and may be forgotten."


def _due(facts: Facts) -> Iterator[Need]:
    for standing in facts.work.jobs:
        job = standing.job
        if job.deadline is None or (job.deadline - facts.today).days > DUE_SOON:
            continue
        late = job.deadline < facts.today
        verb = "was" if late else "is"
        what = "promised for" if job.promised_on else "wanted by"
        words = f"{verb} {what} {near_day(job.deadline, facts.today)}. {_left(standing)}"
        yield Need(f"due:{job.pk}", _job(job), words, job.get_absolute_url(), "Look at it", True)


def _left(standing: JobStanding) -> str:
    open_stages = sum(not stage.is_done for panel in standing.panels for stage in panel.stages)
    if not open_stages:
        return "Every stage is done: hand it over."
    return f"{counted(open_stages, 'stage')} still to do, about {hours(standing.to_go.p50)} h."


def _at_risk(facts: Facts) -> Iterator[Need]:
    for one in facts.expected:
        job = one.job
        if not job.promised_on or not one.at_risk or (job.deadline - facts.today).days <= DUE_SOON:
            continue
        said = filter(None, (chance_words(one, facts.today), wait_words(one, facts.today)))
        words = f"is at risk: {' '.join(said)}"
        yield Need(
            f"risk:{job.pk}",
            _job(job),
            words,
            reverse_lazy("dates") + f"#job-{job.pk}",
            "Look at the dates",
            True,
        )


def _readings(facts: Facts) -> Iterator[Need]:
    for panel, stage in _stages(facts.work.panels):
        unread = facts.work.passes[panel.panel.pk].unread if panel.panel.pk in facts.work.passes else None
        if unread is None or stage.is_done or stage.stage.kind.slug != "gathering":
            continue
        words = f"has pass {unread} ticked and no reading after it."
        address = reverse_lazy("bench", args=[stage.stage.code])
        yield Need(f"reading:{stage.stage.pk}", _panel(panel), words, address, "Take the reading")


def _answers(facts: Facts) -> Iterator[Need]:
    since = facts.today - timedelta(days=1)
    for quote in facts.quotes:
        answer = getattr(quote, "answer", None)
        if answer is None or timezone.localtime(answer.at).date() < since:
            continue
        said = "accepted" if answer.kind == Answer.Kind.ACCEPTED else "declined"
        when = near_day(timezone.localtime(answer.at).date(), facts.today)
        words = f"{said} quote {quote.number}, {quote.job.title}, {when}."
        to_job = answer.kind == Answer.Kind.ACCEPTED
        address = quote.job.get_absolute_url() if to_job else quote.get_absolute_url()
        yield Need(
            f"answer:{quote.pk}",
            str(quote.job.customer),
            words,
            address,
            "See the job" if to_job else "See the quote",
        )


def _questions(facts: Facts) -> Iterator[Need]:
    for quote in facts.quotes:
        if quote.asked_at is None:
            continue
        who = quote.asked_by or str(quote.job.customer)
        when = near_day(timezone.localtime(quote.asked_at).date(), facts.today)
        words = f"asked something about quote {quote.number}, {quote.job.title}, {when}."
        yield Need(f"question:{quote.pk}", who, words, quote.get_absolute_url(), "Answer it", True)


def _deposits(facts: Facts) -> Iterator[Need]:
    for job_pk, (quote, amount) in deposits_due(list(facts.quotes), facts.currency).items():
        words = (
            f"waits for its deposit: {format_money(amount, facts.currency, decimals=True)} has not come in."
        )
        address = reverse_lazy("payments", args=[quote.job.number])
        yield Need(f"deposit:{job_pk}", _job(quote.job), words, address, "Payments")


def _expiring(facts: Facts) -> Iterator[Need]:
    for quote in facts.quotes:
        if quote.state != Quote.State.SENT or (quote.valid_until - facts.today).days > EXPIRES_SOON:
            continue
        gone = quote.valid_until < facts.today
        held = "held until" if gone else "holds until"
        words = (
            f"for {quote.job.customer} {held} {near_day(quote.valid_until, facts.today)} and has no answer."
        )
        yield Need(
            f"expires:{quote.pk}", f"Quote {quote.number}", words, quote.get_absolute_url(), "Ask again"
        )


def _enquiries(facts: Facts) -> Iterator[Need]:
    for job in facts.on_the_desk:
        if job.state != Job.State.ENQUIRY:
            continue
        days = (facts.today - timezone.localtime(job.created_at).date()).days
        words = f"asked {counted(days, 'day')} ago for {job.title} and has no quote yet."
        yield Need(f"enquiry:{job.pk}", str(job.customer), words, job.get_absolute_url(), "Quote it")


def _to_close(facts: Facts) -> Iterator[Need]:
    for standing in facts.work.jobs:
        if standing.is_done:
            address = reverse_lazy("job-close", args=[standing.job.number])
            words = "has every stage done. Close it, so that the next estimate learns from it."
            yield Need(f"close:{standing.job.pk}", _job(standing.job), words, address, "Close the job")


def _unpaid(facts: Facts) -> Iterator[Need]:
    for job in facts.on_the_desk:
        if job.state == Job.State.CLOSED:
            still = format_money(job.unpaid, facts.currency, decimals=True)
            words = f"is closed, and {still} of its price has not come in."
            yield Need(
                f"unpaid:{job.pk}", _job(job), words, reverse_lazy("payments", args=[job.number]), "Payments"
            )


def _stages(panels: Iterable[PanelStanding]) -> Iterator[tuple[PanelStanding, StageStanding]]:
    return ((panel, stage) for panel in panels for stage in panel.stages)


def _panel(standing: PanelStanding) -> str:
    return f"{standing.panel.name} {standing.panel.mark}"


def _job(job: Job) -> str:
    return f"{job.title} {job.number}"


def _of(entry: TimeEntry) -> str:
    return f"{entry.stage.panel.mark}, {entry.stage.kind.name.lower()},"


def near_day(on: date, today: date) -> str:
    """A day near today as it is said: yesterday, tomorrow, Fri 15 May."""
    near = {-1: "yesterday", 0: "today", 1: "tomorrow"}
    if (on - today).days in near:
        return near[(on - today).days]
    said = f"{DAYS[on.weekday()]} {on.day} {MONTHS[on.month - 1]}"
    year = f" {on.year}" if on.year != today.year else ""
    ago = f", {counted((today - on).days, 'day')} ago" if on < today else ""
    return said + year + ago
