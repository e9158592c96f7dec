"""The bench page and what is pressed on it, as plain forms without a script."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.clock import clock_in, clock_out
from jobs.hours_log import add_hours
from jobs.material import use_sheet
from jobs.models import Job, PassDone, Photo, Reading, Stage, StageNote, TimeEntry
from jobs.notes import add_note
from jobs.panels import add_mirrored_hand
from jobs.passes import tick_pass
from jobs.progress import finish_stage
from jobs.reading_log import log_reading
from jobs.readings import plan_of
from shop.models import SheetStock
from tests.jobs.photo_files import picture, saved, upload


def url(name, stage):
    return reverse(name, args=[stage.code])


def text(page):
    return " ".join(page.content.decode().split())


def test_every_stage_has_its_bench(stages, shaper_client):
    for stage in stages.values():
        page = shaper_client.get(url("bench", stage))
        assert page.status_code == 200
        assert f"<h2>{stage.kind.name}</h2>" in text(page)


def test_nobody_comes_to_the_bench_without_signing_in(gathering, stranger_client):
    for name in (
        "bench",
        "clock",
        "hours-add",
        "material-add",
        "reading-add",
        "pass-tick",
        "note-add",
        "photo-add",
    ):
        assert stranger_client.post(url(name, gathering)).status_code == 302
    assert not TimeEntry.objects.exists()


def test_a_code_that_is_no_stage_is_not_found(shop, shaper_client):
    assert shaper_client.get(reverse("bench", args=["NOPE22"])).status_code == 404


def test_anothers_clock_at_the_stage_is_named_and_doubted_after_a_day(gathering, owner, shaper_client):
    entry = clock_in(gathering, owner, timezone.now() - timedelta(hours=2)).entry
    page = text(shaper_client.get(url("bench", gathering)))
    assert "Osk is at this stage too" in page
    assert "may be forgotten" not in page
    TimeEntry.objects.filter(pk=entry.pk).update(started_at=timezone.now() - timedelta(hours=7))
    page = text(shaper_client.get(url("bench", gathering)))
    assert "it may be forgotten, and its hours count" in page
    assert "with a clock that may be forgotten" in page


def test_hours_stand_against_their_range(gathering, shaper, shaper_client):
    add_hours(gathering, shaper, timezone.localdate(), Decimal("11.6"))
    page = text(shaper_client.get(url("bench", gathering)))
    assert "half by 12, four in five by 16" in page
    assert '<b class="figures">11.6</b>' in page
    add_hours(gathering, shaper, timezone.localdate() - timedelta(days=1), Decimal("6"))
    assert "1.6 h over" in text(shaper_client.get(url("bench", gathering)))


def test_without_a_budget_hours_count_all_the_same(gathering, shaper_client):
    Stage.objects.update(budget_low_hours=0, budget_high_hours=0)
    assert "No budget yet" in text(shaper_client.get(url("bench", gathering)))


def test_a_closed_job_says_why_there_is_no_clock(gathering, shaper_client):
    Job.objects.update(state=Job.State.CLOSED, closed_at=timezone.now())
    page = text(shaper_client.get(url("bench", gathering)))
    assert "is closed: no hours can be added" in page
    assert "clock-plate" not in page


# The clock


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


# Readings


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


# Passes, notes, progress


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


# Material, hours, photos


def test_metal_is_booked_from_the_bench(gathering, sheet, shaper_client):
    page = shaper_client.get(url("material-add", gathering))
    assert sheet.code in text(page)
    piece = {"sheet": sheet.pk, "length": "700", "width": "400", "came_back": "figured"}
    said = shaper_client.post(url("material-add", gathering), piece, follow=True)
    assert "went back to rack 2" in text(said)
    use = gathering.panel.material.get()
    assert (use.drop.length_mm, use.drop.width_mm) == (2100, 1250)
    refused = shaper_client.post(url("material-add", gathering), piece)
    assert refused.status_code == 422
    assert "has been cut by Maro" in text(refused)
    back = reverse("material-take-back", args=[gathering.code, use.pk])
    assert back in text(shaper_client.get(url("material-add", gathering)))
    assert "on the rack again" in text(shaper_client.post(back, follow=True))
    assert not gathering.panel.material.exists()


def test_a_second_piece_of_metal_wants_a_tick(gathering, sheet, shaper, owner, shaper_client):
    page = shaper_client.get(url("material-add", gathering))
    assert "book another" not in text(page)
    first = use_sheet(gathering.panel, sheet, 700, 400, 1800, 1250, person=shaper)
    piece = {"sheet": first.drop.pk, "length": "700", "width": "400", "came_back": "figured", "note": "spare"}
    meanwhile = shaper_client.post(url("material-add", gathering), piece | {"booked_seen": "0"})
    assert meanwhile.status_code == 422
    assert "1 piece of this metal is booked on this panel already, by Maro" in text(meanwhile)
    assert 'name="booked_seen" value="1"' in text(meanwhile)
    assert "spare" in text(meanwhile)
    second = use_sheet(gathering.panel, first.drop, 700, 400, 1000, 1250, person=owner, booked_seen=1)
    piece["sheet"] = second.drop.pk
    stale = shaper_client.post(url("material-add", gathering), piece | {"booked_seen": "1", "another": "on"})
    assert (stale.status_code, "2 pieces" in text(stale)) == (422, True)
    assert "checked" not in str(stale.context["form"]["another"])
    shaper_client.post(url("material-add", gathering), piece | {"booked_seen": "2", "another": "on"})
    assert gathering.panel.material.count() == 3


def test_sheets_too_small_for_the_blank_are_folded_under_their_own_words(gathering, sheet, shaper_client):
    page = shaper_client.get(url("material-add", gathering))
    assert "Does not fit the blank" not in text(page)
    small = SheetStock.objects.create(
        metal=sheet.metal, thickness_mm=1.6, length_mm=200, width_mm=150, cost=Decimal("2")
    )
    page = shaper_client.get(url("material-add", gathering))
    offered, folded = text(page).split("Does not fit the blank: 1 more")
    assert sheet.code in offered
    assert small.code not in offered
    assert f"{small.code}, sheet 200 × 150 mm, smaller than the blank" in folded
    assert '<details class="rack-others">' in text(page)
    picked = shaper_client.post(
        url("material-add", gathering), {"sheet": small.pk, "length": "3 m", "width": "1 m"}
    )
    assert '<details class="rack-others" open>' in text(picked)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"length": "3 m"}, "does not fit in the sheet"),
        ({"length": "abc"}, "cannot be read as a length"),
        ({"came_back": "measured"}, "Write what the drop measures"),
        (
            {"came_back": "measured", "drop_length": "2400", "drop_width": "1240"},
            "cannot come out of the same sheet",
        ),
        ({"sheet": "999"}, "no such sheet"),
    ],
)
def test_metal_that_does_not_fit_is_refused_and_kept(gathering, sheet, shaper_client, given, words):
    piece = {
        "sheet": sheet.pk,
        "length": "700",
        "width": "400",
        "came_back": "figured",
        "note": "from the door end",
    }
    page = shaper_client.post(url("material-add", gathering), piece | given)
    assert page.status_code == 422
    assert words in text(page)
    assert "from the door end" in text(page)


def test_an_empty_rack_says_what_to_do(gathering, shaper_client):
    assert "Tell the owner what you need" in text(shaper_client.get(url("material-add", gathering)))


def test_hours_by_hand_and_their_correction(gathering, shaper, shaper_client):
    today = timezone.localdate().isoformat()
    given = {"stage": gathering.pk, "day": today, "hours": "1:30", "submission": str(uuid4())}
    for _ in range(2):
        shaper_client.post(url("hours-add", gathering), given)
    entry = TimeEntry.objects.get()
    assert entry.hours == Decimal("1.5")
    correct = reverse("hours-correct", args=[entry.pk])
    change = {"stage": gathering.pk, "day": today, "hours": "2", "seen": 0}
    missing = shaper_client.post(correct, change)
    assert (missing.status_code, "Say why" in text(missing)) == (422, True)
    shaper_client.post(correct, change | {"reason": "miscounted"})
    stale = shaper_client.post(correct, change | {"reason": "again", "hours": "3"})
    assert (stale.status_code, "corrected this entry meanwhile" in text(stale)) == (422, True)
    shaper_client.post(correct, {**change, "seen": 1, "hours": "", "reason": "not at all", "strike": "1"})
    entry.refresh_from_db()
    assert entry.hours == 0
    book = text(shaper_client.get(reverse("hours-list")))
    assert "<del>1.50 h</del> Maro: miscounted" in book


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"hours": "25"}, "at most 24"),
        ({"hours": "soon"}, "cannot be read as hours"),
        ({"day": "2999-01-01"}, "to come"),
    ],
)
def test_hours_that_cannot_be_are_refused_and_kept(gathering, shaper_client, given, words):
    typed = {
        "stage": gathering.pk,
        "day": timezone.localdate().isoformat(),
        "hours": "1",
        "note": "trim",
    } | given
    page = shaper_client.post(url("hours-add", gathering), typed)
    assert page.status_code == 422
    assert words in text(page)
    assert "trim" in text(page)


def test_a_shaper_sees_and_corrects_only_their_own(gathering, owner, shaper, shaper_client, owner_client):
    his = add_hours(gathering, owner, timezone.localdate(), Decimal(2))
    add_hours(gathering, shaper, timezone.localdate(), Decimal(3))
    assert shaper_client.get(reverse("hours-correct", args=[his.pk])).status_code == 403
    assert (
        "Osk"
        not in text(shaper_client.get(reverse("hours-list"))).partition("<main")[2].partition("</main")[0]
    )
    everyone = text(owner_client.get(reverse("hours-list")))
    assert "Osk 2.00 h" in everyone
    assert "Maro 3.00 h" in everyone


def test_a_photo_of_the_stage(gathering, shaper_client, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    given = {"photos": upload(saved(picture())), "subject": "so-far", "submission": str(uuid4())}
    shaper_client.post(url("photo-add", gathering), given)
    assert Photo.objects.get().stage == gathering
    assert shaper_client.post(url("photo-add", gathering), {"subject": "so-far"}).status_code == 422


@pytest.mark.parametrize("days", [0, 3, 30])
def test_a_photo_kept_on_a_phone_was_taken_when_it_was_picked(gathering, shaper_client, days):
    at = timezone.now() - timedelta(days=days)
    given = {"photos": upload(saved(picture())), "subject": "so-far", "pressed_at": at.isoformat()}
    assert shaper_client.post(url("photo-add", gathering), given).status_code == 302
    assert Photo.objects.get().taken_at == at


def test_a_photo_older_than_a_month_is_refused_in_words(gathering, shaper_client):
    at = timezone.now() - timedelta(days=32)
    given = {"photos": upload(saved(picture())), "subject": "so-far", "pressed_at": at.isoformat()}
    assert "more than 31 days old" in text(shaper_client.post(url("photo-add", gathering), given))
    assert not Photo.objects.exists()


@pytest.mark.parametrize("count", [3, 30])
def test_the_bench_asks_the_database_no_more_for_more(
    count, gathering, owner, shaper, shaper_client, give_stages, django_assert_max_num_queries
):
    other = give_stages(add_mirrored_hand(gathering.panel, owner))["gathering"]
    passes = plan_of(gathering.panel)[0].passes
    for number in range(count):
        add_hours(gathering, shaper, timezone.localdate() - timedelta(days=number), Decimal(1))
        add_note(other, shaper, f"note {number}", for_other_hand=True)
        log_reading(gathering.panel, shaper, 1, "edge-length", passes[0].edge_length_mm)
    finish_stage(other, shaper)
    clock_in(gathering, owner)
    with django_assert_max_num_queries(22):
        assert shaper_client.get(url("bench", gathering)).status_code == 200
