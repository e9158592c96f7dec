"""What is said of a date never quarrels with the day beside it; and a job that waits for a sheet says so."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from estimates.hours.dates import Finish
from estimates.progress.link import make_link
from estimates.work.date_words import chance_words, in_ten
from estimates.work.dates import Expected, expected_of_shop
from estimates.work.standing import JobStanding
from jobs.models import Job, MaterialUse
from shop.models import SheetStock
from tests.estimates.work_cast import accepted, book, budget, finish, more_jobs, stages_of

WEDNESDAY = date(2026, 5, 13)
FRIDAY, SATURDAY, SUNDAY, MONDAY = (date(2026, 5, day) for day in (15, 16, 17, 18))
TEN = 10


def foreseen(promised_on: date, done_on: dict[date, int], confidence: float = 0.8) -> Expected:
    """A job done on these days in so many of the draws; the weekend has none."""
    days = tuple(sorted((day - WEDNESDAY).days for day, draws in done_on.items() for _ in range(draws)))
    end = Finish(WEDNESDAY, days)
    job = Job(number="2026-001", title="Bow fairing", promised_on=promised_on)
    return Expected(
        JobStanding(job, ()), end, end.p50, end.p80, end.date_at(confidence), confidence=confidence
    )


AROUND = {WEDNESDAY: 400, FRIDAY: 900, MONDAY: 300, date(2026, 5, 19): 400}  # P50 Friday, P80 Monday


@pytest.mark.parametrize(
    ("promised_on", "words", "at_risk"),
    [
        (
            WEDNESDAY,
            "2 in 10 that Wed 13 May is kept, less likely than the 80 % the shop promises at. ",
            True,
        ),
        (FRIDAY, "6 in 10 that Fri 15 May is kept, less likely than", True),
        (SATURDAY, "6 in 10 that Sat 16 May is kept, less likely than", True),
        (SUNDAY, "6 in 10 that Sun 17 May is kept, less likely than", True),
        (MONDAY, "8 in 10 that Mon 18 May is kept.", False),
        (date(2026, 5, 19), "at least 19 in 20 that Tue 19 May is kept.", False),
    ],
)
def test_the_chance_turns_on_the_very_day_that_is_kept_four_times_in_five(promised_on, words, at_risk):
    one = foreseen(promised_on, AROUND)
    said = chance_words(one, WEDNESDAY)
    assert (one.middle, one.high) == (FRIDAY, MONDAY)
    assert said.startswith(words)
    assert one.at_risk is at_risk
    assert ("Mon 18 May would be kept four times in five." in said) is at_risk


def test_a_draw_short_of_four_in_five_is_never_rounded_up_to_it():
    """1,599 of 2,000 is 79.95 %: said as 8 in 10 it would call a date at risk that reads as safe."""
    short = foreseen(FRIDAY, {FRIDAY: 1599, MONDAY: 401})
    assert short.high == MONDAY
    assert chance_words(short, WEDNESDAY).startswith(
        "7 in 10 that Fri 15 May is kept, less likely than the 80 %"
    )
    enough = foreseen(FRIDAY, {FRIDAY: 1600, MONDAY: 400})
    assert enough.high == FRIDAY
    assert chance_words(enough, WEDNESDAY) == "8 in 10 that Fri 15 May is kept."


@pytest.mark.parametrize("tenths", range(1, TEN))
def test_whole_tenths_are_said_as_they_are(tenths):
    assert in_ten(tenths / TEN) == f"{tenths} in 10"
    assert in_ten(tenths / TEN - 0.0005) == (f"{tenths - 1} in 10" if tenths > 1 else "less than 1 in 10")


def test_a_shop_that_wants_to_be_surer_names_its_own_day():
    one = foreseen(MONDAY, AROUND, confidence=0.9)
    assert one.at_risk is True
    assert chance_words(one, WEDNESDAY) == (
        "8 in 10 that Mon 18 May is kept, less likely than the 90 % the shop promises at. "
        "Tue 19 May would be kept 9 times in 10."
    )


@pytest.fixture
def in_work(job, panel, owner, shaper, shop):
    """One job of about 20 hours without metal, and only Maro at the bench, six hours every day of the week."""
    owner.bench_hours_per_day = 0
    owner.save()
    shaper.working_days = "1234567"
    shaper.save()
    accepted(job, owner, shop)
    for stage in stages_of(panel).values():
        budget(stage, "5", "5.5")
    return job


def the_one(shop) -> Expected:
    (one,) = expected_of_shop(shop, timezone.localdate())
    return one


def ordered(panel, **more) -> SheetStock:
    sides = {"length_mm": 2500, "width_mm": 1250}
    return SheetStock.objects.create(
        metal=panel.metal, thickness_mm=1.6, state=SheetStock.State.ORDERED, cost=Decimal(92), **sides, **more
    )


def flat(client, address: str) -> str:
    return " ".join(client.get(address).content.decode().split())


@pytest.mark.django_db
def test_a_job_without_a_sheet_says_so_and_its_date_counts_a_week(in_work, panel, shop, owner_client):
    today = timezone.localdate()
    assert the_one(shop).middle == today + timedelta(
        days=7 + 3
    )  # four days of work, the first on the day it comes
    assert "It waits for a sheet that is not ordered yet" in flat(owner_client, reverse("dates"))


@pytest.mark.django_db
@pytest.mark.parametrize(("in_days", "begins_in"), [(3, 3), (0, 0), (-2, 1), (None, 7)])
def test_an_ordered_sheet_is_counted_on_its_day_and_a_late_one_tomorrow(
    in_days, begins_in, in_work, panel, shop, owner_client
):
    today = timezone.localdate()
    sheet = ordered(panel, expected_on=today + timedelta(days=in_days) if in_days is not None else None)
    assert the_one(shop).middle == today + timedelta(days=begins_in + 3)
    assert "It waits for a sheet that is expected on" in flat(owner_client, reverse("dates"))
    sheet.state = SheetStock.State.RACK
    sheet.save()
    assert the_one(shop).wait is None
    assert the_one(shop).middle == today + timedelta(days=3)
    assert "It waits for a sheet" not in flat(owner_client, reverse("dates"))


@pytest.mark.django_db
def test_metal_that_is_cut_or_under_the_hammer_is_not_waited_for(in_work, panel, shop, owner, shaper):
    assert the_one(shop).wait
    stages = stages_of(panel)
    book(stages["gathering"], shaper, "0.5")
    assert the_one(shop).wait is None
    stages["gathering"].time_entries.all().delete()
    assert the_one(shop).wait
    finish(stages["layout"])
    assert the_one(shop).wait is None


@pytest.mark.django_db
def test_what_is_on_the_rack_goes_before_what_is_ordered(in_work, panel, shop, sheet):
    ordered(panel, expected_on=timezone.localdate() + timedelta(days=30))
    assert MaterialUse.objects.count() == 0
    assert the_one(shop).wait is None


@pytest.mark.django_db
def test_a_promise_less_likely_than_the_shop_wants_is_said_in_words_when_it_is_made(
    in_work, shop, owner_client
):
    where = reverse("date-promise", args=[in_work.number])
    one = the_one(shop)
    early = owner_client.post(where, {"promised_on": one.high - timedelta(days=1)}, follow=True)
    page = " ".join(early.content.decode().split())
    assert "less likely than the 80 % the shop promises at" in page
    assert "would be kept four times in five." in page
    seen = {"promised_on": one.high, "seen": one.high - timedelta(days=1)}
    page = " ".join(owner_client.post(where, seen, follow=True).content.decode().split())
    assert "less likely than" not in page
    assert "8 in 10 that" in page or "9 in 10 that" in page or "at least 19 in 20 that" in page.lower()


@pytest.mark.django_db
def test_today_says_what_a_date_at_risk_waits_for(in_work, shop, owner_client):
    Job.objects.update(promised_on=timezone.localdate() + timedelta(days=5))
    page = flat(owner_client, "/")
    assert "less likely than the 80 % the shop promises at." in page
    assert "It waits for a sheet that is not ordered yet" in page


@pytest.mark.django_db
def test_an_enquiry_is_promised_the_day_the_shop_is_sure_enough_of(in_work, shop, owner_client):
    asked = reverse("dates") + "?low=30&high=60"
    assert "Promise the second." in flat(owner_client, asked)
    shop.confidence = Decimal("0.95")
    shop.save()
    page = flat(owner_client, asked)
    assert "Promise the second." not in page
    assert "which would be kept 95 times in 100" in page


@pytest.mark.django_db
def test_the_customer_reads_of_the_metal_and_of_a_promise_that_may_be_missed(in_work, shop, owner, client):
    address = make_link(in_work, owner).get_absolute_url()
    assert "It waits for its metal." in flat(client, address)
    Job.objects.update(promised_on=timezone.localdate() + timedelta(days=5))
    page = flat(client, address)
    assert "You have our word for" in page
    assert "as the work stands, it may take until" in page
    assert "We expect to finish" not in page
    Job.objects.update(promised_on=timezone.localdate() + timedelta(days=60))
    assert "may take until" not in flat(client, address)


@pytest.mark.django_db
def test_the_page_of_dates_asks_the_same_of_many_jobs_that_wait(
    in_work, owner, panel, shop, owner_client, django_assert_num_queries
):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as few:
        owner_client.get(reverse("dates"))
    more_jobs(4, owner, panel.metal, shop)
    with django_assert_num_queries(len(few)):
        owner_client.get(reverse("dates"))
