"""Drafts: one a job, changed with reasons, refused where somebody else has changed them since."""

import uuid
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from estimates.drafts import (
    QuoteRefused,
    add_line,
    change_texts,
    choose_panels,
    discard_draft,
    make_revision,
    new_draft,
    override_line,
    price_at,
    remove_line,
    undo_override,
)
from estimates.models import FrozenQuote, LineOverride, Quote, QuoteLine
from estimates.quoting.figures import panel_key, quote_figures
from estimates.sending import send_quote, withdraw_quote
from jobs.models import Job
from shop.models import AuditEntry
from tests.estimates.quote_cast import bought_in, discount, sent_quote, version

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture
def draft(job, panel, owner, shop):
    return new_draft(job, owner, shop)


def test_a_draft_takes_the_shops_terms_and_every_panel(draft, panel, shop):
    assert list(draft.panels.all()) == [panel]
    assert (draft.confidence, draft.deposit_percent, draft.terms) == (shop.confidence, D("30"), shop.terms)
    assert (draft.letter, draft.is_further) == ("A", False)


def test_pressing_twice_gives_the_one_draft(draft, job, owner, shop):
    assert new_draft(job, owner, shop, uuid.uuid4()) == draft
    assert job.quotes.count() == 1


def test_the_database_holds_one_draft_a_job(draft, job):
    with pytest.raises(IntegrityError), transaction.atomic():
        Quote.objects.create(job=job, revision=2)


def test_two_presses_at_once_make_one_draft(job, panel, owner, shop, monkeypatch):
    """The second press reads before the first is written: the constraint lets one in, the other is given it."""
    first = new_draft(job, owner, shop)
    answers = iter([None, first])
    monkeypatch.setattr("estimates.drafts.next_revision", lambda job: 2)
    monkeypatch.setattr("django.db.models.query.QuerySet.first", lambda self: next(answers))
    assert new_draft(job, owner, shop) == first


def test_a_closed_job_takes_no_quote(job, owner, shop):
    from django.utils import timezone

    Job.objects.filter(pk=job.pk).update(state=Job.State.CLOSED, closed_at=timezone.now())
    with pytest.raises(QuoteRefused, match="closed"):
        new_draft(job, owner, shop)


def test_an_override_keeps_why_and_who(draft, panel, owner, shop):
    key = panel_key(panel, "metal")
    override_line(draft, owner, shop, key, amount=D("50"), reason="Copper by the foot")
    override = LineOverride.objects.get()
    assert (override.person, override.reason) == (owner, "Copper by the foot")
    metal = next(line for line in quote_figures(draft, shop).priced.lines if line.key == key)
    assert metal.priced.net == 50
    assert metal.reckoned.net != 50
    entry = AuditEntry.objects.first()
    assert entry.changes["figure"] == [None, "50"]
    assert entry.changes["reason"] == [None, "Copper by the foot"]


def test_undoing_an_override_brings_the_worked_out_figure_back(draft, panel, owner, shop):
    before = quote_figures(draft, shop).priced.total
    key = panel_key(panel, "gathering")
    override_line(draft, owner, shop, key, low_hours=D(9), high_hours=D(12), reason="Kink")
    assert quote_figures(draft, shop).priced.total != before
    for _ in range(2):
        undo_override(draft, owner, shop, key)
    assert quote_figures(draft, shop).priced.total == before
    assert AuditEntry.objects.filter(what="took back the figure of").count() == 1


def test_a_line_that_is_not_there_cannot_be_overridden(draft, owner, shop):
    with pytest.raises(QuoteRefused, match="not on the quote"):
        override_line(draft, owner, shop, "panel-9999:metal", amount=D(1), reason="Why not")


@pytest.mark.parametrize(
    "values",
    [
        {"reason": "", "amount": D(1)},
        {"reason": "x", "amount": D(1), "low_hours": D(1), "high_hours": D(1)},
        {"reason": "x", "low_hours": D(3), "high_hours": D(2)},
        {"reason": "x", "amount": D(-1)},
        {"reason": "x"},
    ],
)
def test_the_database_refuses_an_override_that_is_none(draft, values):
    with pytest.raises(IntegrityError), transaction.atomic():
        LineOverride.objects.create(quote=draft, line="panel-1:metal", **values)


def test_a_discount_of_more_than_all_is_refused_and_taken_back(draft, owner, shop):
    with pytest.raises(QuoteRefused, match="is more than the") as refusal:
        add_line(draft, owner, shop, discount(amount="99999"))
    assert refusal.value.field == "amount"
    assert draft.lines.count() == 0
    assert version(draft) == 1


def test_a_discount_of_everything_leaves_nothing(draft, owner, shop):
    add_line(draft, owner, shop, discount(percent="100"))
    assert quote_figures(draft, shop).priced.total.gross == 0


@pytest.mark.parametrize(
    "values",
    [
        {"kind": "discount", "reason": ""},
        {"kind": "discount", "reason": "x", "is_option": True},
        {"kind": "bought-in", "percent": D(5), "amount": D(0)},
        {"kind": "discount", "reason": "x", "percent": D(5), "amount": D(5)},
        {"kind": "discount", "reason": "x", "percent": D(101), "amount": D(0)},
        {"kind": "other", "amount": D(-1)},
    ],
)
def test_the_database_refuses_lines_that_make_no_sense(draft, values):
    with pytest.raises(IntegrityError), transaction.atomic():
        QuoteLine.objects.create(quote=draft, position=1, label="Line", **{"amount": D(5)} | values)


def test_a_removed_line_takes_its_override_along(draft, owner, shop):
    line = add_line(draft, owner, shop, bought_in())
    override_line(draft, owner, shop, f"line-{line.pk}", amount=D(90), reason="Agreed")
    for _ in range(2):
        remove_line(draft, owner, line.pk)
    assert (draft.lines.count(), draft.overrides.count()) == (0, 0)


def test_an_option_is_not_in_the_total(draft, owner, shop):
    before = quote_figures(draft, shop).priced.total
    line = add_line(draft, owner, shop, bought_in(is_option=True))
    priced = quote_figures(draft, shop).priced
    assert priced.total == before
    assert list(priced.options) == [f"line-{line.pk}"]
    assert priced.with_options([f"line-{line.pk}"]).total.gross > before.gross


def test_a_stale_page_is_refused_with_what_was_done_since(draft, owner, shop):
    seen = version(draft)
    add_line(draft, owner, shop, bought_in("Chrome plating"), seen)
    with pytest.raises(QuoteRefused, match="Osk added bought-in work to “Chrome plating”"):
        price_at(draft, owner, D("0.50"), seen)
    assert Quote.objects.get().confidence == D("0.80")


def test_every_change_asks_for_the_version_it_was_made_from(draft, panel, owner, shop):
    stale = version(draft) + 7
    key = panel_key(panel, "metal")
    for change in (
        lambda: add_line(draft, owner, shop, bought_in(), stale),
        lambda: remove_line(draft, owner, 1, stale),
        lambda: override_line(draft, owner, shop, key, amount=D(1), reason="x", version=stale),
        lambda: undo_override(draft, owner, shop, key, stale),
        lambda: choose_panels(draft, owner, [], stale),
        lambda: send_quote(draft, owner, shop, version=stale),
    ):
        with pytest.raises(QuoteRefused, match="changed while you had it open"):
            change()


def test_a_panel_of_another_job_stays_there(draft, panel, owner, shop, customer):
    from jobs.numbers import save_with_number

    other = save_with_number(Job(customer=customer, title="Other"))
    panel.job = other
    with pytest.raises(QuoteRefused, match="another job"):
        choose_panels(draft, owner, [panel])


def test_a_revision_copies_everything(draft, panel, owner, shop):
    key = panel_key(panel, "gathering")
    override_line(draft, owner, shop, key, low_hours=D(9), high_hours=D(12), reason="Kink")
    line = add_line(draft, owner, shop, bought_in())
    override_line(draft, owner, shop, f"line-{line.pk}", amount=D(90), reason="Agreed")
    add_line(draft, owner, shop, discount(percent="5"))
    texts = {"intro": "Two words", "terms": "Cash", "valid_until": None, "deposit_percent": D(20)}
    sent = send_quote(change_texts(draft, owner, texts), owner, shop)
    revision = make_revision(sent, owner)
    assert (revision.letter, revision.intro, revision.terms, revision.deposit_percent) == (
        "B",
        "Two words",
        "Cash",
        20,
    )
    assert quote_figures(revision, shop).priced.total == quote_figures(sent, shop).priced.total
    assert sent.lines.count() == revision.lines.count() == 2
    assert revision.revises == sent
    with pytest.raises(QuoteRefused, match="a draft already"):
        make_revision(sent, owner)


def test_a_withdrawn_quote_can_be_revised(job, panel, owner, shop):
    assert make_revision(withdraw_quote(sent_quote(job, owner, shop), owner), owner).state == "draft"


def test_a_discarded_draft_is_gone_and_the_job_stays(draft, job, owner, shop):
    discard_draft(draft, owner)
    assert not Quote.objects.exists()
    with pytest.raises(QuoteRefused, match="discarded in the meantime"):
        price_at(draft, owner, D("0.50"))
    assert new_draft(job, owner, shop).letter == "A"


def test_a_sent_quote_takes_no_change_from_anywhere(job, panel, owner, shop):
    quote = sent_quote(job, owner, shop, bought_in())
    quote.intro = "Something else"
    for change in (
        quote.save,
        lambda: quote.save(update_fields=["intro"]),
        quote.delete,
        lambda: Quote.objects.filter(pk=quote.pk).update(total=1),
        lambda: Quote.objects.all().delete(),
        lambda: quote.lines.get().save(),
        lambda: quote.lines.get().delete(),
        lambda: LineOverride(quote=quote, line="x", amount=1, reason="y").save(),
        Quote.objects.defer("state").get(pk=quote.pk).save,
    ):
        with pytest.raises(FrozenQuote), transaction.atomic():
            change()
    for action in (
        lambda: price_at(quote, owner, D("0.50")),
        lambda: add_line(quote, owner, shop, bought_in()),
        lambda: discard_draft(quote, owner),
    ):
        with pytest.raises(QuoteRefused, match="does not change"):
            action()
    assert Quote.objects.get().intro == ""
