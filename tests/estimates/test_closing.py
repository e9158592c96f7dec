"""Closing a job: its margin by a sum done by hand, its panels among the past ones, all or nothing, and opening again."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from estimates import closing as closing_module
from estimates.closing import CloseRefused, close_job, closing_of, reopen_job
from estimates.history import leave_out
from estimates.learning import shop_model
from estimates.models import PastPanel, Payment
from estimates.work.cost import agreed_quotes
from jobs.models import Job, MaterialUse, Panel, TimeEntry
from jobs.panels import add_mirrored_hand
from shop.models import AuditEntry, LabourRate
from tests.estimates.quote_cast import bought_in
from tests.estimates.work_cast import accepted, book, finish, stages_of

pytestmark = pytest.mark.django_db
D = Decimal
HOURS = {"layout": "2.5", "gathering": "2", "blending": "7.5", "smoothing": "6"}


@pytest.fixture
def worked(job, panel, owner, shaper, shop):
    """A job whose every stage is done, with 18 h on it."""
    accepted(job, owner, shop)
    for slug, stage in stages_of(panel).items():
        book(stage, shaper, HOURS[slug])
        finish(stage)
    return job


def address(job):
    return reverse("job-close", args=[job.number])


def test_the_margin_by_hand(job, panel, owner, shaper, shop, sheet):
    """18 h at 54 = 972; metal 31.20; 18 h at 2.50 = 45; plating 100; 8 % of 1148.20 = 91.86; cost 1240.06."""
    accepted(job, owner, shop, bought_in("Plating", "100"))
    for slug, stage in stages_of(panel).items():
        book(stage, shaper, HOURS[slug])
        finish(stage)
    MaterialUse.objects.create(
        panel=panel, sheet=sheet, length_mm=500, width_mm=400, mass_kg=0.9, cost=D("31.20"), person=shaper
    )
    earned = closing_of(job, shop)
    assert earned.cost.total == D("1240.06")
    assert earned.price == agreed_quotes(job)[0].priced.total.net
    assert earned.margin == earned.price - D("1240.06")
    assert earned.margin_share == earned.margin / earned.price


def test_closing_puts_the_panel_among_the_past_ones_with_what_it_was_budgeted_at(worked, panel, owner):
    close_job(worked, owner)
    worked.refresh_from_db()
    assert worked.state == Job.State.CLOSED
    assert worked.closed_at is not None
    past = PastPanel.objects.get(panel=panel)
    assert (past.origin, past.metal, past.method, past.hand_order) == ("closed", "aluminium", "hand", 1)
    assert (past.layout_hours, past.gathering_hours) == (2.5, 2.0)
    assert (past.blending_hours, past.smoothing_hours) == (7.5, 6.0)
    assert (past.moved_dm2, past.layout_m) == (panel.moved_dm2, panel.layout_m)
    stage = stages_of(panel)["gathering"]
    assert past.estimated["gathering"]["low"] == float(stage.budget_low_hours)
    assert past.estimated["gathering"]["mean_log"] == stage.mean_log


def test_a_closed_panel_teaches_the_next_estimate(worked, owner, shop):
    today = timezone.localdate()
    before = shop_model(shop, today)
    learned = closing_of(worked, shop).lessons.moves
    close_job(worked, owner)
    after = shop_model(shop, today)
    assert (before.n_past, after.n_past) == (0, 1)
    assert len(learned) == 4
    assert closing_of(worked, shop).lessons.moves == learned


def test_the_second_hand_is_kept_as_the_second(worked, panel, owner, shaper, shop):
    add_mirrored_hand(panel, owner)
    accepted(worked, owner, shop)
    second = Panel.objects.get(mirrors=panel)
    for stage in stages_of(second).values():
        book(stage, shaper, "1")
        finish(stage)
    close_job(worked, owner)
    assert PastPanel.objects.get(panel=second).hand_order == 2


def test_a_stage_without_hours_is_left_blank(worked, panel, owner):
    TimeEntry.objects.filter(stage__kind__slug="blending").delete()
    close_job(worked, owner)
    past = PastPanel.objects.get(panel=panel)
    assert past.blending_hours is None
    assert past.gathering_hours == 2.0


def test_an_unfinished_stage_has_to_be_explained_and_teaches_nothing(worked, panel, owner):
    stage = stages_of(panel)["smoothing"]
    stage.progress, stage.done_at = D("0.6"), None
    stage.save()
    with pytest.raises(CloseRefused, match="smoothing") as refused:
        close_job(worked, owner, {stage.pk: "  "})
    assert refused.value.stages == (stage.pk,)
    assert not PastPanel.objects.exists()
    close_job(worked, owner, {stage.pk: "Customer finishes it"})
    assert PastPanel.objects.get().smoothing_hours is None
    entry = AuditEntry.objects.get(what__startswith="closed")
    assert "Customer finishes it" in str(entry.changes)


def test_a_running_clock_is_stopped_first(worked, panel, owner, shaper):
    TimeEntry.objects.create(stage=stages_of(panel)["layout"], person=shaper, started_at=timezone.now())
    with pytest.raises(CloseRefused, match="Maro’s clock still runs"):
        close_job(worked, owner)


def test_pressed_twice_it_closes_once(worked, owner):
    close_job(worked, owner)
    closed_at = Job.objects.get(pk=worked.pk).closed_at
    close_job(worked, owner)
    assert PastPanel.objects.count() == 1
    assert Job.objects.get(pk=worked.pk).closed_at == closed_at
    assert AuditEntry.objects.filter(what__startswith="closed").count() == 1


def test_all_of_it_happens_or_nothing(worked, owner, monkeypatch):
    def fails(*args, **kwargs):
        raise RuntimeError("the disk is full")

    monkeypatch.setattr(closing_module, "record", fails)
    with pytest.raises(RuntimeError):
        close_job(worked, owner)
    worked.refresh_from_db()
    assert worked.state == Job.State.IN_WORK
    assert not PastPanel.objects.exists()


@pytest.mark.parametrize("state", ["enquiry", "quoted", "declined"])
def test_only_a_job_in_work_is_closed(job, owner, state):
    job.state = state
    job.save()
    with pytest.raises(CloseRefused, match="only a job in work"):
        close_job(job, owner)


def test_a_shaper_closes_nothing(worked, shaper, shaper_client):
    with pytest.raises(CloseRefused, match="Only the owner"):
        close_job(worked, shaper)
    assert shaper_client.get(address(worked)).status_code == 403
    assert shaper_client.post(address(worked)).status_code == 403
    assert shaper_client.post(reverse("job-reopen", args=[worked.number])).status_code == 403


def test_a_stranger_is_sent_to_the_door(worked, stranger_client):
    assert stranger_client.post(address(worked)).status_code == 302
    worked.refresh_from_db()
    assert worked.state == Job.State.IN_WORK


def test_opening_again_takes_its_panels_out(worked, owner):
    close_job(worked, owner)
    reopen_job(worked, owner)
    worked.refresh_from_db()
    assert (worked.state, worked.closed_at) == (Job.State.IN_WORK, None)
    assert not PastPanel.objects.exists()
    assert AuditEntry.objects.filter(what="opened again").exists()
    reopen_job(worked, owner)
    assert AuditEntry.objects.filter(what="opened again").count() == 1


def test_a_panel_left_out_since_stays_left_out_through_opening_and_closing(worked, owner):
    close_job(worked, owner)
    leave_out(PastPanel.objects.get(), owner, "Apprentice’s first")
    reopen_job(worked, owner)
    assert PastPanel.objects.get().left_out_reason == "Apprentice’s first"
    close_job(worked, owner)
    past = PastPanel.objects.get()
    assert past.left_out_reason == "Apprentice’s first"
    assert past.left_out_by == owner


def test_a_job_that_is_not_closed_is_not_opened(job, owner):
    with pytest.raises(CloseRefused, match="is not closed"):
        reopen_job(job, owner)


def test_the_page_says_what_is_counted_and_closes(worked, owner_client):
    page = owner_client.get(address(worked)).content.decode()
    assert "Every stage is done." in page
    assert "Not counted: tax, payments" in page
    assert "How each rate will move" in page
    assert "times as long" in page
    answer = owner_client.post(address(worked), follow=True)
    assert "is closed, and its panels are among the past ones" in answer.content.decode()
    assert "Open the job again" in answer.content.decode()


def test_the_page_keeps_what_was_typed_beside_what_is_missing(worked, panel, owner_client):
    stages = stages_of(panel)
    for slug in ("blending", "smoothing"):
        stages[slug].progress, stages[slug].done_at = D("0.6"), None
        stages[slug].save()
    answer = owner_client.post(address(worked), {f"why-{stages['blending'].pk}": "Left rough", "why-x": "?"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="Left rough"' in page
    assert f'id="why-{stages["smoothing"].pk}_error"' in page
    assert f'id="why-{stages["blending"].pk}_error"' not in page


def test_the_page_asks_a_fixed_number_of_queries(
    worked, panel, owner, shaper, shop, owner_client, django_assert_max_num_queries
):
    add_mirrored_hand(panel, owner)
    accepted(worked, owner, shop)
    for stage in stages_of(Panel.objects.get(mirrors=panel)).values():
        book(stage, shaper, "1", days_ago=1)
    with django_assert_max_num_queries(20):
        owner_client.get(address(worked))


def test_a_hand_added_since_that_nobody_quoted_is_named_before_the_job_is_closed(
    worked, panel, owner, owner_client
):
    assert "On no accepted quote" not in owner_client.get(address(worked)).content.decode()
    other = add_mirrored_hand(panel, owner)
    assert f"On no accepted quote:</span> {other.mark}." in owner_client.get(address(worked)).content.decode()


def test_hours_from_before_the_first_rate_cost_that_first_rate(worked, shop):
    before = closing_of(worked, shop).cost.labour
    LabourRate.objects.update(holds_from=timezone.localdate())
    TimeEntry.objects.update(
        started_at=timezone.now() - timedelta(days=400), ended_at=timezone.now() - timedelta(days=399)
    )

    assert closing_of(worked, shop).cost.labour == before > 0


def test_money_still_open_is_said_before_closing_and_not_forgotten_after(worked, owner, owner_client):
    page = owner_client.get(address(worked)).content.decode()
    assert "Not paid yet:" in page
    assert "No metal booked:" in page

    close_job(worked, owner)
    assert "still to be paid" in owner_client.get(worked.get_absolute_url()).content.decode()


def test_a_paid_job_is_closed_without_a_word_of_money(worked, owner, owner_client):
    due = agreed_quotes(worked)[0].quote.answer.total
    Payment.objects.create(job=worked, amount=due, person=owner)

    assert "Not paid yet:" not in owner_client.get(address(worked)).content.decode()
    close_job(worked, owner)
    assert "still to be paid" not in owner_client.get(worked.get_absolute_url()).content.decode()


def test_once_closed_the_page_says_margin_then_hours_then_what_was_learned(worked, owner, owner_client):
    close_job(worked, owner)
    page = owner_client.get(address(worked)).content.decode()
    heads = [part.split("</h2>")[0].split(">")[-1] for part in page.split("<h2")[1:]]
    assert heads == ["Margin earned", "Estimate against actual", "What was learned", "Open it again"]
    assert "How each rate moved" in page
    assert "Close the job" not in page


def test_a_panel_is_told_as_a_whole_under_its_stages(worked, panel, owner_client):
    page = owner_client.get(address(worked)).content.decode()
    whole = page.split("<tfoot>")[1].split("</tfoot>")[0]
    assert "18.0 h" in whole
    assert "times its high end" in whole
    stage = stages_of(panel)["smoothing"]
    stage.progress, stage.done_at = D("0.6"), None
    stage.save()
    page = owner_client.get(address(worked)).content.decode()
    assert "not finished" in page.split("<tfoot>")[1].split("</tfoot>")[0]


def test_a_loss_greater_than_the_price_is_told_as_a_factor(worked, shop, owner_client):
    LabourRate.objects.update(per_hour=D("54000"))
    share = closing_of(worked, shop).margin_share
    page = owner_client.get(address(worked)).content.decode()
    assert share < -1
    assert "times its price." in page
    assert "A loss of" not in page
