"""The dates page, gathered in a constant number of queries."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimates.hours import HoursRange
from estimates.hours.dates import DatePromise, NoDate
from estimates.work.date_strips import date_strip, dates_axis, days_shown
from estimates.work.dates import (
    Expected,
    active_people,
    days_off,
    enquiry_date,
    expected_dates,
    waits_in_work,
    workers_of,
)
from estimates.work.in_work import in_work
from estimates.work.standing import correlations
from jobs.drawings.scene import Scene
from jobs.models import Job
from shop.models import DayOff, Person, Shop

USUAL_SPREAD = Decimal(
    "1.3"
)  # high end over middle where only one figure is given; assumed, as first rates are


@dataclass(frozen=True, slots=True)
class DateRow:
    """One job with its dates drawn."""

    expected: Expected
    strip: Scene

    @property
    def job(self) -> Job:
        return self.expected.job


@dataclass(frozen=True, slots=True)
class DatesPage:
    rows: tuple[DateRow, ...]
    axis: Scene
    people: tuple[Person, ...]
    off: tuple[DayOff, ...]
    enquiry: DatePromise | None
    enquiry_safe: date | None
    confidence: Decimal
    enquiry_hours: HoursRange | None
    no_date: str
    at_risk: int


def dates_page(shop: Shop, today: date, hours: tuple[Decimal, Decimal | None] | None) -> DatesPage:
    """Every job in work, and where an enquiry of ``hours`` (middle, high end) would come behind them."""
    numbers = Job.objects.filter(state=Job.State.IN_WORK).values_list("pk", flat=True)
    work = in_work(correlations(numbers))
    jobs, waits = work.jobs, waits_in_work(work, shop, today)
    people, off = active_people(), days_off(today)
    workers = workers_of(people, off)
    expected = expected_dates(jobs, workers, today, float(shop.confidence), waits)
    days = days_shown(expected, today)
    enquiry, asked, no_date = _enquiry(hours, lambda asked: enquiry_date(asked, jobs, workers, today, waits))
    return DatesPage(
        rows=tuple(DateRow(one, date_strip(one, today, days)) for one in expected),
        axis=dates_axis(today, days), people=tuple(people),
        off=tuple(each for each in off if each.date >= today), enquiry=enquiry, enquiry_hours=asked,
        enquiry_safe=enquiry.finish.date_at(float(shop.confidence)) if enquiry else None, confidence=shop.confidence,
        no_date=no_date, at_risk=sum(one.at_risk for one in expected),
    )  # fmt: skip


def _enquiry(
    hours: tuple[Decimal, Decimal | None] | None, promised: Callable[[HoursRange], DatePromise]
) -> tuple[DatePromise | None, HoursRange | None, str]:
    if hours is None:
        return None, None, ""
    low, high = hours
    asked = HoursRange.between(float(low), float(high or low * USUAL_SPREAD))
    try:
        return promised(asked), asked, ""
    except NoDate as error:
        return None, asked, str(error)
