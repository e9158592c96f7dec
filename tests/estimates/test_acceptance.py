"""Acceptance: stages with the ranges they were quoted at, the job in work, options with their total; all or nothing."""

from decimal import Decimal

import pytest

from estimates.acceptance import accept
from estimates.answers import AnswerRefused
from estimates.drafts import add_line, new_draft, override_line, price_at
from estimates.models import Answer
from estimates.pricing.shares import as_hours
from estimates.quoting.figures import panel_key, quote_figures
from estimates.sending import send_quote
from jobs.models import Job, Panel, Stage
from jobs.panels import add_mirrored_hand
from shop.models import LabourRate, StageKind
from tests.estimates.quote_cast import bought_in, sent_quote

pytestmark = pytest.mark.django_db
D = Decimal


def test_a_yes_puts_the_job_in_work_with_its_budgets(job, panel, owner, shop):
    figures = quote_figures(new_draft(job, owner, shop), shop)
    quote = sent_quote(job, owner, shop)
    accept(quote, name="Tamsin Pell")
    job.refresh_from_db()
    assert job.state == Job.State.IN_WORK
    assert job.accepted_at is not None
    assert job.promised_on is None
    stages = {stage.kind.slug: stage for stage in Stage.objects.select_related("kind")}
    assert list(stages) == ["layout", "gathering", "blending", "smoothing"]
    for quoted in figures.panels[0].stages:
        stage = stages[quoted.kind.slug]
        assert stage.budget_low_hours == as_hours(quoted.hours.p50)
        assert stage.budget_high_hours == as_hours(quoted.hours.quantile(0.8))
        assert (stage.mean_log, stage.scale) == (quoted.hours.mean_log, quoted.hours.scale)
        assert stage.degrees_of_freedom == quoted.hours.df


def test_the_budget_is_the_one_that_was_sent(job, panel, owner, shop):
    quote = sent_quote(job, owner, shop)
    budgets = [stage["hours"]["p50"] for stage in quote.frozen["panels"][0]["stages"]]
    StageKind.objects.update(hours_per_unit=9)
    LabourRate.objects.update(per_hour=1)
    accept(quote, name="Tamsin")
    assert [stage.budget_low_hours for stage in Stage.objects.order_by("kind__position")] == [
        as_hours(hours) for hours in budgets
    ]


def test_the_owners_hours_are_the_budget(job, panel, owner, shop):
    draft = new_draft(job, owner, shop)
    key = panel_key(panel, "gathering")
    override_line(draft, owner, shop, key, low_hours=D(9), high_hours=D(12), reason="Kink")
    accept(send_quote(draft, owner, shop), name="Tamsin")
    stage = Stage.objects.get(kind__slug="gathering")
    assert (stage.budget_low_hours, stage.budget_high_hours) == (9, 12)


def test_a_stage_with_nothing_to_do_gets_no_row(job, panel, owner, shop):
    Panel.objects.filter(pk=panel.pk).update(moved_dm2=0)
    draft = new_draft(job, owner, shop)
    none = {"low_hours": D(0), "high_hours": D(0), "reason": "Left as hammered"}
    override_line(draft, owner, shop, panel_key(panel, "smoothing"), **none)
    accept(send_quote(draft, owner, shop), name="Tamsin")
    assert set(Stage.objects.values_list("kind__slug", flat=True)) == {"layout", "blending"}


def test_a_price_at_the_middle_leaves_the_bench_a_range(job, panel, owner, shop):
    draft = price_at(new_draft(job, owner, shop), owner, D("0.50"))
    accept(send_quote(draft, owner, shop), name="Tamsin")
    assert all(stage.budget_high_hours > stage.budget_low_hours for stage in Stage.objects.all())


def test_both_hands_get_their_stages(job, panel, owner, shop):
    add_mirrored_hand(panel, owner)
    accept(sent_quote(job, owner, shop), name="Tamsin")
    assert Stage.objects.count() == 8
    assert Stage.objects.values("code").distinct().count() == 8


def test_options_taken_are_kept_with_the_total(job, panel, owner, shop):
    quote = sent_quote(
        job, owner, shop, bought_in("Primer", "120", is_option=True), bought_in("Rim", is_option=True)
    )
    key = quote.frozen["lines"][0]["key"]
    answer = accept(quote, name="Tamsin", options=[key])
    # 120 with 8 % overhead, 15 % margin on the price, 23 % tax: each rounded once.
    net = round(D(120) * D("1.08") / D("0.85"), 2)
    assert answer.options_taken == [key]
    assert answer.total == quote.total + net + round(net * D("0.23"), 2)


def test_a_total_other_than_the_one_seen_is_not_accepted(job, panel, owner, shop):
    quote = sent_quote(job, owner, shop, bought_in(is_option=True))
    key = quote.frozen["lines"][0]["key"]
    with pytest.raises(AnswerRefused, match="another with these options"):
        accept(quote, name="Tamsin", options=[key], seen_total=quote.total)
    assert not Answer.objects.exists()
    assert not Stage.objects.exists()


def test_it_happens_whole_or_not_at_all(job, panel, owner, shop, monkeypatch):
    def broken(quote):
        raise RuntimeError("the power went")

    quote = sent_quote(job, owner, shop)
    monkeypatch.setattr("estimates.acceptance.make_stages", broken)
    with pytest.raises(RuntimeError):
        accept(quote, name="Tamsin")
    quote.refresh_from_db()
    job.refresh_from_db()
    assert (quote.state, job.state, Answer.objects.count()) == ("sent", Job.State.QUOTED, 0)


def test_a_further_quote_adds_its_own_panel_and_keeps_the_first_budget(job, panel, owner, shop):
    accept(sent_quote(job, owner, shop), name="Tamsin")
    first = list(Stage.objects.values_list("budget_low_hours", flat=True))
    accepted_at = Job.objects.get().accepted_at
    mirrored = add_mirrored_hand(panel, owner)
    further = new_draft(job, owner, shop)
    assert list(further.panels.all()) == [mirrored]
    add_line(further, owner, shop, bought_in())
    accept(send_quote(further, owner, shop), name="Tamsin")
    assert list(Stage.objects.filter(panel=panel).values_list("budget_low_hours", flat=True)) == first
    assert mirrored.stages.count() == 4
    assert Job.objects.get().accepted_at == accepted_at


def test_accepting_takes_as_many_queries_for_six_panels_as_for_one(
    job, panel, owner, shop, django_assert_max_num_queries
):
    for _ in range(1):
        add_mirrored_hand(panel, owner)
    quote = sent_quote(job, owner, shop)
    with django_assert_max_num_queries(22):
        accept(quote, name="Tamsin")
