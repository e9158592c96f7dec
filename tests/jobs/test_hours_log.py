"""Hours by hand, corrections that keep the old value, and the book of weeks."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.utils import timezone

from jobs.clock import clock_in
from jobs.hours_log import HoursRefused, add_hours, correct_entry, hours_on, strike_out, weeks_of
from jobs.models import TimeCorrection, TimeEntry
from jobs.standing_of_stage import hours_by_stage, metal_cost
from jobs.time_entries import ClockRefused
from shop.models import AuditEntry, Person

NOW = datetime(2026, 5, 14, 9, 0, tzinfo=UTC)  # a Thursday
TODAY = date(2026, 5, 14)


@pytest.fixture(autouse=True)
def at_nine(monkeypatch):
    monkeypatch.setattr(timezone, "now", lambda: NOW)


def h(hours):
    return Decimal(str(hours))


def test_hours_by_hand_stand_at_noon_of_their_day(gathering, shaper):
    with timezone.override("Europe/Dublin"):
        entry = add_hours(gathering, shaper, TODAY, h("1.5"), "edge")
    gathering.refresh_from_db()
    assert entry.started_at == datetime(2026, 5, 14, 11, 0, tzinfo=UTC) == gathering.started_at
    assert (entry.source, entry.hours, entry.note) == (TimeEntry.Source.HAND, h("1.5"), "edge")


def test_the_same_press_sent_twice_adds_once(gathering, shaper):
    press = uuid4()
    first = add_hours(gathering, shaper, TODAY, h(2), submission=press)
    assert add_hours(gathering, shaper, TODAY, h(2), submission=press) == first
    assert hours_on(shaper, TODAY) == 2


@pytest.mark.parametrize(
    ("day", "words"), [(TODAY + timedelta(days=1), "still to come"), (date(2025, 5, 1), "Look at the year")]
)
def test_a_day_that_cannot_be_is_refused(gathering, shaper, day, words):
    with pytest.raises(HoursRefused, match=words) as refused:
        add_hours(gathering, shaper, day, h(1))
    assert refused.value.field == "day"


def test_a_day_has_twenty_four_hours(gathering, shaper, owner):
    add_hours(gathering, shaper, TODAY, h(20))
    with pytest.raises(HoursRefused, match="With the 20 h in the book that day it makes 25 h"):
        add_hours(gathering, shaper, TODAY, h(5))
    add_hours(gathering, owner, TODAY, h(5))
    add_hours(gathering, shaper, TODAY - timedelta(days=1), h(5))


def test_a_done_stage_takes_no_hours(gathering, shaper):
    gathering.done_at, gathering.progress = NOW, 1
    with pytest.raises(ClockRefused, match="Reopen"):
        add_hours(gathering, shaper, TODAY, h(1))


def test_a_correction_keeps_what_was_there(stages, shaper):
    entry = add_hours(stages["gathering"], shaper, TODAY, h(3))
    corrected = correct_entry(
        entry, shaper, "wrong stage and an hour too many", hours=h(2), stage=stages["blending"],
        day=TODAY - timedelta(days=1), corrections_seen=0,
    )  # fmt: skip
    old = TimeCorrection.objects.get()
    assert (old.old_hours, old.old_stage, old.old_started_at) == (3, stages["gathering"], entry.started_at)
    assert (corrected.hours, corrected.stage) == (2, stages["blending"])
    assert hours_on(shaper, TODAY) == 0
    assert hours_on(shaper, TODAY - timedelta(days=1)) == 2
    trail = AuditEntry.objects.get(what="corrected hours").changes["hours"]
    assert [h(value) for value in trail] == [3, 2]


def test_struck_out_is_nought_with_a_reason(gathering, shaper):
    entry = strike_out(add_hours(gathering, shaper, TODAY, h(3)), shaper, "never happened")
    assert entry.hours == 0
    assert TimeCorrection.objects.get().reason == "never happened"


def test_a_correction_needs_a_reason_and_a_right(gathering, shaper, owner):
    entry = add_hours(gathering, owner, TODAY, h(3))
    with pytest.raises(HoursRefused, match="Only Osk or the owner"):
        correct_entry(entry, shaper, "mine now", hours=h(1))
    with pytest.raises(HoursRefused, match="Say why"):
        correct_entry(entry, owner, "  ", hours=h(1))
    hers = add_hours(gathering, shaper, TODAY, h(3))
    assert correct_entry(hers, owner, "we talked", hours=h(2)).hours == 2


def test_a_stale_correction_says_what_the_other_changed(gathering, shaper, owner):
    entry = add_hours(gathering, shaper, TODAY, h(3))
    correct_entry(entry, owner, "two, she said", hours=h(2), corrections_seen=0)
    with pytest.raises(HoursRefused, match=r"Osk corrected this entry meanwhile, to 2.* h.*two, she said"):
        correct_entry(entry, shaper, "four", hours=h(4), corrections_seen=0)
    entry.refresh_from_db()
    assert entry.hours == 2


def test_a_running_clock_is_stopped_before_it_is_corrected(gathering, shaper):
    entry = clock_in(gathering, shaper, NOW - timedelta(hours=1)).entry
    with pytest.raises(HoursRefused, match="Stop it first"):
        correct_entry(entry, shaper, "now", hours=h(1))


def test_weeks_hold_their_entries_and_sums(stages, shaper, owner):
    for days, hours in (
        (0, 2),
        (3, 1),
        (4, 4),
        (11, 3),
    ):  # Thursday, Monday, the Sunday before, a week earlier
        add_hours(stages["gathering"], shaper, TODAY - timedelta(days=days), h(hours))
    add_hours(stages["layout"], owner, TODAY, h(5))
    _, weeks = weeks_of(Person.objects.filter(pk=shaper.pk))
    assert [(week.monday, week.hours) for week in weeks] == [
        (date(2026, 5, 11), 3), (date(2026, 5, 4), 4), (date(2026, 4, 27), 3)
    ]  # fmt: skip
    _, everyone = weeks_of(Person.objects.all())
    assert everyone[0].hours == 8
    assert [entry.hours for entry in everyone[0].entries][-1] == 1  # latest first
    assert dict(everyone[0].by_person) == {shaper: 3, owner: 5}


def test_a_week_without_hours_stands_among_the_others(stages, shaper):
    for days in (0, 21):
        add_hours(stages["gathering"], shaper, TODAY - timedelta(days=days), h(1))
    _, weeks = weeks_of(Person.objects.all())
    assert [week.hours for week in weeks] == [1, 0, 0, 1]


@pytest.mark.parametrize("count", [3, 30])
def test_the_book_asks_the_database_no_more_for_more(stages, shaper, count, django_assert_num_queries):
    for days in range(count):
        add_hours(stages["gathering"], shaper, TODAY - timedelta(days=days), h(1))
    with django_assert_num_queries(3):  # the first and last of all, their entries, corrections
        _, weeks = weeks_of(Person.objects.all())
        assert [str(entry.stage) for week in weeks for entry in week.entries]


def test_hours_of_stages_count_running_clocks_up_to_now(stages, shaper, owner, django_assert_num_queries):
    panel = stages["gathering"].panel
    add_hours(stages["gathering"], shaper, TODAY, h("1.25"))
    add_hours(stages["layout"], owner, TODAY, h(1))
    clock_in(stages["gathering"], shaper, NOW - timedelta(minutes=30))
    with django_assert_num_queries(2):
        spent = hours_by_stage([panel])
    assert spent == {stages["gathering"].pk: h("1.75"), stages["layout"].pk: h(1)}
    with django_assert_num_queries(1):
        assert metal_cost([panel]) == {}
