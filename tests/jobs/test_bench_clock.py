"""The clock as it is pressed at the bench, by plain forms without a script."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.clock import clock_in, clock_out
from jobs.models import TimeEntry
from tests.jobs.bench_pages import text, url


def test_the_clock_starts_stops_and_the_stop_is_undone(gathering, shaper, shaper_client):
    started = shaper_client.post(url("clock", gathering), {"press": "in", "submission": uuid4()}, follow=True)
    assert "Your clock runs on 2026-001.1, gathering." in text(started).replace(
        f"{timezone.now().year}-", "2026-"
    )
    TimeEntry.objects.update(started_at=timezone.now() - timedelta(hours=1))
    stopped = shaper_client.post(url("clock", gathering), {"press": "out"}, follow=True)
    entry = TimeEntry.objects.get()
    assert entry.hours == pytest.approx(Decimal(1), abs=Decimal("0.01"))
    assert "Undo the stop" in text(stopped)
    undone = shaper_client.post(url("clock", gathering), {"press": "undo", "entry": entry.pk}, follow=True)
    assert "runs on as if it had not been stopped" in text(undone)
    entry.refresh_from_db()
    assert entry.is_running


def test_a_double_press_starts_one_clock(gathering, shaper_client):
    press = {"press": "in", "submission": str(uuid4())}
    assert shaper_client.post(url("clock", gathering), press).status_code == 302
    assert shaper_client.post(url("clock", gathering), press).status_code == 302
    assert TimeEntry.objects.count() == 1


def test_a_clock_elsewhere_is_shown_and_switched_in_one_press(stages, shaper, shaper_client):
    first = clock_in(stages["gathering"], shaper, timezone.now() - timedelta(hours=1)).entry
    page = shaper_client.get(url("bench", stages["blending"]))
    assert "Switch here" in text(page)
    assert f'name="running" value="{first.pk}"' in text(page)
    said = shaper_client.post(
        url("clock", stages["blending"]), {"press": "in", "running": first.pk}, follow=True
    )
    assert "Stopped on" in text(said)
    assert TimeEntry.objects.get(ended_at=None).stage == stages["blending"]


def test_a_stale_page_stops_no_clock_it_did_not_show(stages, shaper, shaper_client):
    clock_in(stages["gathering"], shaper, timezone.now() - timedelta(hours=1))
    answer = shaper_client.post(url("clock", stages["blending"]), {"press": "in"})
    assert answer.status_code == 409
    assert "Press again to stop it there and start here" in text(answer)
    assert TimeEntry.objects.get(ended_at=None).stage == stages["gathering"]


def test_a_forgotten_clock_leads_to_its_true_end(gathering, shaper, shaper_client):
    entry = clock_in(gathering, shaper, timezone.now() - timedelta(hours=20)).entry
    assert "Say when the work stopped" in text(shaper_client.get(url("bench", gathering)))
    page = shaper_client.post(url("clock", gathering), {"press": "out"}, follow=True)
    assert page.redirect_chain[-1][0] == reverse("clock-mend", args=[entry.pk])
    assert 'type="datetime-local"' in text(page)
    mend = reverse("clock-mend", args=[entry.pk])
    too_late = timezone.localtime(timezone.now() + timedelta(hours=1)).strftime("%Y-%m-%dT%H:%M")
    refused = shaper_client.post(mend, {"ended_at": too_late})
    assert (refused.status_code, too_late in text(refused)) == (422, True)
    with timezone.override("Europe/Dublin"):
        end = timezone.localtime(entry.started_at + timedelta(hours=5)).strftime("%Y-%m-%dT%H:%M:%S")
    assert shaper_client.post(mend, {"ended_at": end}).status_code == 302
    entry.refresh_from_db()
    assert entry.hours == pytest.approx(Decimal(5), abs=Decimal("0.001"))


def test_a_guessed_end_is_offered_and_never_filled_in(gathering, shaper, shaper_client):
    started = timezone.now().replace(second=30, microsecond=0) - timedelta(hours=20)
    entry = clock_in(gathering, shaper, started).entry
    mend = reverse("clock-mend", args=[entry.pk])
    page = shaper_client.get(mend)
    assert "The time is only a guess: Maro usually stands at the bench for 6 h a day" in text(page)
    assert page.context["form"]["ended_at"].value() is None
    assert "checked" not in str(page.context["form"]["when"])
    guess = page.context["form"].guess.at
    for given, words in (
        ({"note": ""}, "Pick the guess, or write the time."),
        ({"when": "other"}, "Write the day and the time."),
        ({"when": "2026-01-01T10:00:00+00:00"}, "That guess holds no more"),
        ({"when": guess.isoformat(), "ended_at": "2026-01-01T10:00"}, "wrote another time"),
        ({"when": "other", "ended_at": "at tea"}, "This cannot be read"),
    ):
        refused = shaper_client.post(mend, given)
        assert (refused.status_code, words in text(refused)) == (422, True), given
    shaper_client.post(mend, {"when": guess.isoformat(), "ended_at": ""})
    entry.refresh_from_db()
    assert entry.ended_at == guess == started.replace(second=0) + timedelta(hours=6)


def test_the_owner_sees_and_mends_a_shapers_forgotten_clock(gathering, shaper, owner_client):
    entry = clock_in(gathering, shaper, timezone.now() - timedelta(hours=20)).entry
    mend = reverse("clock-mend", args=[entry.pk])
    assert mend in text(owner_client.get(reverse("hours-list")))
    assert owner_client.get(mend).status_code == 200


def test_a_late_press_counts_from_when_it_was_made(gathering, shaper_client):
    at = timezone.now() - timedelta(hours=3)
    shaper_client.post(url("clock", gathering), {"press": "in", "pressed_at": at.isoformat()})
    assert TimeEntry.objects.get().started_at == at
    shaper_client.post(
        url("clock", gathering), {"press": "out", "pressed_at": (at + timedelta(hours=2)).isoformat()}
    )
    assert TimeEntry.objects.get().hours == 2


@pytest.mark.parametrize(
    ("pressed_at", "words"),
    [
        (timedelta(hours=1), "in the future"),
        (timedelta(hours=-25), "more than a day old"),
        ("2026-05-14T09:00:00", "no time zone"),
        ("yesterday", "cannot be read"),
        ("9" * 61, "at most 60"),
    ],
)
def test_a_press_of_another_time_is_refused_in_words(gathering, shaper_client, pressed_at, words):
    if isinstance(pressed_at, timedelta):
        pressed_at = (timezone.now() + pressed_at).isoformat()
    answer = shaper_client.post(url("clock", gathering), {"press": "in", "pressed_at": pressed_at})
    assert answer.status_code == 422
    assert words in text(answer)
    assert not TimeEntry.objects.exists()


@pytest.mark.parametrize("press", [{}, {"press": "sideways"}, {"press": "in", "running": "x"}])
def test_a_press_that_makes_no_sense_changes_nothing(gathering, shaper_client, press):
    assert shaper_client.post(url("clock", gathering), press).status_code == 422
    assert not TimeEntry.objects.exists()


def test_nobody_undoes_the_stop_of_another(gathering, owner, shaper, shaper_client):
    clock_in(gathering, owner, timezone.now() - timedelta(hours=1))
    entry = clock_out(owner)
    answer = shaper_client.post(url("clock", gathering), {"press": "undo", "entry": entry.pk})
    assert answer.status_code == 409
    assert "Only Osk can undo" in text(answer)
