"""All that Today shows, gathered in a constant number of queries (tests/estimates/test_today.py counts them)."""

from dataclasses import dataclass
from datetime import date

from django.core.paginator import Page, Paginator
from django.utils import timezone

from estimates.quoting.figures import currency_of
from estimates.today.aside import keys_put_aside
from estimates.today.drawings import RULE_DAYS, overdue, rule_of_days, sheet_layout
from estimates.today.needs import Facts, Need, needs
from estimates.today.panel_words import PanelRow, panel_row
from estimates.today.quotes import Waiting, correlation_by_job, jobs_on_the_desk, live_quotes, waiting_quotes
from estimates.today.week import PersonWeek, people_and_week
from estimates.work.dates import days_off, expected_dates, no_work_days, workers_of
from estimates.work.in_work import InWork, in_work
from estimates.work.standing import shared_scale
from jobs.drawings.scene import Scene
from jobs.drawings.strip_scales import hours_axis
from jobs.models import Job, Photo
from jobs.sheets_needed import SheetPlan, SheetsToOrder, metal_waits, sheet_plan
from shop.models import Person, Shop

PANELS_A_PAGE = 12
NEEDS_SHOWN = 10
QUOTES_SHOWN = 5
ORDERS_SHOWN = 4
PHOTOS_SHOWN = 2
# All that is said under a photo.
OF_PHOTOS = (
    "subject", "taken_at", "stage__kind__name",
    "panel__name", "panel__position", "panel__hand", "panel__job__number",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class NeedsToday:
    """What needs somebody, what they have put aside, and how many sentences more there are."""

    shown: tuple[Need, ...]
    aside: tuple[Need, ...]
    more: int


@dataclass(frozen=True, slots=True)
class Order:
    """Sheets to order, with the first of them drawn."""

    order: SheetsToOrder
    drawing: Scene | None


@dataclass(frozen=True, slots=True)
class Today:
    today: date
    rule: Scene
    overdue: tuple[Job, ...]
    needs: NeedsToday
    rows: tuple[PanelRow, ...]
    page: Page
    axis: Scene | None
    waiting: tuple[Waiting, ...]
    waiting_more: int
    orders: tuple[Order, ...]
    plan: SheetPlan
    week: tuple[PersonWeek, ...]
    photos: tuple[Photo, ...]

    @property
    def nothing_yet(self) -> bool:
        """Whether the book is empty enough to say how to begin."""
        return not (self.rows or self.waiting or self.needs.shown or self.needs.aside)


def today_of(person: Person, shop: Shop, *, page: object = 1, all_needs: bool = False) -> Today:
    """Gather Today for a person. A shaper's has no quotes and no money in it."""
    today = timezone.localdate()
    quotes = live_quotes(today)
    work = in_work(correlation_by_job(quotes))
    people, week = people_and_week(today, work.running)
    workers = workers_of(people, days_off(today))
    plan = sheet_plan(shop.units, work.without_metal())
    waits = metal_waits(plan, today)
    expected = tuple(expected_dates(work.jobs, workers, today, float(shop.confidence), waits))
    no_work = no_work_days(workers, today, RULE_DAYS)
    desk = jobs_on_the_desk(today) if person.is_owner else []
    facts = Facts(today, person, work, expected, tuple(quotes), tuple(desk), currency_of(shop))
    panels = Paginator(work.panels, PANELS_A_PAGE).get_page(page)
    waiting = waiting_quotes(quotes, today, QUOTES_SHOWN, with_prices=True) if person.is_owner else []
    out = sum(quote.state == quote.State.SENT for quote in quotes) if person.is_owner else 0
    return Today(
        today=today,
        rule=rule_of_days(today, work.jobs, expected, plan.to_order, no_work),
        overdue=tuple(overdue(today, work.jobs)),
        needs=_needs(facts, all_needs),
        rows=_rows(panels, work, plan, today, shop),
        page=panels,
        axis=hours_axis(shared_scale(panels)) if panels.object_list else None,
        waiting=tuple(waiting),
        waiting_more=out - len(waiting),
        orders=tuple(_order(order) for order in plan.to_order[:ORDERS_SHOWN]),
        plan=plan,
        week=tuple(week),
        photos=tuple(_photos()),
    )


def _needs(facts: Facts, all_of_them: bool) -> NeedsToday:
    aside_keys = keys_put_aside(facts.person, facts.today)
    found = needs(facts)
    now = [need for need in found if need.key not in aside_keys]
    shown = now if all_of_them else now[:NEEDS_SHOWN]
    aside = [need for need in found if need.key in aside_keys]
    return NeedsToday(tuple(shown), tuple(aside), len(now) - len(shown))


def _rows(panels: Page, work: InWork, plan: SheetPlan, today: date, shop: Shop) -> tuple[PanelRow, ...]:
    scale = shared_scale(panels)
    waiting = {panel.pk for order in plan.to_order for panel in order.panels}
    return tuple(panel_row(standing, work, scale, waiting, today, shop.units) for standing in panels)


def _order(order: SheetsToOrder) -> Order:
    return Order(order, sheet_layout(order.sheets[0]) if order.sheets else None)


def _photos() -> list[Photo]:
    rows = (
        Photo.objects.filter(stage__isnull=False).select_related("panel__job", "stage__kind").only(*OF_PHOTOS)
    )
    return list(rows.order_by("-taken_at", "-pk")[:PHOTOS_SHOWN])
