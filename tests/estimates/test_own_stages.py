"""Stages of the shop's own from the panel's page to the bench: taken in, left out, never lost with work on them."""

from decimal import Decimal

import pytest
from django.urls import reverse

from estimates.acceptance import accept
from estimates.drafts import new_draft, override_line
from estimates.quoting.figures import panel_key
from estimates.sending import send_quote
from jobs.changes import PanelRefused, change_panel
from jobs.models import Panel, Stage, StageNote
from jobs.panels import add_mirrored_hand
from shop.models import AuditEntry, LabourRate, StageKind
from tests.estimates.quote_cast import sent_quote
from tests.estimates.work_cast import accepted, book, stages_of

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
