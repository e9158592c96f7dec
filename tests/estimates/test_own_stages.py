"""Stages of the shop's own from the panel's page to the bench: taken in, left out, never lost with work on them."""

from decimal import Decimal

import pytest
from django.urls import reverse

from estimates.acceptance import accept
from estimates.closing import CloseRefused, close_job
from estimates.drafts import QuoteRefused, new_draft, override_line
from estimates.learning import shop_model
from estimates.models import PastPanel
from estimates.quoting.figures import panel_key, quote_figures
from estimates.sending import send_quote
from jobs.changes import PanelRefused, change_panel
from jobs.models import Panel, Stage, StageNote
from jobs.panels import add_mirrored_hand
from shop.models import AuditEntry, LabourRate, StageKind
from tests.estimates.quote_cast import sent_quote
from tests.estimates.work_cast import accepted, book, finish, stages_of

pytestmark = pytest.mark.django_db
D = Decimal
FOUR = ["layout", "gathering", "blending", "smoothing"]


@pytest.fixture
def trimming(shop) -> StageKind:
    kind = StageKind.objects.create(
        name="Trimming", slug="trimming", position=5, driver="fixed", fixed_low_hours=1, fixed_high_hours=2
    )
    LabourRate.objects.create(stage_kind=kind, per_hour=48, holds_from="2020-01-01")
    return kind


@pytest.fixture
def pair(panel, owner, trimming) -> tuple[Panel, Panel]:
    """A left and a right hand that are both trimmed."""
    panel.own_stages = ["trimming"]
    panel.save()
    other = add_mirrored_hand(panel, owner)
    panel.refresh_from_db()
    return panel, other


def choose(panel, owner, *slugs):
    panel = Panel.objects.select_related("job", "metal").get(pk=panel.pk)
    panel.own_stages = list(slugs)
    return change_panel(panel, owner, seen=panel.changed_at)


def test_a_stage_left_out_leaves_the_bench_of_both_hands(job, pair, owner, shop):
    accepted(job, owner, shop)
    assert all([*stages_of(hand)] == [*FOUR, "trimming"] for hand in pair)
    choose(pair[0], owner)
    assert all([*stages_of(hand)] == FOUR for hand in pair)
    trail = AuditEntry.objects.filter(what="changed panel").first()
    assert trail.changes["own_stages"] == [["trimming"], []]


def work_on(stage, owner):
    book(stage, owner, "0.5")


def write_on(stage, owner):
    StageNote.objects.create(stage=stage, person=owner, text="Leave 3 mm")


def tick_off(stage, owner):
    Stage.objects.filter(pk=stage.pk).update(progress=D("0.5"))


@pytest.mark.parametrize("do", [work_on, write_on, tick_off])
@pytest.mark.parametrize("hand", [0, 1])
def test_a_stage_with_work_on_either_hand_is_not_left_out(job, pair, owner, shop, do, hand):
    accepted(job, owner, shop)
    do(stages_of(pair[hand])["trimming"], owner)
    with pytest.raises(PanelRefused, match=f"Trimming of {pair[hand].mark} has work in the book"):
        choose(pair[0], owner)
    assert Panel.objects.get(pk=pair[0].pk).own_stages == ["trimming"]
    assert all("trimming" in stages_of(each) for each in pair)


def test_the_page_says_why_a_stage_stays(job, pair, owner, owner_client, shop):
    from tests.estimates.test_builder import fields_of

    accepted(job, owner, shop)
    book(stages_of(pair[0])["trimming"], owner, "0.5")
    edit = reverse("panel-edit", args=[job.number, pair[0].position])
    typed = fields_of(owner_client.get(edit).content.decode()) | {"do": "save"}
    del typed["stage-trimming"]
    response = owner_client.post(edit, typed)
    assert response.status_code == 422
    assert "has work in the book, so it cannot be left out" in response.content.decode()


def test_a_stage_taken_in_later_comes_to_the_bench_with_the_owners_hours(job, panel, owner, shop, trimming):
    accepted(job, owner, shop)
    choose(panel, owner, "trimming")
    stage = stages_of(panel)["trimming"]
    assert (stage.budget_low_hours, stage.budget_high_hours, stage.mean_log) == (1, 2, None)
    choose(panel, owner, "trimming")
    assert Stage.objects.filter(kind=trimming).count() == 1


def test_before_a_quote_is_accepted_nothing_comes_to_the_bench(job, panel, owner, shop, trimming):
    choose(panel, owner, "trimming")
    assert not Stage.objects.exists()


def test_what_was_accepted_is_done_whatever_was_unticked_meanwhile(job, pair, owner, shop):
    quote = sent_quote(job, owner, shop)
    choose(pair[0], owner)
    accept(quote, name="Tamsin Pell")
    assert all("trimming" in stages_of(hand) for hand in pair)
    assert [hand.own_stages for hand in Panel.objects.all()] == [["trimming"], ["trimming"]]


def test_what_was_ticked_while_the_quote_was_out_comes_to_the_bench_too(job, panel, owner, shop, trimming):
    quote = sent_quote(job, owner, shop)
    choose(panel, owner, "trimming")
    accept(quote, name="Tamsin Pell")
    assert [*stages_of(panel)] == [*FOUR, "trimming"]


def test_a_hand_quoted_without_hours_has_no_such_stage(job, pair, owner, shop):
    draft, nothing = (
        new_draft(job, owner, shop),
        {"low_hours": D(0), "high_hours": D(0), "reason": "Supplied trimmed"},
    )
    override_line(draft, owner, shop, panel_key(pair[1], "trimming"), **nothing)
    accept(send_quote(draft, owner, shop), name="Tamsin Pell")
    assert ["trimming" in stages_of(hand) for hand in pair] == [True, False]


def test_a_work_order_before_acceptance_shows_the_stages_ticked(panel, owner, shop, trimming):
    from estimates.paper.facts.work_order import with_all, work_orders

    def stages():
        [order] = work_orders(list(with_all(Panel.objects.all())), shop, lambda code: code)
        return [block.name for block in order.stages]

    assert "Trimming" not in stages()
    choose(panel, owner, "trimming")
    assert stages()[-1] == "Trimming"


@pytest.fixture
def wiring(shop) -> StageKind:
    """A stage of the shop's own whose hours nobody has said yet."""
    kind = StageKind.objects.create(name="Edge wiring", slug="wiring", position=6, driver="fixed")
    LabourRate.objects.create(stage_kind=kind, per_hour=48, holds_from="2020-01-01")
    return kind


def test_a_quote_asks_for_hours_that_nobody_has_said(job, panel, owner, owner_client, shop, wiring):
    choose(panel, owner, "wiring")
    draft = new_draft(job, owner, shop)
    asked = "Edge wiring of Fairing skin has no hours yet. Press Change on its line and write them"
    assert asked in quote_figures(draft, shop).blocked
    page = owner_client.get(draft.get_absolute_url()).content.decode()
    assert asked in page
    assert "hours still to be said" in page
    with pytest.raises(QuoteRefused, match="has no hours yet"):
        send_quote(draft, owner, shop)
    hours = {"low_hours": D("1.5"), "high_hours": D(2), "reason": "As on the cowl"}
    figures = override_line(draft, owner, shop, panel_key(panel, "wiring"), **hours)
    assert figures.blocked == ""
    draft.refresh_from_db()
    accept(send_quote(draft, owner, shop), name="Tamsin Pell")
    stage = stages_of(panel)["wiring"]
    assert (stage.budget_low_hours, stage.budget_high_hours) == (D("1.5"), 2)


def test_the_builder_says_that_hours_are_still_to_be_said(job, panel, owner, owner_client, wiring):
    choose(panel, owner, "wiring")
    page = owner_client.get(reverse("panel-edit", args=[job.number, panel.position])).content.decode()
    assert "Edge wiring: hours still to be said on the quote" in page
    assert "Edge wiring has no hours yet and counts for nothing: the quote asks for them." in page


def test_a_stage_is_learned_once_a_panel_that_went_through_it_is_closed(
    job, panel, owner, owner_client, shop, wiring
):
    choose(panel, owner, "wiring")
    draft = new_draft(job, owner, shop)
    hours = {"low_hours": D(1), "high_hours": D(2), "reason": "A guess"}
    override_line(draft, owner, shop, panel_key(panel, "wiring"), **hours)
    draft.refresh_from_db()
    accept(send_quote(draft, owner, shop), name="Tamsin Pell")
    for stage in stages_of(panel).values():
        book(stage, owner, "3.5" if stage.kind == wiring else str(stage.budget_low_hours))
        finish(stage)
    job.refresh_from_db()
    close_job(job, owner)
    assert PastPanel.objects.get().own_hours == {"wiring": 3.5}
    told = owner_client.get(reverse("job-close", args=[job.number])).content.decode()
    assert "<b>Edge wiring</b>, a stage of the shop’s own, took 3.5 h." in told
    assert "before, nobody had said" in told
    assert (
        "edge wiring <b>3.5 h</b>"
        in owner_client.get(PastPanel.objects.get().get_absolute_url()).content.decode()
    )
    assert b"wiring 3.5" in b"".join(owner_client.get("/exports/past-panels.csv").streaming_content)
    learned = shop_model(shop, PastPanel.objects.get().finished_on).own_stage("wiring", None)
    assert (learned.n_past, round(learned.p50, 9), learned.unsaid) == (1, 3.5, False)


def test_a_stage_that_a_panel_did_not_go_through_teaches_nothing(job, panel, owner, shop, wiring):
    accepted(job, owner, shop)
    for stage in stages_of(panel).values():
        book(stage, owner, str(stage.budget_low_hours))
        finish(stage)
    close_job(job, owner)
    assert PastPanel.objects.get().own_hours == {}
    assert shop_model(shop, PastPanel.objects.get().finished_on).own_stage("wiring", None).unsaid


def test_a_quote_counts_on_the_past_panels_of_a_stage(job, panel, owner, shop, wiring):
    choose(panel, owner, "wiring")
    for number in range(3):
        PastPanel.objects.create(
            origin="closed", name=f"Cowl {number}", finished_on="2026-01-05", metal="steel", method="hand",
            layout_m=0, moved_dm2=0, worked_dm2=0, finished_dm2=0, own_hours={"wiring": 2.0 + number / 10},
        )  # fmt: skip
    figures = quote_figures(new_draft(job, owner, shop), shop)
    stage = figures.panels[0].stages[-1]
    assert (stage.kind, stage.hours.n_past, figures.blocked) == (wiring, 3, "")
    assert stage.hours.p50 == pytest.approx((2.0 * 2.1 * 2.2) ** (1 / 3))


def test_hours_far_from_the_owners_word_are_asked_about_before_they_teach(
    job, pair, owner, owner_client, shop
):
    accepted(job, owner, shop)
    for hand, spent in zip(pair, ("1.5", "20"), strict=True):
        for stage in stages_of(hand).values():
            book(stage, owner, spent if stage.kind.slug == "trimming" else str(stage.budget_low_hours))
            finish(stage)
    page = owner_client.get(reverse("job-close", args=[job.number])).content.decode()
    assert f'id="asked-{pair[1].pk}"' in page
    assert f'id="asked-{pair[0].pk}"' not in page
    assert "Trimming took <b>20 h</b>" in page
    with pytest.raises(CloseRefused, match="Far from what was expected"):
        close_job(job, owner)
