"""What a job's panels teach: those far from what was expected are asked about before it closes."""

import pytest
from django.urls import reverse

from estimates import closing as closing_module
from estimates.closing import CloseRefused, close_job, closing_of, reopen_job
from estimates.history import leave_out
from estimates.lessons import Verdict
from estimates.models import PastPanel
from jobs.models import Job, Panel, TimeEntry
from jobs.panels import add_mirrored_hand
from shop.models import AuditEntry
from tests.estimates.work_cast import accepted, book, finish, more_jobs, stages_of

pytestmark = pytest.mark.django_db
TEACH = Verdict(teaches=True)
DROPPED = Verdict(teaches=False, reason="Fell off the bench")


@pytest.fixture
def odd(job, panel, owner, shaper, shop):
    """A job that is done, whose gathering took 16 h where a quarter of an hour was expected."""
    accepted(job, owner, shop)
    for slug, spent in {"layout": "1", "gathering": "16", "blending": "1.5", "smoothing": "1"}.items():
        stage = stages_of(panel)[slug]
        book(stage, shaper, spent)
        finish(stage)
    return job


def address(job) -> str:
    return reverse("job-close", args=[job.number])


def gathering_becomes(panel, hours: str) -> None:
    TimeEntry.objects.filter(stage__panel=panel, stage__kind__slug="gathering").update(hours=hours)


def asked(job, shop) -> list[Panel]:
    return [question.panel for question in closing_of(job, shop).lessons.questions]


def test_a_panel_far_from_what_was_expected_is_asked_about_with_its_stage(odd, panel, shop):
    (question,) = closing_of(odd, shop).lessons.questions
    (stage,) = question.surprises
    assert (question.panel, stage.stage, stage.hours) == (panel, "gathering", 16.0)
    assert stage.high < 16


def test_a_panel_as_expected_is_not_asked_about(odd, panel, shop, owner):
    gathering_becomes(panel, "0.3")
    assert asked(odd, shop) == []
    close_job(odd, owner)
    assert PastPanel.objects.get().left_out_reason == ""


def test_a_stage_that_teaches_nothing_is_not_asked_about(odd, panel, shop):
    Panel.objects.filter(pk=panel.pk).update(moved_dm2=0.01)
    assert asked(odd, shop) == []


def test_unanswered_nothing_is_written(odd, panel, owner):
    with pytest.raises(CloseRefused, match="Far from what was expected") as refused:
        close_job(odd, owner)
    assert refused.value.panels == {panel.pk: "Choose one of the two."}
    odd.refresh_from_db()
    assert odd.state == Job.State.IN_WORK
    assert not PastPanel.objects.exists()


def test_let_it_teach(odd, panel, owner):
    close_job(odd, owner, verdicts={panel.pk: TEACH})
    past = PastPanel.objects.get()
    assert (past.gathering_hours, past.left_out_reason) == (16.0, "")
    assert AuditEntry.objects.get(what__startswith="closed").changes[str(panel)] == [None, "teaches"]


def test_left_out_it_reads_as_if_it_had_been_left_out_by_hand(odd, panel, owner, owner_client):
    close_job(odd, owner, verdicts={panel.pk: DROPPED})
    past = PastPanel.objects.get()
    assert (past.left_out_reason, past.left_out_by) == ("Fell off the bench", owner)
    assert past.gathering_hours == 16.0
    entry = AuditEntry.objects.get(what="left out past panel")
    assert (entry.person, entry.job_number, entry.thing) == (owner, odd.number, past.name)
    assert entry.changes == {"left_out_reason": [None, "Fell off the bench"]}
    assert "left out: Fell off the bench" in owner_client.get(reverse("past-panels")).content.decode()
    closed = owner_client.get(address(odd)).content.decode()
    assert "teaches nothing: Fell off the bench" in closed


@pytest.mark.parametrize(
    ("verdict", "words"),
    [
        (Verdict(teaches=False, reason=" - "), "Say in a few words why"),
        (Verdict(teaches=False, reason="x" * 201), "longer than 200 characters"),
        (Verdict(teaches=True, reason="Fell off"), "Rub the reason out"),
    ],
)
def test_an_answer_that_is_none_is_refused(odd, panel, owner, verdict, words):
    with pytest.raises(CloseRefused) as refused:
        close_job(odd, owner, verdicts={panel.pk: verdict})
    assert words in refused.value.panels[panel.pk]
    assert not PastPanel.objects.exists()


def test_the_answer_and_the_closing_are_one(odd, panel, owner, monkeypatch):
    def fails(*args, **kwargs):
        raise RuntimeError("the disk is full")

    monkeypatch.setattr(closing_module, "leave_out", fails)
    with pytest.raises(RuntimeError):
        close_job(odd, owner, verdicts={panel.pk: DROPPED})
    odd.refresh_from_db()
    assert odd.state == Job.State.IN_WORK
    assert not PastPanel.objects.exists()
    assert not AuditEntry.objects.filter(what__startswith="closed").exists()


def test_an_answer_on_a_panel_of_another_job_does_nothing(odd, panel, owner, aluminium, shop):
    (other,) = more_jobs(1, owner, aluminium, shop)
    close_job(odd, owner, verdicts={panel.pk: TEACH, other.panels.get().pk: DROPPED})
    assert PastPanel.objects.get().panel == panel


def test_the_page_asks_beside_the_figures_and_keeps_what_was_typed(odd, panel, owner_client):
    smoothing = stages_of(panel)["smoothing"]
    smoothing.progress, smoothing.done_at = "0.5", None
    smoothing.save()
    page = owner_client.get(address(odd)).content.decode()
    assert "Gathering took <b>16 h</b>" in page
    assert page.index("Gathering took") < page.index("What it teaches") < page.index('id="close-the-job"')
    assert page.count('form="close-the-job"') == 3
    assert 'value="yes"' in page
    assert "checked" not in page.split("Gathering took")[1].split("What it teaches")[0]

    field, reason = f"panel-{panel.pk}-teaches", f"panel-{panel.pk}-reason"
    answer = owner_client.post(
        address(odd), {field: "no", reason: "<", f"why-{smoothing.pk}": "Customer finishes it"}
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="&lt;"' in page
    assert page.split('value="no"')[1].split(">")[0].count("checked") == 1
    assert 'value="Customer finishes it"' in page

    answer = owner_client.post(address(odd), {field: "no", reason: "Fell", f"why-{smoothing.pk}": ""})
    assert answer.status_code == 422
    assert 'value="Fell"' in answer.content.decode()

    answer = owner_client.post(
        address(odd), {field: "no", reason: "Fell", f"why-{smoothing.pk}": "Customer finishes it"}
    )
    assert answer.status_code == 302
    assert PastPanel.objects.get().left_out_reason == "Fell"


@pytest.mark.parametrize("chosen", ["", "perhaps", "no", "\x00"])
def test_a_bad_answer_is_mended_beside_its_field(odd, panel, owner_client, chosen):
    answer = owner_client.post(address(odd), {f"panel-{panel.pk}-teaches": chosen, "why-" + "9" * 40: "x"})
    assert answer.status_code == 422
    question = answer.content.decode().split(f'id="asked-{panel.pk}"')[1].split("</fieldset>")
    wrong = question[1].split("What it teaches")[0] if chosen == "no" else question[0]
    assert "Mend this." in wrong
    assert not PastPanel.objects.exists()


def test_closed_again_with_the_same_hours_it_stays_left_out_unasked_and_stands_once(
    odd, panel, owner, owner_client, shop
):
    close_job(odd, owner, verdicts={panel.pk: DROPPED})
    for _round in range(2):
        reopen_job(odd, owner)
        assert asked(odd, shop) == []
        close_job(odd, owner)
        past = PastPanel.objects.get()
        assert (past.left_out_reason, past.left_out_by) == ("Fell off the bench", owner)
    page = owner_client.get(reverse("past-panels")).content.decode()
    assert page.count(f'<th scope="row"><a href="{past.get_absolute_url()}">') == 1
    assert AuditEntry.objects.filter(what="left out past panel").count() == 1


def test_a_panel_that_teaches_stands_once_after_opening_and_closing(odd, panel, owner, owner_client):
    gathering_becomes(panel, "0.3")
    for _round in range(3):
        close_job(odd, owner)
        assert PastPanel.objects.count() == 1
        reopen_job(odd, owner)
        assert not PastPanel.objects.exists()
    close_job(odd, owner)
    page = owner_client.get(reverse("past-panels")).content.decode()
    assert page.partition('aria-label="Past panels"')[2].partition("</table>")[0].count(str(panel)) == 1


def test_left_out_by_hand_since_it_stays_so_too(odd, panel, owner, shop):
    close_job(odd, owner, verdicts={panel.pk: TEACH})
    leave_out(PastPanel.objects.get(), owner, "Apprentice’s first")
    reopen_job(odd, owner)
    assert asked(odd, shop) == []
    close_job(odd, owner)
    assert PastPanel.objects.get().left_out_reason == "Apprentice’s first"


def test_with_other_hours_it_is_asked_about_again_with_what_was_said(odd, panel, owner, owner_client, shop):
    close_job(odd, owner, verdicts={panel.pk: DROPPED})
    reopen_job(odd, owner)
    gathering_becomes(panel, "0.3")
    (question,) = closing_of(odd, shop).lessons.questions
    assert (question.surprises, question.was) == ((), "Fell off the bench")
    page = owner_client.get(address(odd)).content.decode()
    assert 'value="Fell off the bench"' in page
    assert "Its work has changed since." in page
    with pytest.raises(CloseRefused):
        close_job(odd, owner)
    close_job(odd, owner, verdicts={panel.pk: TEACH})
    past = PastPanel.objects.get()
    assert (past.left_out_reason, past.left_out_by, past.gathering_hours) == ("", None, 0.3)
    assert AuditEntry.objects.filter(what="took back past panel").count() == 1


def test_the_other_hand_still_teaches_where_one_is_left_out(odd, panel, owner, shaper, shop):
    add_mirrored_hand(panel, owner)
    accepted(odd, owner, shop)
    other = Panel.objects.get(mirrors=panel)
    for stage in stages_of(other).values():
        book(stage, shaper, "0.3")
        finish(stage)
    close_job(odd, owner, verdicts={panel.pk: DROPPED})
    lessons = closing_of(odd, shop).lessons
    assert {move.panel for move in lessons.moves} == {str(other)}
    assert [past.panel for past in lessons.left_out] == [panel]
