"""A job against its estimate: hours for everyone, money for the owner, by sums done by hand."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse
from django.utils import timezone

from estimates.quoting.figures import currency_of
from estimates.work.against import against, earned_value_of, planned_share, terms_of
from estimates.work.cost import Rates, agreed_quotes, cost_of, net_price
from estimates.work.standing import standing_of_job
from jobs.models import MaterialUse, Panel, Stage, TimeEntry
from jobs.panels import add_mirrored_hand, save_panel
from shop.codes import new_code
from shop.models import LabourRate, StageKind
from tests.estimates.quote_cast import bought_in
from tests.estimates.work_cast import accepted, book, budget, finish, more_jobs, stages_of

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture
def in_work(job, panel, owner, shop):
    accepted(job, owner, shop)
    return job


def address(job):
    return reverse("job-against", args=[job.number])


def test_hours_spent_are_told_against_the_range_with_what_is_over_in_words(
    in_work, panel, shaper, owner_client
):
    stage = budget(stages_of(panel)["gathering"], "4", "6")
    book(stage, shaper, "8.5")
    page = owner_client.get(address(in_work)).content.decode()
    assert "2.5 h over" in page
    assert "hatch-square" in page
    assert "8.5 h" in page


def test_what_is_to_go_follows_progress_and_is_nothing_once_done(in_work, panel, shaper):
    stage = budget(stages_of(panel)["gathering"], "10", "13")
    book(stage, shaper, "5")
    Stage.objects.filter(pk=stage.pk).update(progress=D("0.5"))
    half = _stage(in_work, "gathering").to_go
    assert 3.5 < half.p50 < 6.5
    Stage.objects.filter(pk=stage.pk).update(progress=D("0.9"))
    assert _stage(in_work, "gathering").to_go.p50 < half.p50
    finish(stage)
    assert _stage(in_work, "gathering").to_go.p80 == 0
    assert _stage(in_work, "gathering").at_completion.p80 == pytest.approx(5)


def test_a_panels_range_is_less_than_the_sum_of_its_stages_high_ends(in_work, panel):
    for stage in stages_of(panel).values():
        budget(stage, "10", "14")
    panel = standing_of_job(in_work).panels[0]
    assert panel.estimated.p80 < sum(float(stage.high) for stage in panel.stages)
    assert panel.estimated.p50 > 40


def test_a_clock_that_runs_counts_up_to_now(in_work, panel, shaper):
    started = timezone.now() - timedelta(hours=2)
    TimeEntry.objects.create(stage=stages_of(panel)["layout"], person=shaper, started_at=started)
    assert _stage(in_work, "layout").used == pytest.approx(D("2"), abs=D("0.01"))


def test_a_shaper_sees_hours_and_no_money(in_work, panel, shaper, shaper_client):
    book(stages_of(panel)["layout"], shaper, "2")
    page = shaper_client.get(address(in_work))
    assert page.status_code == 200
    text = page.content.decode()
    assert "2.0 h" in text
    for hidden in ("€", "Earned value", "CPI", "Labour so far", "Price against cost"):
        assert hidden not in text


def test_the_owner_reads_each_term_in_a_plain_line(in_work, owner_client):
    page = owner_client.get(address(in_work)).content.decode()
    for term in ("PV", "EV", "AC", "CPI", "EAC"):
        assert f">{term}</th>" in page
    assert "Actual cost: what the hours spent so far have cost." in page
    assert "No figure: nothing has been spent yet." in page
    assert "no date is promised or wanted" in page


def test_a_stranger_is_sent_to_the_door(in_work, stranger_client):
    assert stranger_client.get(address(in_work)).status_code == 302


def test_a_job_without_stages_says_when_they_come(job, owner_client):
    assert "when its quote is accepted" in owner_client.get(address(job)).content.decode()


def test_each_hour_costs_the_rate_of_the_day_it_was_worked(in_work, panel, shaper, shop):
    """10 h at 54 before the rise and 5 h at 60 after it: 540 + 300."""
    kind = StageKind.objects.get(slug="layout")
    LabourRate.objects.create(
        stage_kind=kind, per_hour=D("60"), holds_from=timezone.localdate() - timedelta(days=2)
    )
    book(stages_of(panel)["layout"], shaper, "10", days_ago=3)
    book(stages_of(panel)["layout"], shaper, "5", days_ago=2)
    assert cost_of(in_work, agreed_quotes(in_work), shop).labour == D("840.00")


def test_cost_is_labour_metal_consumables_bought_in_and_overhead(job, panel, owner, shaper, shop, sheet):
    """10 h at 54 = 540; metal 31.20; 10 h at 2.50 = 25; plating 100; 8 % of 696.20 = 55.70; together 751.90."""
    accepted(job, owner, shop, bought_in("Plating", "100"))
    book(stages_of(panel)["layout"], shaper, "10")
    MaterialUse.objects.create(
        panel=panel, sheet=sheet, length_mm=500, width_mm=400, mass_kg=0.9, cost=D("31.20"), person=shaper
    )
    cost = cost_of(job, agreed_quotes(job), shop)
    assert (cost.labour, cost.metal, cost.consumables) == (D("540.00"), D("31.200"), D("25.00"))
    assert (cost.bought_in, cost.overhead) == (D("100.000"), D("55.70"))
    assert cost.total == D("751.90")


def test_overhead_and_consumables_stay_those_of_the_quote(in_work, panel, shaper, shop):
    book(stages_of(panel)["layout"], shaper, "10")
    before = cost_of(in_work, agreed_quotes(in_work), shop).total
    shop.overhead_percent, shop.consumables_per_hour = D("50"), D("99")
    shop.save()
    assert cost_of(in_work, agreed_quotes(in_work), shop).total == before


def test_a_stage_without_a_rate_is_named_and_costs_nothing(in_work, panel, shaper, shop, owner_client):
    book(stages_of(panel)["layout"], shaper, "3")
    LabourRate.objects.filter(stage_kind__slug="layout").delete()
    cost = cost_of(in_work, agreed_quotes(in_work), shop)
    assert cost.unrated == ("Layout",)
    assert cost.labour == 0
    assert "No rate:" in owner_client.get(address(in_work)).content.decode()


def test_the_price_is_every_accepted_quote_without_tax(in_work, panel, owner, shop):
    first = net_price(agreed_quotes(in_work))
    accepted(in_work, owner, shop, bought_in("Brackets", "200"))
    agreed = agreed_quotes(in_work)
    assert len(agreed) == 2
    assert net_price(agreed) == first + agreed[1].priced.total.net
    assert agreed[1].priced.total.net > 200


def test_earned_value_by_hand(in_work, panel, shaper, shop):
    """Budgets 10 h and 20 h at 54: BAC 1620. Half of the first is done in 8 h: EV 270, AC 432, CPI 0.625, EAC 2592."""
    stages = stages_of(panel)
    budget(stages["layout"], "10", "12")
    budget(stages["gathering"], "20", "25")
    Stage.objects.filter(panel=panel, kind__slug__in=["blending", "smoothing"]).delete()
    Stage.objects.filter(pk=stages["layout"].pk).update(progress=D("0.5"))
    book(stages["layout"], shaper, "8")
    today = timezone.localdate()
    in_work.accepted_at = timezone.now() - timedelta(days=5)
    in_work.promised_on = today + timedelta(days=15)
    cost = cost_of(in_work, agreed_quotes(in_work), shop)
    standing = standing_of_job(in_work)
    state = earned_value_of(standing, cost, Rates(), today)
    assert (state.bac, state.ev, state.ac) == (1620, 270, 432)
    assert state.pv == Fraction(1620, 4)
    assert state.cpi == Fraction(5, 8)
    assert state.eac == 2592
    said = {term.name: term.value for term in terms_of(state, currency_of(shop), planned=True)}
    assert said["CPI"] in ("0.63", "0.62")
    assert said["EAC"] == "€\xa02\u2009592.00"


@pytest.mark.parametrize(
    ("gone", "length", "share"), [(0, 20, 0), (5, 20, Fraction(1, 4)), (20, 20, 1), (33, 20, 1), (3, 0, 1), (3, -2, 1)]
)  # fmt: skip
def test_the_plan_runs_evenly_from_acceptance_to_the_date_that_counts(job, gone, length, share):
    today = date(2026, 5, 14)
    job.accepted_at = datetime(2026, 5, 14, 12, tzinfo=UTC) - timedelta(days=gone)
    job.promised_on = timezone.localtime(job.accepted_at).date() + timedelta(days=length)
    assert planned_share(job, today) == share


def test_without_a_date_there_is_no_plan(job):
    assert planned_share(job, timezone.localdate()) is None


@pytest.mark.parametrize("count", [1, 12])
def test_the_page_asks_the_same_for_many_panels(
    job, panel, owner, shaper, shop, owner_client, count, django_assert_max_num_queries
):
    for _ in range(count):
        another = Panel.objects.get(pk=panel.pk)
        another.pk, another._state.adding, another.code = None, True, new_code()
        save_panel(another, owner)
    accepted(job, owner, shop)
    for stage in Stage.objects.all():
        book(stage, shaper, "1")
    with django_assert_max_num_queries(16):
        owner_client.get(address(job))


def test_both_hands_stand_on_the_page(job, panel, owner, shop, owner_client):
    add_mirrored_hand(panel, owner)
    accepted(job, owner, shop)
    page = owner_client.get(address(job)).content.decode()
    assert f"{job.number}.1 L" in page
    assert f"{job.number}.2 R" in page


def test_another_jobs_hours_are_not_counted(in_work, owner, shaper, aluminium, shop):
    more_jobs(1, owner, aluminium, shop, person=shaper)
    assert against(in_work, owner, shop).standing.used == 0
    assert cost_of(in_work, agreed_quotes(in_work), shop).labour == 0


def _stage(job, slug):
    return next(
        stage
        for panel in standing_of_job(job).panels
        for stage in panel.stages
        if stage.stage.kind.slug == slug
    )
