"""Answers and questions: one answer a quote, held by the database; a no that closes the job where nothing is open."""

import uuid
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from estimates.acceptance import accept
from estimates.answers import (
    MOST_OPEN_QUESTIONS,
    AlreadyAnswered,
    AnswerRefused,
    ask,
    decline,
    offer_of,
    reply_to,
)
from estimates.drafts import make_revision, new_draft
from estimates.models import Answer, Question, Quote
from estimates.sending import send_quote, withdraw_quote
from jobs.models import Job, Stage
from shop.models import AuditEntry
from tests.estimates.quote_cast import bought_in, sent_quote

pytestmark = pytest.mark.django_db


@pytest.fixture
def quote(job, panel, owner, shop):
    return sent_quote(job, owner, shop, bought_in(is_option=True))


def past(quote) -> Quote:
    """The same quote, past its last day: written round the model, which would refuse it."""
    from django.db import connection

    with connection.cursor() as cursor:
        day = timezone.localdate() - timedelta(days=1)
        cursor.execute("UPDATE estimates_quote SET valid_until = %s WHERE id = %s", [day, quote.pk])
    return Quote.objects.get(pk=quote.pk)


def test_a_no_declines_quote_and_job(quote, job):
    answer = decline(quote, name="Tamsin", note="Too late for us")
    quote.refresh_from_db()
    job.refresh_from_db()
    assert (quote.state, job.state) == ("declined", Job.State.DECLINED)
    assert (answer.kind, answer.name, answer.note, answer.person) == (
        "declined",
        "Tamsin",
        "Too late for us",
        None,
    )
    entry = AuditEntry.objects.first()
    assert (entry.what, entry.who, entry.person) == ("declined", "Tamsin", None)


def test_a_no_leaves_the_job_open_while_another_quote_is(quote, job, owner):
    make_revision(quote, owner)
    decline(quote, name="Tamsin")
    job.refresh_from_db()
    assert job.state == Job.State.QUOTED


def test_a_no_to_extra_work_leaves_the_job_in_work(quote, job, owner, shop):
    from estimates.drafts import add_line

    accept(quote, name="Tamsin")
    further = new_draft(job, owner, shop)
    add_line(further, owner, shop, bought_in())
    decline(send_quote(further, owner, shop), name="Tamsin")
    job.refresh_from_db()
    assert job.state == Job.State.IN_WORK


@pytest.mark.parametrize("second", [accept, decline])
@pytest.mark.parametrize("first", [accept, decline])
def test_a_quote_takes_one_answer(first, second, quote):
    first(quote, name="Tamsin")
    with pytest.raises(AlreadyAnswered, match="by Tamsin"):
        second(quote, name="Somebody else")
    assert Answer.objects.get().name == "Tamsin"


@pytest.mark.parametrize("guarded", [True, False])
def test_of_two_people_answering_at_once_one_wins(guarded, quote, monkeypatch):
    """Both have read an open quote. Without the look before the write the database alone still lets one in."""
    accept(quote, name="First")
    if not guarded:
        monkeypatch.setattr("estimates.answers.why_not_open", lambda quote, by_shop=False: "")
    with pytest.raises(AlreadyAnswered):
        accept(quote, name="Second", options=[])
    assert Answer.objects.get().name == "First"
    assert Quote.objects.get().state == "accepted"
    assert Stage.objects.count() == 4


def test_the_database_itself_holds_one_answer(quote):
    given = {"quote": quote, "kind": "accepted", "total": 1}
    Answer.objects.create(name="First", **given)
    with pytest.raises(IntegrityError), transaction.atomic():
        Answer.objects.create(name="Second", **given)


def test_a_quote_past_its_day_takes_no_answer_over_the_link(quote):
    with pytest.raises(AnswerRefused, match="valid until"):
        accept(past(quote), name="Tamsin")


def test_the_owner_may_honour_a_late_answer_by_telephone(quote, owner):
    answer = accept(past(quote), name="Tamsin", person=owner)
    assert answer.person == owner
    assert AuditEntry.objects.filter(
        what="accepted", who="Tamsin, written down by Osk", person=owner
    ).exists()


def test_a_withdrawn_or_replaced_quote_takes_no_answer(quote, owner, shop):
    replaced = quote
    withdrawn = send_quote(make_revision(quote, owner), owner, shop)
    withdraw_quote(withdrawn, owner)
    for old, words in ((replaced, "newer quote"), (withdrawn, "withdrawn")):
        with pytest.raises(AnswerRefused, match=words):
            accept(old, name="Tamsin")


def test_an_option_of_another_quote_is_refused(quote):
    with pytest.raises(AnswerRefused, match="no option"):
        accept(quote, name="Tamsin", options=["line-9999"])
    assert not Answer.objects.exists()
    assert Quote.objects.get().state == "sent"


def test_the_answer_needs_a_name(quote):
    with pytest.raises(IntegrityError), transaction.atomic():
        Answer.objects.create(quote=quote, kind="accepted", total=1, name="")


def test_one_press_asks_once(quote):
    press = uuid.uuid4()
    first = ask(quote, text="Can it be bright?", name="Tamsin", submission=press)
    assert ask(quote, text="Can it be bright?", name="Tamsin", submission=press) == first
    assert Question.objects.count() == 1


def test_questions_are_replied_to_and_the_trail_keeps_the_old_reply(quote, owner):
    question = ask(quote, text="Can it be bright?")
    reply_to(question, owner, "Yes")
    reply_to(question, owner, "Yes, for a little more")
    question.refresh_from_db()
    assert (question.reply, question.replied_at is None) == ("Yes, for a little more", False)
    assert AuditEntry.objects.first().changes["reply"] == ["Yes", "Yes, for a little more"]


def test_a_link_passed_round_cannot_fill_the_book(quote, owner):
    for number in range(MOST_OPEN_QUESTIONS):
        question = ask(quote, text=f"Question {number}")
    with pytest.raises(AnswerRefused, match="call us"):
        ask(quote, text="One more")
    reply_to(question, owner, "Yes")
    ask(quote, text="One more")


def test_a_draft_has_no_page(job, panel, owner, shop):
    draft = new_draft(job, owner, shop)
    assert offer_of(draft.token) is None
    assert offer_of("no-such-token") is None
    assert offer_of(send_quote(draft, owner, shop).token) is not None
