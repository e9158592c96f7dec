"""Today: what needs somebody in words, panels in work, who sees what, and how much it asks of the database."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from estimates.answers import ask
from estimates.closing import close_job, reopen_job
from estimates.models import Answer, Payment, Quote
from estimates.models.aside import PutAside
from estimates.payments import keep_payment, strike_payment
from estimates.today.gathering import today_of
from estimates.work.date_words import in_ten
from jobs.models import Job, Panel, PassDone, Reading, Stage, TimeEntry
from jobs.numbers import save_with_number
from shop.models import DayOff
from tests.estimates.quote_cast import sent_quote
from tests.estimates.work_cast import accepted, book, budget, finish, more_jobs, stages_of

pytestmark = pytest.mark.django_db
D = Decimal
QUERIES = 15


def said(person, shop) -> dict[str, str]:
    """Today's needs as sentences, by the kind of their key."""
    shown = today_of(person, shop, all_needs=True).needs.shown
    return {need.key.split(":")[0]: f"{need.subject} {need.words}" for need in shown}


def move_sent(quote, days: int) -> None:
    """Let a quote have been sent some days ago, past the guard that holds sent quotes still."""
    from django.db.models.query import QuerySet

    sent_at = timezone.now() - timedelta(days=days)
    QuerySet(Quote).filter(pk=quote.pk).update(sent_at=sent_at)


@pytest.fixture
def in_work(job, panel, owner, shop):
    accepted(job, owner, shop)
    return job


def test_an_empty_book_says_what_to_do_next(owner_client):
    page = owner_client.get("/").content.decode()
    assert "Write down an enquiry" in page
    assert "Nothing. Everything in the book is where it should be." in page


def test_a_stage_past_its_range_says_by_how_many_hours(in_work, panel, shaper, shop):
    stage = budget(stages_of(panel)["gathering"], "4", "6")
    book(stage, shaper, "11.2")
    assert said(shaper, shop)["over"] == (
        f"Fairing skin {panel.mark} is 5.2 h past its gathering range and no progress is set."
    )


def test_a_stage_inside_its_range_or_done_needs_nobody(in_work, panel, shaper, shop):
    stages = stages_of(panel)
    book(budget(stages["gathering"], "4", "6"), shaper, "5.9")
    book(budget(stages["layout"], "1", "2"), shaper, "4")
    finish(stages["layout"])
    assert "over" not in said(shaper, shop)


@pytest.mark.parametrize(
    ("days", "words"),
    [(2, "is wanted by "), (1, "is wanted by tomorrow. 4 stages still to do"), (0, "is wanted by today"),
     (-1, "was wanted by yesterday")],
)  # fmt: skip
def test_a_job_due_soon_or_overdue_is_named(in_work, shaper, shop, days, words):
    in_work.due_on = timezone.localdate() + timedelta(days=days)
    in_work.save()
    assert said(shaper, shop)["due"].startswith(f"Bow fairing {in_work.number} {words}")


def test_a_job_due_in_three_days_is_not_named(in_work, shaper, shop):
    in_work.due_on = timezone.localdate() + timedelta(days=3)
    in_work.save()
    assert "due" not in said(shaper, shop)


def test_a_promise_that_cannot_be_kept_says_so_with_a_date_that_can(in_work, panel, shaper, owner, shop):
    for stage in stages_of(panel).values():
        budget(stage, "60", "80")
    in_work.promised_on = timezone.localdate() + timedelta(days=5)
    in_work.save()
    sentence = said(shaper, shop)["risk"]
    assert "less than 1 in 20 that " in sentence
    assert "is kept, less likely than the 80 % the shop promises at." in sentence
    assert "would be kept four times in five." in sentence


def test_a_wish_is_no_promise_at_risk(in_work, panel, shaper, shop):
    for stage in stages_of(panel).values():
        budget(stage, "60", "80")
    in_work.due_on = timezone.localdate() + timedelta(days=5)
    in_work.save()
    assert "risk" not in said(shaper, shop)


def test_a_clock_that_runs_since_yesterday_asks_when_it_stopped(in_work, panel, shaper, owner, shop):
    started = timezone.now() - timedelta(hours=26)
    TimeEntry.objects.create(stage=stages_of(panel)["layout"], person=shaper, started_at=started)
    assert said(shaper, shop)["clock"].startswith(f"Your clock has run on {panel.mark}, layout, since")
    assert said(owner, shop)["clock"].startswith("Maro’s clock has run on")


def test_hours_of_a_clock_that_may_be_forgotten_count_with_a_mark(
    in_work, panel, shaper, owner, shop, owner_client, monkeypatch
):
    """Over the range only because a clock was left on: Today says so wherever the hours show."""
    monkeypatch.setattr(timezone, "now", lambda: datetime(2026, 5, 14, 15, 0, tzinfo=UTC))
    stage = budget(stages_of(panel)["layout"], "2", "3")
    clock = TimeEntry.objects.create(
        stage=stage, person=shaper, started_at=timezone.now() - timedelta(hours=5, minutes=30)
    )
    believed = said(owner, shop)
    assert "clock" not in believed
    assert "forgotten" not in believed["over"]
    assert "Maro is on it" in owner_client.get("/").content.decode()
    TimeEntry.objects.filter(pk=clock.pk).update(started_at=timezone.now() - timedelta(hours=8))
    doubted = said(owner, shop)
    assert doubted["over"].endswith("Maro’s clock there has run for 8 h and may be forgotten.")
    assert "longer than a day at the bench: it may be forgotten" in doubted["clock"]
    assert said(shaper, shop)["clock"].startswith("Your clock has run on")
    page = owner_client.get("/").content.decode()
    assert "Maro’s clock may be forgotten" in page
    assert "Maro is on it" not in page


def test_anothers_clock_is_none_of_a_shapers_business(in_work, panel, shaper, owner, shop):
    started = timezone.now() - timedelta(hours=26)
    TimeEntry.objects.create(stage=stages_of(panel)["layout"], person=owner, started_at=started)
    assert "clock" not in said(shaper, shop)


def test_a_pass_ticked_without_a_reading_asks_for_it(in_work, panel, shaper, shop):
    PassDone.objects.create(panel=panel, number=1, person=shaper)
    assert said(shaper, shop)["reading"].endswith("has pass 1 ticked and no reading after it.")
    Reading.objects.create(panel=panel, pass_number=1, value=500, target=500, person=shaper)
    assert "reading" not in said(shaper, shop)


def test_a_question_of_the_customer_waits_until_it_is_answered(job, panel, owner, shop):
    question = ask(sent_quote(job, owner, shop), text="Could it be brass?", name="Ida")
    assert said(owner, shop)["question"].startswith("Ida asked something about quote ")
    question.replied_at = timezone.now()
    question.save()
    assert "question" not in said(owner, shop)


def test_an_answer_is_news_until_the_day_after(in_work, owner, shop):
    assert said(owner, shop)["answer"].startswith("Tamsin Pell accepted quote ")
    Answer.objects.update(at=timezone.now() - timedelta(days=2))
    assert "answer" not in said(owner, shop)


def test_a_quote_about_to_run_out_is_named(job, panel, owner, shop):
    shop.quote_valid_days = 2
    quote = sent_quote(job, owner, shop)
    assert said(owner, shop)["expires"].startswith(f"Quote {quote.number} for Tamsin Pell holds until ")


def test_a_quote_with_weeks_to_run_is_not_named(job, panel, owner, shop):
    sent_quote(job, owner, shop)
    assert "expires" not in said(owner, shop)


def test_an_enquiry_without_a_quote_is_named_after_some_days(job, owner, shop):
    assert "enquiry" not in said(owner, shop)
    Job.objects.update(created_at=timezone.now() - timedelta(days=5))
    assert (
        said(owner, shop)["enquiry"] == "Tamsin Pell asked 5 days ago for Bow fairing and has no quote yet."
    )


def test_a_deposit_waits_until_all_of_it_has_come(in_work, owner, shop):
    asked = Quote.objects.get().answer.total * shop.deposit_percent / 100
    assert "waits for its deposit: €" in said(owner, shop)["deposit"]
    part = Payment.objects.create(job=in_work, kind="deposit", amount=D("10"), person=owner)
    assert "deposit" in said(owner, shop)
    part.amount = asked + 1
    part.save()
    assert "deposit" not in said(owner, shop)


def test_money_paid_back_is_waited_for_again(in_work, owner, shop):
    Payment.objects.create(job=in_work, kind="deposit", amount=D("5000"), person=owner)
    Payment.objects.create(job=in_work, kind="refund", amount=D("5000"), person=owner)
    assert "deposit" in said(owner, shop)


def test_a_closed_job_is_spoken_of_until_all_of_its_price_has_come(in_work, owner, shop):
    total = Quote.objects.get().answer.total
    Payment.objects.create(job=in_work, kind="deposit", amount=total, person=owner)
    Payment.objects.create(job=in_work, kind="refund", amount=D("40.5"), person=owner)
    close_job(in_work, owner, {stage.pk: "sold as it is" for stage in Stage.objects.all()})
    words = said(owner, shop)["unpaid"]
    assert "is closed, and" in words
    assert "40.50 of its price has not come in" in words
    keep_payment(in_work, Payment(kind="payment", amount=D("40.5")), owner, shop)
    assert "unpaid" not in said(owner, shop)
    strike_payment(in_work, Payment.objects.latest("pk").pk, owner, shop, "written down twice")
    assert "unpaid" in said(owner, shop)
    reopen_job(in_work, owner)
    assert "unpaid" not in said(owner, shop)


def test_a_job_closed_long_ago_is_not_spoken_of(in_work, owner, shop):
    Job.objects.update(state=Job.State.CLOSED, closed_at=timezone.now() - timedelta(days=200), unpaid=1)
    assert "unpaid" not in said(owner, shop)


def test_a_job_with_every_stage_done_asks_to_be_closed(in_work, panel, owner, shop):
    finish(*stages_of(panel).values())
    assert "Close it" in said(owner, shop)["close"]


def test_a_shaper_sees_no_quotes_no_deposits_and_no_money(in_work, panel, owner, shaper, shop, shaper_client):
    Job.objects.update(created_at=timezone.now() - timedelta(days=9))
    other = save_with_number(Job(customer=in_work.customer, title="Other", created_by=owner))
    Panel.objects.filter(pk=panel.pk).update(job=other)
    sent_quote(other, owner, shop)
    Panel.objects.filter(pk=panel.pk).update(job=in_work)
    assert (
        not {"answer", "question", "deposit", "expires", "enquiry", "close", "unpaid"}
        & said(shaper, shop).keys()
    )
    page = shaper_client.get("/").content.decode()
    assert "€" not in page
    assert "Quotes waiting" not in page


def test_the_owner_sees_waiting_quotes_with_tally_and_range(job, panel, owner_client, owner, shop):
    quote = sent_quote(job, owner, shop)
    move_sent(quote, 6)
    page = owner_client.get("/").content.decode()
    assert "6 days, sent" in page
    assert 'class="tally"' in page
    assert "€" in page


def test_a_panel_at_the_bench_stands_with_its_stage_its_hours_and_who_is_on_it(
    in_work, panel, shaper, owner_client
):
    stages = stages_of(panel)
    book(stages["layout"], shaper, "1.5")
    finish(stages["layout"])
    page = owner_client.get("/").content.decode()
    assert "Layout done, next gathering" in page
    assert "<b>1.5</b> of <b" in page
    TimeEntry.objects.create(
        stage=stages["gathering"], person=shaper, started_at=timezone.now() - timedelta(hours=1)
    )
    page = owner_client.get("/").content.decode()
    assert f"Gathering, pass 1 of {panel.pass_count}" in page
    assert "Maro is on it" in page


def test_a_panel_without_its_sheet_waits_for_it(in_work, panel, owner_client):
    page = owner_client.get("/").content.decode()
    assert "Waiting for sheet" in page
    assert "1 sheet</p>" in page


def test_a_panel_the_rack_covers_does_not_wait(in_work, panel, sheet, owner_client):
    page = owner_client.get("/").content.decode()
    assert "Waiting for sheet" not in page
    assert "covered by the rack" in page


def test_what_is_overdue_stands_in_words_and_not_on_the_rule(in_work, owner_client):
    in_work.due_on = timezone.localdate() - timedelta(days=4)
    in_work.save()
    assert "Overdue:" in owner_client.get("/").content.decode()


def test_a_day_on_which_the_shop_is_shut_is_hatched(in_work, owner, shaper, owner_client):
    before = owner_client.get("/").content.decode().count("d-tile-no-work")
    day = timezone.localdate() + timedelta(days=1)
    while day.isoweekday() > 5:
        day += timedelta(days=1)
    shown = today_of(owner, owner_client.get("/").wsgi_request.shop)
    hatched = sum("no-work" in str(item) for item in shown.rule.items)
    DayOff.objects.create(date=day)
    assert before
    after = today_of(owner, owner_client.get("/").wsgi_request.shop)
    assert str(after.rule.items).count("no-work") == str(shown.rule.items).count("no-work") + 1
    assert hatched


def test_the_week_counts_hours_by_person_against_their_bench_hours(in_work, panel, shaper, owner, shop):
    book(stages_of(panel)["layout"], shaper, "3.5")
    book(stages_of(panel)["layout"], shaper, "9", days_ago=8)
    week = {str(each.person): each for each in today_of(owner, shop).week}
    assert week["Maro"].used == D("3.5")
    assert week["Maro"].full == D("30.00")
    assert week["Osk"].used == 0


# Putting aside


def test_a_need_is_put_aside_for_today_and_back_tomorrow(in_work, owner, owner_client, shop):
    key = f"deposit:{in_work.pk}"
    assert owner_client.post(reverse("today-aside"), {"key": key}).status_code == 302
    shown = today_of(owner, shop).needs
    assert key not in {need.key for need in shown.shown}
    assert key in {need.key for need in shown.aside}
    PutAside.objects.update(on=timezone.localdate() - timedelta(days=1))
    assert key in {need.key for need in today_of(owner, shop).needs.shown}


def test_a_need_put_aside_twice_is_put_aside_once_and_can_be_taken_back(in_work, owner, owner_client):
    key = f"deposit:{in_work.pk}"
    for _press in range(2):
        owner_client.post(reverse("today-aside"), {"key": key})
    assert PutAside.objects.count() == 1
    owner_client.post(reverse("today-aside"), {"key": key, "back": "1"})
    assert not PutAside.objects.exists()


def test_what_one_puts_aside_another_still_sees(in_work, panel, owner_client, shaper, shop):
    budgeted = budget(stages_of(panel)["gathering"], "1", "2")
    book(budgeted, shaper, "5")
    owner_client.post(reverse("today-aside"), {"key": f"over:{budgeted.pk}"})
    assert "over" in said(shaper, shop)


def test_htmx_swaps_only_the_needs(in_work, owner_client):
    page = owner_client.post(
        reverse("today-aside"), {"key": f"deposit:{in_work.pk}"}, headers={"HX-Request": "true"}
    ).content.decode()
    assert page.lstrip().startswith('<section id="needs">')
    assert "1 put aside for today" in page


@pytest.mark.parametrize("key", ["", "over", "over:x", "../..:1", "a" * 70 + ":1"])
def test_a_made_up_need_is_refused(owner_client, key):
    page = owner_client.post(reverse("today-aside"), {"key": key}, follow=True)
    assert "not the name of anything" in page.content.decode()
    assert not PutAside.objects.exists()


def test_a_stranger_sees_nothing(stranger_client):
    assert stranger_client.get("/").status_code == 302
    assert stranger_client.post(reverse("today-aside"), {"key": "over:1"}).status_code == 302


@pytest.mark.parametrize("count", [3, 30])
def test_today_asks_the_database_the_same_for_many(
    owner, shaper, aluminium, shop, owner_client, count, django_assert_max_num_queries
):
    more_jobs(count, owner, aluminium, shop, person=shaper)
    with django_assert_max_num_queries(QUERIES):
        page = owner_client.get("/")
    assert page.status_code == 200
    if count > 12:
        assert "of 30 panels" in page.content.decode()


def test_an_empty_book_asks_no_more(owner_client, django_assert_max_num_queries):
    with django_assert_max_num_queries(QUERIES):
        owner_client.get("/")


def test_chances_are_said_as_people_say_them():
    assert [in_ten(chance) for chance in (0.0, 0.05, 0.31, 0.949, 1.0)] == [
        "less than 1 in 20", "less than 1 in 10", "3 in 10", "9 in 10", "at least 19 in 20",
    ]  # fmt: skip


@pytest.mark.parametrize(("days", "offered"), [(6, False), (7, True)])
def test_a_quote_out_for_a_week_can_be_asked_about_again(
    job, panel, owner_client, owner, shop, days, offered
):
    quote = sent_quote(job, owner, shop)
    move_sent(quote, days)
    page = owner_client.get("/").content.decode()
    assert (f"{quote.get_absolute_url()}#e-mail" in page) is offered


def test_a_shaper_comes_to_the_bench_and_the_owner_to_the_hours_in_one_press(
    job, panel, owner, shop, owner_client, shaper_client
):
    accepted(job, owner, shop)
    bench = panel.stages.order_by("kind__position").first().get_absolute_url()
    against = reverse("job-against", args=[job.number])

    shapers, owners = (
        client.get(reverse("today")).content.decode() for client in (shaper_client, owner_client)
    )
    assert f'<p class="row-name"><a href="{bench}">' in shapers
    assert f'<p class="row-name"><a href="{against}#panel-1">' in owners
    assert f'<p class="row-also"><a href="{bench}">' in owners
