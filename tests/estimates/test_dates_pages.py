"""The dates page: dates from hours and people, promises at risk, set by the owner alone and never over another."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from estimates.work.dates import (
    DateRefused,
    expected_of_shop,
    no_work_days,
    promise_date,
    workers_of,
)
from estimates.work.dates_page import dates_page
from jobs.models import Job, Stage
from shop.models import AuditEntry, DayOff, Person
from tests.estimates.work_cast import accepted, budget, finish, more_jobs, stages_of

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture
def in_work(job, panel, owner, shaper, shop, sheet):
    """One job of about 20 hours with a sheet for it, and only Maro at the bench, six hours a day."""
    owner.bench_hours_per_day = 0
    owner.save()
    accepted(job, owner, shop)
    for stage in stages_of(panel).values():
        budget(stage, "5", "5.5")
    return job


def the_one(shop):
    (one,) = expected_of_shop(shop, timezone.localdate())
    return one


def working_days_ahead(count: int) -> date:
    """The last of so many working days, today counted where it is one."""
    day = timezone.localdate()
    while True:
        count -= day.isoweekday() <= 5
        if not count:
            return day
        day += timedelta(days=1)


def test_twenty_hours_at_six_a_day_take_four_working_days(in_work, shop):
    one = the_one(shop)
    assert one.middle == working_days_ahead(4)
    assert one.middle <= one.high


def test_a_day_off_moves_the_date_by_a_day(in_work, shop, shaper):
    middle = the_one(shop).middle
    DayOff.objects.create(person=shaper, date=working_days_ahead(2))
    assert the_one(shop).middle > middle
    DayOff.objects.all().delete()
    assert the_one(shop).middle == middle


def test_work_done_brings_the_date_nearer(in_work, panel, shop):
    middle = the_one(shop).middle
    finish(*list(stages_of(panel).values())[:3])
    assert the_one(shop).middle < middle
    assert the_one(shop).middle == working_days_ahead(1)


def test_a_job_that_is_done_is_done_today(in_work, panel, shop):
    finish(*stages_of(panel).values())
    assert the_one(shop).high == timezone.localdate()


def test_somebody_who_has_left_works_no_more(in_work, shaper, shop):
    shaper.is_active = False
    shaper.save()
    one = the_one(shop)
    assert one.middle is None
    assert "Nobody has bench hours" in one.why_none


def test_a_promise_that_cannot_be_kept_is_at_risk_and_says_so(in_work, shop, owner_client):
    in_work.promised_on = timezone.localdate()
    in_work.save()
    assert the_one(shop).at_risk is True
    page = owner_client.get(reverse("dates")).content.decode()
    assert "1 date is at risk." in page
    assert "At risk." in page
    assert "Less than 1 in 20 that" in page


def test_a_promise_with_weeks_to_spare_is_not(in_work, shop, owner_client):
    in_work.promised_on = timezone.localdate() + timedelta(days=40)
    in_work.save()
    assert the_one(shop).at_risk is False
    assert "No date is at risk." in owner_client.get(reverse("dates")).content.decode()


def test_an_enquiry_comes_behind_what_is_in_work(in_work, shop):
    today = timezone.localdate()
    alone = dates_page(shop, today, (D("6"), D("6.6"))).enquiry
    assert alone.p50_date > the_one(shop).middle
    in_work.state = Job.State.CLOSED
    in_work.closed_at = timezone.now()
    in_work.save()
    assert dates_page(shop, today, (D("6"), D("6.6"))).enquiry.p50_date < alone.p50_date


def test_the_page_says_when_an_enquiry_would_be_done(in_work, owner_client):
    page = owner_client.get(reverse("dates"), {"low": "30", "high": "38"}).content.decode()
    assert "A new enquiry of 30–38\xa0h would be done by" in page


@pytest.mark.parametrize(
    ("typed", "words"),
    [({"low": "many"}, "cannot be read as hours"), ({"low": "0"}, "more than 0"), ({"low": ""}, "Write hours"),
     ({"low": "30", "high": "20"}, "at least as long as half"), ({"low": "9999"}, "at most 5000")],
)  # fmt: skip
def test_hours_that_cannot_be_are_told_beside_the_field(in_work, owner_client, typed, words):
    answer = owner_client.get(reverse("dates"), typed)
    assert answer.status_code == 422
    assert words in answer.content.decode()


# Promising


def test_the_owner_promises_a_date_and_the_trail_keeps_it(in_work, owner):
    day = timezone.localdate() + timedelta(days=20)
    promise_date(in_work, owner, day, None)
    in_work.refresh_from_db()
    assert in_work.promised_on == day
    entry = AuditEntry.objects.get(what="promised a date for")
    assert entry.changes == {"promised_on": [None, str(day)]}
    promise_date(in_work, owner, None, day)
    in_work.refresh_from_db()
    assert in_work.promised_on is None


def test_the_same_promise_twice_is_written_once(in_work, owner):
    day = timezone.localdate() + timedelta(days=20)
    promise_date(in_work, owner, day, None)
    promise_date(in_work, owner, day, None)
    assert AuditEntry.objects.filter(what="promised a date for").count() == 1


def test_a_promise_made_meanwhile_is_not_written_over(in_work, owner):
    theirs, mine = (timezone.localdate() + timedelta(days=days) for days in (10, 20))
    promise_date(in_work, owner, theirs, None)
    with pytest.raises(DateRefused, match="Somebody changed this promise"):
        promise_date(in_work, owner, mine, None)
    in_work.refresh_from_db()
    assert in_work.promised_on == theirs


@pytest.mark.parametrize("days", [-1, 3654])
def test_a_day_gone_by_or_far_away_is_not_promised(in_work, owner, days):
    with pytest.raises(DateRefused, match="from today on"):
        promise_date(in_work, owner, timezone.localdate() + timedelta(days=days), None)


def test_a_closed_job_has_nothing_to_promise(in_work, owner):
    in_work.state, in_work.closed_at = Job.State.CLOSED, timezone.now()
    in_work.save()
    with pytest.raises(DateRefused, match="nothing to promise"):
        promise_date(in_work, owner, timezone.localdate(), None)


def test_a_shaper_sees_dates_and_promises_none(in_work, shaper, shaper_client):
    page = shaper_client.get(reverse("dates"))
    assert page.status_code == 200
    assert 'name="promised_on"' not in page.content.decode()
    answer = shaper_client.post(reverse("date-promise", args=[in_work.number]), {"promised_on": "2030-01-01"})
    assert answer.status_code == 403
    with pytest.raises(DateRefused, match="Only the owner"):
        promise_date(in_work, shaper, timezone.localdate(), None)


def test_a_stranger_is_sent_to_the_door(in_work, stranger_client):
    assert stranger_client.get(reverse("dates")).status_code == 302
    assert stranger_client.post(reverse("date-promise", args=[in_work.number])).status_code == 302


def test_the_page_sets_a_promise(in_work, owner_client):
    day = timezone.localdate() + timedelta(days=9)
    address = reverse("date-promise", args=[in_work.number])
    owner_client.post(address, {"promised_on": day.isoformat(), "seen": ""})
    in_work.refresh_from_db()
    assert in_work.promised_on == day
    answer = owner_client.post(address, {"promised_on": "soon", "seen": ""}, follow=True)
    assert "That is not a day." in answer.content.decode()


def test_days_on_which_nobody_stands_at_a_bench(shop, shaper, owner):
    monday = date(2026, 5, 11)
    owner.working_days = "6"
    people = workers_of([shaper, owner], [DayOff(date=date(2026, 5, 13)), DayOff(date=monday, person=shaper)])
    shut = no_work_days(people, monday, 7)
    assert shut == {monday, date(2026, 5, 13), date(2026, 5, 17)}


def test_an_empty_page_says_what_to_do(shop, owner_client):
    assert "when its quote is accepted" in owner_client.get(reverse("dates")).content.decode()


@pytest.mark.parametrize("count", [3, 30])
def test_the_page_asks_the_same_for_many(
    owner, aluminium, shop, owner_client, count, django_assert_max_num_queries
):
    more_jobs(count, owner, aluminium, shop)
    assert Stage.objects.count() == 4 * count
    with django_assert_max_num_queries(13):
        page = owner_client.get(reverse("dates"))
    assert page.content.decode().count('class="dates-row" id=') == count
    assert Person.objects.count() == 1
