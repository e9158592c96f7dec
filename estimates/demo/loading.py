"""Loading the example shop into an empty book, all of it or nothing."""

import random
from collections.abc import Callable
from datetime import timedelta
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from estimates.demo.cast import Cast
from estimates.demo.enquiries import on_the_desk
from estimates.demo.history import bring_the_notebook_in, past_jobs
from estimates.demo.jobs_in_work import agreed_jobs, at_the_bench
from estimates.demo.metals_and_sheets import date_sheets, order_sheet, price_metals, stock_the_rack
from estimates.demo.moments import Days, Story, go_on, it_is
from estimates.demo.people import add_customers, add_days_off, open_shop
from estimates.demo.photographs import SIZE, draw_and_keep
from shop.models import Person, Shop

SEED = 1871


def is_empty() -> bool:
    """Whether the book holds nothing yet: no shop and nobody who signs in."""
    return not Shop.objects.exists() and not Person.objects.exists()


@transaction.atomic
def load(say: Callable[[str], None], *, size: tuple[int, int] = SIZE) -> None:
    """Load the example shop; ``say`` is told how far it has got, ``size`` is that of its photographs in pixels."""
    with timezone.override(ZoneInfo("Europe/Dublin")):
        days = Days(timezone.now())
        cast = _set_up(days)
        say("Past panels and closed jobs ...")
        bring_the_notebook_in(cast)
        jobs: dict = {}
        # What stands at the bench is planned from budgets, so all of it is agreed before any of it is worked.
        go_on([*past_jobs(cast), *agreed_jobs(cast, jobs)])
        say("Jobs in work, quotes, enquiries ...")
        go_on([*at_the_bench(cast, jobs), *on_the_desk(cast), _sheet_ordered(cast)])
        date_sheets(days)
        draw_and_keep(cast.wishes, size, days.now, lambda done, of: say(f"Photographs: {done} of {of}"))


def _set_up(days: Days) -> Cast:
    with it_is(days.ago(300)):
        shop, people = open_shop(days)
        metals = price_metals(people["osk"])
        stock_the_rack(metals, people["osk"])
        customers = add_customers(people["osk"])
    with it_is(days.ago(6, 8, 15)):
        add_days_off(days, people)
    return Cast(shop, people, customers, metals, days, random.Random(SEED))  # noqa: S311 - not for secrets


def _sheet_ordered(cast: Cast) -> Story:
    yield cast.days.now - timedelta(days=3)
    order_sheet(cast.metals["aluminium"], 1.2, cast.osk)
