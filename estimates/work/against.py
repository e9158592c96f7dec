"""A job against its estimate: hours for everyone, and for the owner what it earns."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.utils import timezone

from estimates.payments import job_statement
from estimates.pricing.earned_value import EarnedValue, Work, of_work
from estimates.pricing.money import Currency, format_money
from estimates.quoting.figures import currency_of
from estimates.work.cost import Agreed, JobCost, Rates, agreed_quotes, cost_of, net_price
from estimates.work.standing import NOTHING, JobStanding, shared_scale, standing_of_job
from jobs.drawings.scene import Scene
from jobs.drawings.strip_scales import hours_axis
from jobs.models import Job
from shop.figures import figure
from shop.models import Person, Shop


@dataclass(frozen=True, slots=True)
class Term:
    """One figure of earned value: its short name, what it means in a plain line, and its value or why there is none."""

    name: str
    meaning: str
    value: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Money:
    """The owner's side of a job: price, cost, and earned value on its labour."""

    agreed: tuple[Agreed, ...]
    price: Decimal  # without tax: agreed, or charged so far where that is by time and material
    by_hours: bool
    cost: JobCost
    earned: tuple[Term, ...]
    at_completion: str

    @property
    def left(self) -> Decimal:
        """Price less cost so far."""
        return self.price - self.cost.total


@dataclass(frozen=True, slots=True)
class Against:
    """Everything the page shows."""

    standing: JobStanding
    scale: float
    axis: Scene
    strips: dict[int, Scene]
    money: Money | None

    @property
    def over(self) -> Decimal:
        """Hours past the ranges of all stages together."""
        return sum((stage.over for panel in self.standing.panels for stage in panel.stages), NOTHING)

    @property
    def unestimated(self) -> Decimal:
        """Hours on stages that no hours were estimated for: they have no range to be past."""
        stages = (stage for panel in self.standing.panels for stage in panel.stages)
        return sum((stage.used for stage in stages if not stage.high), NOTHING)


def against(job: Job, person: Person, shop: Shop) -> Against:
    """A job against its estimate: five queries for hours, five more for the owner's money."""
    standing = standing_of_job(job)
    scale = shared_scale(standing.panels)
    strips = {panel.panel.pk: panel.strip(scale) for panel in standing.panels}
    money = _money(standing, shop) if person.is_owner else None
    return Against(standing, scale, hours_axis(scale), strips, money)


def _money(standing: JobStanding, shop: Shop) -> Money:
    agreed, rates, money = agreed_quotes(standing.job), Rates(), currency_of(shop)
    cost = cost_of(standing.job, agreed, shop, rates)
    charged = job_statement(standing.job).charged if standing.job.time_and_material else None
    earned = earned_value_of(standing, cost, rates, timezone.localdate())
    planned = planned_share(standing.job, timezone.localdate()) is not None
    return Money(
        agreed=tuple(agreed), price=net_price(agreed) if charged is None else charged,
        by_hours=charged is not None, cost=cost, earned=tuple(terms_of(earned, money, planned=planned)),
        at_completion=_ending(earned, money),
    )  # fmt: skip


def planned_share(job: Job, today: date) -> Fraction | None:
    """How much of a job should be done by today if it went evenly from acceptance to the date that counts.

    Nothing without both dates; all of it once the date has come.
    """
    if job.accepted_at is None or job.deadline is None:
        return None
    start = timezone.localtime(job.accepted_at).date()
    days = (job.deadline - start).days
    if days <= 0:
        return Fraction(1)
    return min(Fraction((today - start).days, days), Fraction(1)) if today > start else Fraction(0)


def earned_value_of(standing: JobStanding, cost: JobCost, rates: Rates, today: date) -> EarnedValue:
    """Earned value of the labour: each stage's budget is the middle of its range at the rate when it was accepted."""
    job = standing.job
    agreed_on = timezone.localtime(job.accepted_at).date() if job.accepted_at else today
    planned = planned_share(job, today) or Fraction(0)
    return of_work(
        Work(
            budget=stage.low * (rates.on(stage.stage.kind_id, agreed_on) or NOTHING),
            planned=planned,
            done=stage.progress,
            spent=cost.labour_by_stage.get(stage.stage.pk, NOTHING),
        )
        for panel in standing.panels
        for stage in panel.stages
    )


def terms_of(earned: EarnedValue, money: Currency, *, planned: bool) -> list[Term]:
    """PV, EV, AC, CPI and EAC, each explained in one plain line."""
    no_plan = "" if planned else "no date is promised or wanted, so nothing was planned for today"
    why = earned.undefined
    return [
        Term("PV", "Planned value: what the work that should be done by today was budgeted at.",
             "" if no_plan else _said(earned.pv, money), no_plan),
        Term("EV", "Earned value: what the work that is done was budgeted at.", _said(earned.ev, money)),
        Term("AC", "Actual cost: what the hours spent so far have cost.", _said(earned.ac, money)),
        Term("BAC", "Budget at completion: what all the work was budgeted at.", _said(earned.bac, money)),
        Term("CPI", "Cost performance: EV over AC. Under 1, an hour does less than it was budgeted to do.",
             _index(earned.cpi), why.get("cpi", "")),
        Term("SPI", "Schedule performance: EV over PV. Under 1, less is done than was planned for today.",
             "" if no_plan else _index(earned.spi), no_plan or why.get("spi", "")),
        Term("EAC", "Estimate at completion: what the work will have cost if the rest goes as it has gone, BAC over CPI.",
             _said(earned.eac, money) if earned.eac is not None else "", why.get("eac", "")),
    ]  # fmt: skip


def _ending(earned: EarnedValue, money: Currency) -> str:
    """What the figures come to, in a sentence."""
    if earned.vac is None:
        return "Too little has been done to say what the labour will come to."
    if abs(earned.vac) < Fraction(money.unit):
        return "If the rest goes as it has gone, the labour ends on its budget."
    side = "under" if earned.vac > 0 else "over"
    return (
        f"If the rest goes as it has gone, the labour ends {_said(abs(earned.vac), money)} {side} its budget."
    )


def _said(amount: Fraction, money: Currency) -> str:
    return format_money(Decimal(amount.numerator) / Decimal(amount.denominator), money, decimals=True)


def _index(value: Fraction | None) -> str:
    return "" if value is None else figure(float(value), 2)
