"""The clock: one running a person, hours from the moments, presses that meet."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from jobs.clock import clock_in, clock_out, undo_clock_out, undoable
from jobs.forgotten import (
    ForgottenClock,
    forgotten_clocks,
    guessed_end,
    is_forgotten,
    may_be_forgotten,
    mend_forgotten,
)
from jobs.hours_log import add_hours, correct_entry
from jobs.models import Job, TimeEntry
from jobs.time_entries import ClockRefused, hours_between, running_entry
from shop.models import AuditEntry

DUBLIN = ZoneInfo("Europe/Dublin")
NOW = datetime(2026, 5, 14, 9, 0, tzinfo=UTC)


@pytest.fixture
def at_nine(monkeypatch):
    """Nothing in these tests may hang on the hour at which they run."""
    monkeypatch.setattr(timezone, "now", lambda: NOW)


def ago(**passed):
    return NOW - timedelta(**passed)


pytestmark = pytest.mark.usefixtures("at_nine")


def test_the_first_clock_on_a_stage_starts_the_stage(gathering, shaper):
    started = clock_in(gathering, shaper, ago(hours=2))
    gathering.refresh_from_db()
    assert started.entry.is_running
    assert gathering.started_at == ago(hours=2)
    clock_out(shaper, ago(hours=1))
    clock_in(gathering, shaper, ago(minutes=30))
    gathering.refresh_from_db()
    assert gathering.started_at == ago(hours=2)


def test_hours_are_kept_to_a_thousandth(gathering, shaper):
    clock_in(gathering, shaper, ago(hours=1, minutes=42, seconds=18))
    entry = clock_out(shaper)
    assert entry.hours == Decimal("1.705")


@pytest.mark.parametrize(
    ("started", "ended", "hours"),
    [
        # Spring: the clock jumps from 01:00 to 02:00; the wall shows 3 h, two have passed.
        ((2026, 3, 29, 0, 30), (2026, 3, 29, 3, 30), "2.000"),
        # Autumn: the hour from 01:00 comes twice; the wall shows 3 h, four have passed.
        ((2026, 10, 25, 0, 30), (2026, 10, 25, 3, 30), "4.000"),
        ((2026, 5, 14, 7, 42), (2026, 5, 14, 9, 24), "1.700"),
    ],
)
def test_the_night_the_clocks_change_counts_as_long_as_it_was(started, ended, hours):
    assert hours_between(datetime(*started, tzinfo=DUBLIN), datetime(*ended, tzinfo=DUBLIN)) == Decimal(hours)


def test_the_database_refuses_a_second_running_clock(gathering, shaper):
    TimeEntry.objects.create(stage=gathering, person=shaper, started_at=ago(hours=1))
    with pytest.raises(IntegrityError), transaction.atomic():
        TimeEntry.objects.create(stage=gathering, person=shaper, started_at=NOW)


def test_a_second_phone_gets_words_and_stops_nothing(stages, shaper):
    first = clock_in(stages["gathering"], shaper, ago(hours=1)).entry
    with pytest.raises(ClockRefused, match="Press again to stop it there and start here"):
        clock_in(stages["blending"], shaper, NOW)
    assert running_entry(shaper) == first
    with pytest.raises(ClockRefused, match="runs already"):
        clock_in(stages["gathering"], shaper, NOW)


def test_one_press_switches_from_the_clock_one_was_shown(stages, shaper):
    first = clock_in(stages["gathering"], shaper, ago(hours=1)).entry
    switched = clock_in(stages["blending"], shaper, NOW, instead_of=first.pk)
    first.refresh_from_db()
    assert (switched.stopped, first.hours) == (first, Decimal("1.000"))
    assert first.ended_at == switched.entry.started_at == NOW


def test_a_switch_from_another_clock_than_the_one_shown_changes_nothing(stages, shaper):
    first = clock_in(stages["gathering"], shaper, ago(hours=1)).entry
    clock_in(stages["blending"], shaper, ago(minutes=20), instead_of=first.pk)
    with pytest.raises(ClockRefused, match="blending"):
        clock_in(stages["smoothing"], shaper, NOW, instead_of=first.pk)
    assert running_entry(shaper).stage == stages["blending"]


def test_the_clock_lost_to_another_phone_is_said(gathering, shaper, monkeypatch):
    """The other phone writes between this one's look and its own write: the constraint decides."""
    monkeypatch.setattr("jobs.clock.running_entry", lambda person: None)
    TimeEntry.objects.create(stage=gathering, person=shaper, started_at=ago(seconds=1))
    with pytest.raises(ClockRefused, match="another phone at the same moment"):
        clock_in(gathering, shaper, NOW)
    assert TimeEntry.objects.filter(person=shaper).count() == 1


def test_two_people_run_their_clocks_side_by_side(gathering, shaper, owner):
    clock_in(gathering, shaper, NOW)
    clock_in(gathering, owner, NOW)
    assert TimeEntry.objects.filter(stage=gathering, ended_at=None).count() == 2


def test_the_same_press_sent_twice_starts_one_clock(gathering, shaper):
    press = uuid4()
    first = clock_in(gathering, shaper, ago(hours=1), submission=press).entry
    clock_out(shaper, ago(minutes=30))
    assert clock_in(gathering, shaper, ago(hours=1), submission=press).entry == first
    assert TimeEntry.objects.count() == 1


def test_the_same_stop_sent_twice_changes_nothing(gathering, shaper):
    clock_in(gathering, shaper, ago(hours=2))
    first = clock_out(shaper, ago(hours=1), stage=gathering)
    assert clock_out(shaper, ago(hours=1, seconds=30), stage=gathering) == first
    later = clock_in(gathering, shaper, ago(minutes=50)).entry
    assert clock_out(shaper, ago(hours=1), stage=gathering) == first
    later.refresh_from_db()
    first.refresh_from_db()
    assert (later.is_running, first.hours) == (True, 1)


def test_a_short_run_after_a_stop_is_stopped_itself(gathering, shaper):
    """A stop within two minutes of the one before it is another press when a clock was started in between."""
    clock_in(gathering, shaper, ago(minutes=10))
    clock_out(shaper, ago(minutes=5))
    second = clock_in(gathering, shaper, ago(minutes=4, seconds=30)).entry
    assert clock_out(shaper, ago(minutes=4), stage=gathering) == second


def test_a_stop_before_its_start_is_refused(gathering, shaper):
    clock_in(gathering, shaper, ago(minutes=10))
    with pytest.raises(ClockRefused, match="after this press"):
        clock_out(shaper, ago(minutes=20))


def test_a_stop_of_a_clock_that_runs_elsewhere_is_refused(stages, shaper):
    clock_in(stages["gathering"], shaper, ago(minutes=10))
    with pytest.raises(ClockRefused, match="not here"):
        clock_out(shaper, stage=stages["blending"])
    with pytest.raises(ClockRefused, match="No clock"):
        clock_out(gathering_free := TimeEntry.objects.get().stage.panel.job.created_by)
    assert gathering_free


def test_a_late_press_does_not_count_time_twice(stages, shaper):
    clock_in(stages["gathering"], shaper, ago(hours=3))
    clock_out(shaper, ago(hours=1))
    with pytest.raises(ClockRefused, match="twice"):
        clock_in(stages["blending"], shaper, ago(hours=2))


def test_a_forgotten_clock_is_never_cut_in_silence(stages, shaper):
    entry = clock_in(stages["gathering"], shaper, ago(hours=14, minutes=1)).entry
    assert is_forgotten(entry)
    assert list(forgotten_clocks()) == [entry]
    for press in (
        lambda: clock_out(shaper),
        lambda: clock_in(stages["blending"], shaper, instead_of=entry.pk),
    ):
        with pytest.raises(ForgottenClock, match="really stopped"):
            press()
    entry.refresh_from_db()
    assert entry.is_running


def test_fourteen_hours_are_still_believed(gathering, shaper):
    clock_in(gathering, shaper, ago(hours=14))
    assert not forgotten_clocks().exists()
    assert clock_out(shaper).hours == Decimal("14.000")


def test_a_forgotten_clock_is_given_its_true_end(gathering, shaper):
    entry = clock_in(gathering, shaper, ago(hours=30)).entry
    mended = mend_forgotten(entry, shaper, ago(hours=24), "forgot")
    assert (mended.hours, mended.note) == (Decimal("6.000"), "forgot")
    trail = AuditEntry.objects.get(what="mended a forgotten clock")
    assert trail.changes["hours"][0] == "ran 30.000"


def test_the_end_is_guessed_from_the_persons_day_and_says_so(gathering, shaper):
    entry = clock_in(gathering, shaper, ago(hours=30)).entry  # 04:00 in Dublin, where NOW is 10:00
    guess = guessed_end(entry)
    assert guess.at == ago(hours=24)
    assert guess.because.startswith(
        "Maro usually stands at the bench for 6 h a day; the clock was started at "
    )
    add_hours(gathering, shaper, timezone.localdate(entry.started_at), Decimal("2.5"))
    guess = guessed_end(entry)
    assert guess.at == ago(hours=26, minutes=30)
    assert "6 h a day, of which 2.5 h of that day are in the book already" in guess.because


def test_without_anything_to_rest_on_no_end_is_guessed(gathering, shaper):
    entry = clock_in(gathering, shaper, ago(hours=30)).entry
    add_hours(gathering, shaper, timezone.localdate(entry.started_at), Decimal("5.8"))
    assert guessed_end(entry) is None
    shaper.bench_hours_per_day = entry.person.bench_hours_per_day = Decimal(0)
    assert guessed_end(entry) is None
    TimeEntry.objects.filter(pk=entry.pk).update(started_at=ago(hours=3))
    entry.refresh_from_db()
    assert guessed_end(entry) is None  # the day is not over yet


def test_a_clock_may_be_doubted_after_its_persons_day(gathering, shaper):
    entry = clock_in(gathering, shaper, ago(hours=6)).entry
    assert not may_be_forgotten(entry)
    assert may_be_forgotten(entry, NOW + timedelta(seconds=1))
    entry.person.bench_hours_per_day = Decimal(0)
    assert not may_be_forgotten(entry, NOW + timedelta(hours=8))
    assert may_be_forgotten(entry, NOW + timedelta(hours=8, seconds=1))


@pytest.mark.parametrize(
    ("ended", "words"),
    [
        (ago(hours=31), "Write a later time"),
        (ago(hours=5), "at most 24 h"),
        (ago(hours=-1), "later than now"),
    ],
)
def test_an_end_that_cannot_be_is_refused(gathering, shaper, ended, words):
    entry = clock_in(gathering, shaper, ago(hours=30)).entry
    with pytest.raises(ClockRefused, match=words):
        mend_forgotten(entry, shaper, ended)


def test_only_the_owner_mends_anothers_clock(gathering, shaper, owner):
    mine = clock_in(gathering, owner, ago(hours=30)).entry
    with pytest.raises(ClockRefused, match="Only Osk or the owner"):
        mend_forgotten(mine, shaper, ago(hours=25))
    hers = clock_in(gathering, shaper, ago(hours=30)).entry
    assert mend_forgotten(hers, owner, ago(hours=25)).hours == 5


def test_a_stop_can_be_undone(gathering, shaper):
    clock_in(gathering, shaper, ago(hours=2))
    entry = clock_out(shaper, ago(hours=1))
    assert undoable(entry, shaper)
    undo_clock_out(entry, shaper)
    undo_clock_out(entry, shaper)  # a second press of the same button
    assert running_entry(shaper) == entry
    assert clock_out(shaper).hours == 2


def test_a_stop_is_not_undone_under_anothers_hand(stages, shaper, owner):
    clock_in(stages["gathering"], shaper, ago(hours=2))
    entry = clock_out(shaper, ago(hours=1))
    with pytest.raises(ClockRefused, match="Only Maro"):
        undo_clock_out(entry, owner)
    clock_in(stages["blending"], shaper, ago(minutes=30))
    with pytest.raises(ClockRefused, match="You have started a clock"):
        undo_clock_out(entry, shaper)
    assert not undoable(entry, shaper)


def test_a_corrected_stop_is_not_undone(gathering, shaper):
    clock_in(gathering, shaper, ago(hours=2))
    entry = clock_out(shaper, ago(hours=1))
    correct_entry(entry, shaper, "tea", hours=Decimal("0.5"))
    with pytest.raises(ClockRefused, match="corrected since"):
        undo_clock_out(entry, shaper)


def test_a_closed_job_or_a_done_stage_takes_no_clock(gathering, shaper):
    gathering.done_at, gathering.progress = NOW, 1
    with pytest.raises(ClockRefused, match="Reopen"):
        clock_in(gathering, shaper)
    gathering.panel.job.state = Job.State.CLOSED
    with pytest.raises(ClockRefused, match="is closed"):
        clock_in(gathering, shaper)
