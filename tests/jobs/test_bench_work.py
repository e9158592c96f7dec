"""Readings, passes, notes and progress as they are pressed at the bench, by plain forms without a script."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.utils import timezone

from jobs.clock import clock_in
from jobs.models import PassDone, Reading, StageNote, TimeEntry
from jobs.notes import add_note
from jobs.panels import add_mirrored_hand
from jobs.passes import tick_pass
from jobs.progress import finish_stage
from jobs.readings import plan_of
from tests.jobs.bench_pages import text, url


def test_a_reading_is_logged_and_says_what_is_left(gathering, shaper_client):
    passes = plan_of(gathering.panel)[0].passes
    value = f"{passes[0].edge_length_mm + 3:.1f}"
    page = shaper_client.post(
        url("reading-add", gathering), {"kind": "edge-length", "pass_number": 1, "value": value}, follow=True
    )
    reading = Reading.objects.get()
    assert reading.value == pytest.approx(float(value))
    assert reading.target == pytest.approx(passes[0].edge_length_mm)
    assert "3 mm over" in text(page)
    assert "still to lose" in text(page)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("", "Write what you read"),
        ("abc", "cannot be read as a length"),
        ("9" * 60, "more than 40 characters"),
        ("5", "far from the"),
        ("-500", "sign in front"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_and_kept_in_the_field(gathering, shaper_client, value, words):
    page = shaper_client.post(
        url("reading-add", gathering), {"kind": "edge-length", "pass_number": 1, "value": value}
    )
    assert page.status_code == 422
    assert words in text(page)
    if value:
        assert f'value="{value}"' in text(page)
    assert not Reading.objects.exists()


def test_plus_and_minus_work_without_a_script(gathering, shaper_client):
    answer = shaper_client.post(
        url("reading-add", gathering), {"kind": "edge-length", "pass_number": 1, "value": "530", "step": "1"}
    )
    page = shaper_client.get(answer.url.partition("#")[0])
    assert 'value="530.5"' in text(page)
    assert not Reading.objects.exists()


def test_a_reading_sent_twice_is_kept_once(gathering, shaper_client):
    value = f"{plan_of(gathering.panel)[0].passes[0].edge_length_mm:.1f}"
    press = {"kind": "edge-length", "pass_number": 1, "value": value, "submission": str(uuid4())}
    for _ in range(2):
        assert shaper_client.post(url("reading-add", gathering), press).status_code == 302
    assert Reading.objects.count() == 1


def test_an_angle_is_read_in_degrees(gathering, shaper_client):
    shaper_client.post(url("reading-add", gathering), {"kind": "angle", "pass_number": 1, "value": "22.5"})
    assert Reading.objects.get().value == pytest.approx(0.3926991)
    page = text(shaper_client.get(url("bench", gathering) + "?check=angle"))
    assert "section angle, after pass 1" in page


def test_passes_are_ticked_and_taken_back(gathering, shaper_client):
    shaper_client.post(url("pass-tick", gathering), {"number": 1, "gathers_made": 9})
    assert "it took 9" in text(shaper_client.get(url("bench", gathering)))
    shaper_client.post(url("pass-tick", gathering), {"number": 1, "untick": 1})
    assert not PassDone.objects.exists()


@pytest.mark.parametrize(
    ("tick", "status"),
    [({"number": 9}, 409), ({"number": "x"}, 422), ({"number": 1, "gathers_made": "many"}, 422)],
)
def test_a_pass_that_is_not_there_is_refused(gathering, shaper_client, tick, status):
    assert shaper_client.post(url("pass-tick", gathering), tick).status_code == status
    assert not PassDone.objects.exists()


def test_a_count_that_cannot_be_read_is_refused_in_its_own_line(gathering, shaper_client):
    answer = shaper_client.post(url("pass-tick", gathering), {"number": 2, "gathers_made": "many"})
    line = text(answer).split('id="made-2"')[1].split("</form>")[0]
    assert 'value="many"' in line
    assert "Write a whole number from 0 to 2000" in line


def test_a_count_far_from_the_plan_is_asked_about_once(gathering, shaper_client):
    planned = plan_of(gathering.panel)[0].passes[0].gathers
    wrong = {"number": 1, "gathers_made": str(planned * 100)}
    asked = shaper_client.post(url("pass-tick", gathering), wrong)
    assert asked.status_code == 422
    assert f"{planned * 100} is far from the {planned} planned for pass 1" in text(asked)
    assert f'name="sure" value="{planned * 100}"' in text(asked)
    assert not PassDone.objects.exists()
    other = wrong | {"gathers_made": str(planned * 99), "sure": str(planned * 100)}
    assert shaper_client.post(url("pass-tick", gathering), other).status_code == 422
    shaper_client.post(url("pass-tick", gathering), wrong | {"sure": str(planned * 100)})
    assert PassDone.objects.get().gathers_made == planned * 100


def test_a_note_for_the_other_hand_stands_at_its_bench(gathering, owner, shaper, shaper_client, give_stages):
    other = give_stages(add_mirrored_hand(gathering.panel, owner))
    shaper_client.post(url("note-add", gathering), {"text": "Start in the middle.", "for_other_hand": "on"})
    shaper_client.post(url("note-add", gathering), {"text": "Only mine."})
    page = text(shaper_client.get(url("bench", other["gathering"])))
    assert "Start in the middle." in page
    assert "do the same here" in page
    assert "Only mine." not in page
    assert "Start in the middle." not in text(shaper_client.get(url("bench", other["blending"])))
    add_note(other["gathering"], shaper, "Back again.", for_other_hand=True)
    assert "Back again." in text(shaper_client.get(url("bench", gathering)))


def test_an_empty_or_endless_note_is_refused(gathering, shaper_client):
    assert shaper_client.post(url("note-add", gathering), {"text": " "}).status_code == 422
    page = shaper_client.post(url("note-add", gathering), {"text": "x" * 2001})
    assert page.status_code == 422
    assert "x" * 2001 in text(page)
    assert not StageNote.objects.exists()


def test_what_is_written_is_never_markup(gathering, shaper_client):
    shaper_client.post(url("note-add", gathering), {"text": "<script>alert(1)</script>"})
    assert "<script>alert" not in text(shaper_client.get(url("bench", gathering)))


def test_the_second_hand_starts_from_what_the_first_took(
    gathering, owner, shaper, shaper_client, give_stages
):
    planned = plan_of(gathering.panel)[0].passes[1].gathers
    tick_pass(gathering.panel, 2, shaper, gathers_made=planned + 2)
    second = give_stages(add_mirrored_hand(gathering.panel, owner))["gathering"]
    assert plan_of(second.panel)[0].passes[1].gathers == planned + 2
    page = text(shaper_client.get(url("bench", second)))
    assert f"the first hand took {planned + 2} where the plan said {planned}" in page
    assert "This plan starts from what the first hand took." in page


def test_the_second_hand_is_told_that_the_plan_held(gathering, owner, shaper, shaper_client, give_stages):
    tick_pass(gathering.panel, 2, shaper, gathers_made=plan_of(gathering.panel)[0].passes[1].gathers)
    second = give_stages(add_mirrored_hand(gathering.panel, owner))["gathering"]
    page = text(shaper_client.get(url("bench", second)))
    assert "The first hand took as many as the plan said." in page
    assert "starts from what the first hand took" not in page


def test_progress_by_a_number_a_quarter_or_done(stages, shaper, shaper_client):
    stage = stages["blending"]
    for earlier in ("layout", "gathering"):
        finish_stage(stages[earlier], shaper)
    for given, progress in (({"percent": "40"}, "0.4"), ({"share": "0.75"}, "0.75"), ({"share": "1"}, "1")):
        shaper_client.post(url("progress-set", stage), given)
        stage.refresh_from_db()
        assert stage.progress == Decimal(progress)
    assert "Reopen" in text(shaper_client.get(url("bench", stage)))
    shaper_client.post(url("progress-set", stage), {"reopen": 1})
    stage.refresh_from_db()
    assert stage.done_at is None


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({}, "Pick how far it has got, or write a number."),
        ({"percent": "140"}, "Write a number from 0 to 100, with at most one decimal"),
        ({"percent": "-1"}, "Write a number from 0 to 100"),
        ({"percent": "half"}, "Write a number from 0 to 100"),
        ({"percent": "33.333"}, "Write a number from 0 to 100"),
        ({"percent": "9" * 40}, "Write a number from 0 to 100"),
        ({"share": "0.3"}, "Pick one of these"),
        ({"share": "0.5", "pressed_at": "noon"}, "The time of this press cannot be read"),
    ],
)
def test_progress_that_cannot_be_is_refused_in_our_words(stages, shaper_client, given, words):
    answer = shaper_client.post(url("progress-set", stages["blending"]), given)
    assert answer.status_code == 422
    assert words in text(answer)
    assert "Ensure" not in text(answer)
    assert (
        words in text(answer).split("</main>")[0].split("bench-columns")[0]
    )  # on top, where one stands without a script


def test_done_over_something_open_is_asked_first(stages, shaper, owner, shaper_client):
    """One's own clock is offered to be stopped with it; another's is only said."""
    stage = stages["blending"]
    finish_stage(stages["layout"], shaper)
    clock_in(stage, shaper, timezone.now() - timedelta(hours=1))
    asked = shaper_client.post(url("progress-set", stage), {"share": "1"})
    assert asked.status_code == 409
    for words in (
        "Is blending done?",
        "Your clock still runs here, since",
        "Gathering is not done.",
        "stop my clock",
    ):
        assert words in text(asked)
    stage.refresh_from_db()
    assert stage.done_at is None
    seen = asked.context["question"]["open"].key
    clock_in(stage, owner, timezone.now())
    again = shaper_client.post(url("progress-set", stage), {"share": "1", "seen": seen, "stop_clock": "1"})
    assert (again.status_code, "Osk’s clock still runs here" in text(again)) == (409, True)
    seen = again.context["question"]["open"].key
    shaper_client.post(url("progress-set", stage), {"percent": "100", "seen": seen, "stop_clock": "1"})
    stage.refresh_from_db()
    assert stage.done_at
    assert TimeEntry.objects.get(ended_at=None).person == owner
    assert TimeEntry.objects.get(person=shaper).hours == pytest.approx(Decimal(1), abs=Decimal("0.01"))


def test_a_forgotten_clock_is_not_offered_to_be_stopped_with_the_stage(stages, shaper, shaper_client):
    clock_in(stages["layout"], shaper, timezone.now() - timedelta(hours=20))
    asked = shaper_client.post(url("progress-set", stages["layout"]), {"share": "1"})
    assert "may be forgotten" in text(asked)
    assert "stop my clock" not in text(asked)
    seen = asked.context["question"]["open"].key
    assert (
        shaper_client.post(url("progress-set", stages["layout"]), {"share": "1", "seen": seen}).status_code
        == 302
    )
