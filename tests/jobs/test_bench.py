"""The bench page of a stage: what it says, and who comes to it."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.clock import clock_in
from jobs.hours_log import add_hours
from jobs.models import Job, Stage, TimeEntry
from jobs.notes import add_note
from jobs.panels import add_mirrored_hand
from jobs.progress import finish_stage
from jobs.reading_log import log_reading
from jobs.readings import plan_of
from tests.jobs.bench_pages import text, url


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


def test_a_minute_past_the_range_is_not_said_to_be_over(gathering, shaper, shaper_client):
    """It would be written as 0 h over; the other pages call it inside the range."""
    add_hours(gathering, shaper, timezone.localdate(), Decimal("16.02"))
    assert " over</span>" not in text(shaper_client.get(url("bench", gathering)))
    assert " h over" not in text(shaper_client.get(gathering.panel.get_absolute_url()))


def test_where_nothing_is_measured_nobody_is_asked_to_log_a_reading(stages, shaper_client):
    assert "Nothing measured yet" in text(shaper_client.get(url("bench", stages["gathering"])))
    assert "Readings" not in text(shaper_client.get(url("bench", stages["layout"])))
